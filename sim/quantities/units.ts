/**
 * Units of the trade and their exact SI factors.
 *
 * In: a dimension and a unit as somebody typed it. Out: the factor (and, for temperatures, the
 * offset) to SI. Knows nothing of project files or of fields. The factors are definitions (the inch
 * is 25.4 mm, the pound 0.453 592 37 kg, standard gravity 9.806 65 m/s2); tests compare every one
 * with a general-purpose units library.
 */

const INCH = 0.0254;
const FOOT = 12 * INCH;
const MILE = 5280 * FOOT;
const POUND = 0.45359237;
export const STANDARD_GRAVITY = 9.80665;
const POUND_FORCE = POUND * STANDARD_GRAVITY;
const TURN = 2 * Math.PI;

interface Unit {
  /** How the unit is written on a screen. */
  readonly label: string;
  /** SI value of one unit. */
  readonly factor: number;
  /** SI value of zero units (temperatures only). */
  readonly offset?: number;
  /** Further spellings, compared without case, spaces, dots, stars, hyphens and carets. */
  readonly also?: readonly string[];
}

/** The first unit of each dimension is its SI unit. */
const UNITS = {
  ratio: [
    { label: '', factor: 1, also: ['1', ':1'] },
    { label: '%', factor: 0.01, also: ['percent', 'pct'] },
  ],
  count: [{ label: '', factor: 1, also: ['teeth', 't', 'off'] }],
  money: [{ label: '', factor: 1 }],
  length: [
    { label: 'm', factor: 1, also: ['metre', 'metres', 'meter', 'meters'] },
    { label: 'mm', factor: 1e-3 },
    { label: 'cm', factor: 1e-2 },
    { label: 'km', factor: 1e3 },
    { label: 'in', factor: INCH, also: ['"', '″', 'inch', 'inches'] },
    { label: 'ft', factor: FOOT, also: ["'", '′', 'foot', 'feet'] },
    { label: 'mi', factor: MILE, also: ['mile', 'miles'] },
    { label: 'yd', factor: 3 * FOOT, also: ['yard', 'yards'] },
  ],
  area: [
    { label: 'm²', factor: 1, also: ['m2', 'sqm'] },
    { label: 'cm²', factor: 1e-4, also: ['cm2'] },
    { label: 'mm²', factor: 1e-6, also: ['mm2'] },
    { label: 'ft²', factor: FOOT * FOOT, also: ['ft2', 'sqft'] },
    { label: 'in²', factor: INCH * INCH, also: ['in2', 'sqin'] },
  ],
  volume: [
    { label: 'm³', factor: 1, also: ['m3'] },
    { label: 'cc', factor: 1e-6, also: ['cm3', 'cm³', 'ccm', 'ml'] },
    { label: 'L', factor: 1e-3, also: ['litre', 'litres', 'liter', 'liters', 'dm3', 'dm³'] },
    { label: 'in³', factor: INCH ** 3, also: ['in3', 'cuin', 'ci'] },
  ],
  mass: [
    { label: 'kg', factor: 1 },
    { label: 'g', factor: 1e-3, also: ['gram', 'grams'] },
    { label: 'lb', factor: POUND, also: ['lbs', 'lbm', 'pound', 'pounds'] },
    { label: 'st', factor: 14 * POUND, also: ['stone', 'stones'] },
  ],
  force: [
    { label: 'N', factor: 1 },
    { label: 'kN', factor: 1e3 },
    { label: 'lbf', factor: POUND_FORCE, also: ['lb', 'lbs'] },
    { label: 'kgf', factor: STANDARD_GRAVITY, also: ['kp', 'kg'] },
  ],
  torque: [
    { label: 'N·m', factor: 1, also: ['nm'] },
    { label: 'lbf·ft', factor: POUND_FORCE * FOOT, also: ['lbft', 'ftlb', 'ftlbf', 'ftlbs', 'lbsft'] },
    { label: 'lbf·in', factor: POUND_FORCE * INCH, also: ['lbin', 'inlb', 'inlbf'] },
    { label: 'kgf·m', factor: STANDARD_GRAVITY, also: ['kgm', 'mkg', 'kpm'] },
  ],
  power: [
    { label: 'W', factor: 1 },
    { label: 'kW', factor: 1e3 },
    { label: 'hp', factor: 550 * POUND_FORCE * FOOT, also: ['bhp', 'whp'] },
    { label: 'PS', factor: 75 * STANDARD_GRAVITY, also: ['cv', 'ch'] },
  ],
  pressure: [
    { label: 'Pa', factor: 1 },
    { label: 'kPa', factor: 1e3 },
    { label: 'hPa', factor: 100, also: ['mbar'] },
    { label: 'bar', factor: 1e5 },
    { label: 'psi', factor: POUND_FORCE / INCH ** 2 },
    { label: 'inHg', factor: 3386.388640341 },
  ],
  speed: [
    { label: 'm/s', factor: 1, also: ['mps'] },
    { label: 'km/h', factor: 1 / 3.6, also: ['kmh', 'kph'] },
    { label: 'mph', factor: MILE / 3600, also: ['mi/h'] },
    { label: 'ft/s', factor: FOOT, also: ['fps'] },
  ],
  acceleration: [
    { label: 'm/s²', factor: 1, also: ['m/s2'] },
    { label: 'g', factor: STANDARD_GRAVITY },
    { label: 'ft/s²', factor: FOOT, also: ['ft/s2'] },
  ],
  angularSpeed: [
    { label: 'rad/s', factor: 1 },
    { label: 'rpm', factor: TURN / 60, also: ['1/min', 'r/min', 'u/min', 'min1'] },
  ],
  temperature: [
    { label: 'K', factor: 1, also: ['kelvin'] },
    { label: '°C', factor: 1, offset: 273.15, also: ['c', 'degc'] },
    { label: '°F', factor: 5 / 9, offset: 459.67 * (5 / 9), also: ['f', 'degf'] },
  ],
  angle: [
    { label: 'rad', factor: 1 },
    { label: '°', factor: TURN / 360, also: ['deg', 'degree', 'degrees'] },
  ],
  stiffness: [
    { label: 'N/m', factor: 1 },
    { label: 'N/mm', factor: 1e3 },
    { label: 'lbf/in', factor: POUND_FORCE / INCH, also: ['lb/in', 'lbs/in'] },
    { label: 'kgf/mm', factor: 1000 * STANDARD_GRAVITY, also: ['kg/mm'] },
  ],
  rollStiffness: [
    { label: 'N·m/rad', factor: 1, also: ['nm/rad'] },
    { label: 'N·m/°', factor: 360 / TURN, also: ['nm/deg', 'nm/°'] },
    {
      label: 'lbf·ft/°',
      factor: (POUND_FORCE * FOOT * 360) / TURN,
      also: ['lbft/deg', 'lbfft/deg', 'ftlb/deg'],
    },
  ],
  inertia: [
    { label: 'kg·m²', factor: 1, also: ['kgm2', 'kgm²'] },
    { label: 'kg·cm²', factor: 1e-4, also: ['kgcm2', 'kgcm²'] },
    { label: 'slug·ft²', factor: POUND_FORCE * FOOT, also: ['slugft2', 'slugft²'] },
  ],
  density: [
    { label: 'kg/m³', factor: 1, also: ['kg/m3'] },
    { label: 'slug/ft³', factor: POUND_FORCE / FOOT / FOOT ** 3, also: ['slug/ft3'] },
  ],
  time: [
    { label: 's', factor: 1, also: ['sec', 'second', 'seconds'] },
    { label: 'ms', factor: 1e-3 },
    { label: 'min', factor: 60 },
  ],
  perSpeed: [
    { label: 's/m', factor: 1, also: ['1/(m/s)'] },
    { label: '1/(km/h)', factor: 3.6, also: ['per km/h', '/(km/h)'] },
  ],
  perSpeedSquared: [{ label: 's²/m²', factor: 1, also: ['s2/m2'] }],
} as const satisfies Record<string, readonly Unit[]>;

export type Dimension = keyof typeof UNITS;

/** Every dimension there is, in the order of the table. */
export const DIMENSIONS = Object.keys(UNITS) as readonly Dimension[];

/** Units a builder may type or choose for a dimension, the SI unit first. */
export function unitsOf(dimension: Dimension): readonly Unit[] {
  return UNITS[dimension];
}

/** SI unit label of a dimension ('' where it has none). */
export function siLabel(dimension: Dimension): string {
  return UNITS[dimension][0].label;
}

/** Finds a unit of a dimension by any of its spellings; undefined when there is none. */
export function findUnit(dimension: Dimension, spelling: string): Unit | undefined {
  const typed = spelling.trim();
  const spellings = SPELLINGS[dimension];
  return spellings.get(typed) ?? spellings.get(canonical(typed));
}

/** Every spelling of every unit; labels as written go before canonical forms ('g' may be both). */
const SPELLINGS = Object.fromEntries(
  DIMENSIONS.map((dimension) => {
    const spellings = new Map<string, Unit>();
    const add = (spelling: string, unit: Unit) =>
      void (spellings.has(spelling) || spellings.set(spelling, unit));
    for (const unit of unitsOf(dimension)) add(unit.label, unit);
    for (const unit of unitsOf(dimension)) {
      add(canonical(unit.label), unit);
      for (const other of unit.also ?? []) add(canonical(other), unit);
    }
    return [dimension, spellings];
  }),
) as unknown as Readonly<Record<Dimension, ReadonlyMap<string, Unit>>>;

/** Converts a number of units to SI. */
export function toSI(value: number, unit: Unit): number {
  return value * unit.factor + (unit.offset ?? 0);
}

/** Converts an SI value to a number of units. */
export function fromSI(value: number, unit: Unit): number {
  return (value - (unit.offset ?? 0)) / unit.factor;
}

/** Converts an SI value to a unit given by its label; throws on a label the dimension lacks. */
export function inUnit(value: number, dimension: Dimension, label: string): number {
  const unit = findUnit(dimension, label);
  if (unit === undefined) throw new Error(`inUnit: '${label}' is no unit of ${dimension}`);
  return fromSI(value, unit);
}

export type { Unit };

function canonical(spelling: string): string {
  return spelling
    .toLowerCase()
    .replace(/[\s.*·⋅×^_-]/g, '')
    .replace(/²/g, '2')
    .replace(/³/g, '3');
}
