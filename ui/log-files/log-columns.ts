/**
 * Which column of a log is what, and in which unit: from its header, corrected by what its numbers can be.
 *
 * In: headers and some rows of numbers. Out: columns with roles and units, and whether they were guessed. A builder's own
 * word stands over every guess.
 */
import { findUnit } from '../../sim/index.ts';

export const LOG_ROLES = [
  'time',
  'speed',
  'engine speed',
  'throttle',
  'latitude',
  'longitude',
  'x',
  'y',
  'distance',
  'lap',
] as const;
export type LogRole = (typeof LOG_ROLES)[number];

export interface LogColumn {
  readonly role: LogRole;
  /** From 0 */
  readonly column: number;
  readonly head: string;
  /** As written or guessed; empty where the role has none */
  readonly unit: string;
  /** Engine speed: the header's "x1000" */
  readonly times?: number;
  /** SI per unit */
  readonly factor: number;
  readonly guessed: boolean;
}

/** A builder's word on a role: the header (or number from 1, as text), or the place from 0, or null for none; the unit. */
export type ColumnChoices = Readonly<
  Partial<Record<LogRole, { readonly column?: string | number | null; readonly unit?: string }>>
>;

/** Codes of problems a builder's word on the columns can put right. */
export const COLUMN_TROUBLES: readonly string[] = ['no-time', 'no-speed', 'no-column'];

/** Units a builder may give a role; none where the role has none or the numbers say it. */
export const UNITS_OF_ROLE: Readonly<Partial<Record<LogRole, readonly string[]>>> = {
  time: ['s', 'ms', 'min'],
  speed: ['km/h', 'mph', 'm/s', 'kn'],
  'engine speed': ['rpm', 'rpm x 1000', 'rad/s'],
  x: ['m', 'km', 'ft'],
  y: ['m', 'km', 'ft'],
  distance: ['m', 'km', 'ft'],
};

/** Ordinary words of several languages, small letters without accents. The first role that fits a header is the header's. */
const PATTERNS: readonly (readonly [LogRole, RegExp])[] = [
  ['latitude', /\b(lat|latitude|latitud|latitudine|breitengrad|breedtegraad)\b/],
  [
    'longitude',
    /\b(lon|lng|longitude|longitud|longitudine|langengrad|lengtegraad)\b|\blong\b(?!.*\b(acc|accel|acceleration|g)\b)/,
  ],
  ['lap', /\blap\b(?!.*(time|distance))|\b(runde|tour|vuelta|giro|volta|ronde)\b/],
  [
    'engine speed',
    /\b(rpm|engine speed|revs?|tacho?|n mot|drehzahl|motordrehzahl|regime|revoluciones|giri|toerental|rotacao|rotacoes)\b|^n$|\b(u|t|tr|tours|giri|r|1)\/min\b/,
  ],
  [
    'throttle',
    /\b(throttle|tps|pedal|gas|gaspedal|drosselklappe|accelerateur|papillon|acelerador|acceleratore|farfalla|gaspedaal)\b/,
  ],
  [
    'speed',
    /^(?!engine).*\b(speed|velocity|v|spd|vel|geschwindigkeit|geschw|vitesse|velocidad|velocidade|velocita|snelheid|hastighet)\b/,
  ],
  [
    'time',
    /\b(time|t|timestamp|stamp|elapsed|seconds|utc|clock|ms|sec|zeit|uhrzeit|zeitstempel|temps|heure|tiempo|hora|tempo|ora|tijd)\b/,
  ],
  ['distance', /\b(distance|dist|odo|odometer|strecke|wegstrecke|distanz|distancia|distanza|afstand)\b/],
  ['x', /\b(x|east|easting|pos x|ost|est|este)\b/],
  ['y', /\b(y|north|northing|pos y|nord|norte)\b/],
];

const DIMENSION = {
  speed: 'speed',
  'engine speed': 'angularSpeed',
  x: 'length',
  y: 'length',
  distance: 'length',
  throttle: 'ratio',
} as const;

/** Seconds per unit of time. */
const TIMES: Readonly<Record<string, number>> = {
  s: 1,
  sec: 1,
  seconds: 1,
  ms: 1e-3,
  us: 1e-6,
  µs: 1e-6,
  min: 60,
};

export function columnsOf(heads: readonly string[], choices: ColumnChoices): LogColumn[] | string {
  const found = new Map<LogRole, LogColumn>();
  for (const [column, head] of heads.entries()) {
    const { words, unit, times } = headWords(head);
    const role =
      PATTERNS.find(([name, pattern]) => pattern.test(words) && !found.has(name))?.[0] ??
      (unit === 'rpm' && !found.has('engine speed') ? 'engine speed' : undefined);
    if (role !== undefined) found.set(role, columnOf(role, column, head, unit, times));
  }
  for (const [name, choice] of Object.entries(choices)) {
    const role = name as LogRole;
    if (choice.column === null) {
      found.delete(role);
      continue;
    }
    const column = choice.column === undefined ? found.get(role)?.column : columnNamed(heads, choice.column);
    if (column === undefined)
      return `there is no column '${choice.column ?? role}'; there are ${heads.join(', ')}`;
    const head = heads[column] ?? '';
    const said = choice.unit === undefined ? headWords(head) : unitAndTimes(choice.unit);
    const made = columnOf(role, column, head, said.unit, said.times);
    if (choice.unit !== undefined && made.unit === '') return `'${choice.unit}' is no unit of ${role}`;
    for (const [other, held] of found) if (held.column === column) found.delete(other);
    found.set(role, { ...made, guessed: made.guessed && choice.unit === undefined });
  }
  return [...found.values()];
}

/** A unit is known where the header or the builder says it; otherwise SI until the numbers say more. */
export function columnOf(
  role: LogRole,
  column: number,
  head: string,
  unit: string,
  times: number | undefined,
): LogColumn {
  if (role === 'time') {
    const factor = TIMES[unit.toLowerCase()];
    return {
      role,
      column,
      head,
      unit: factor === undefined ? '' : unit,
      factor: factor ?? 1,
      guessed: factor === undefined,
    };
  }
  // What receivers at sea and in the air count in.
  if (role === 'speed' && unit === 'kn')
    return { role, column, head, unit, factor: 1852 / 3600, guessed: false };
  if (!(role in DIMENSION)) return { role, column, head, unit: '', factor: 1, guessed: false };
  const known = findUnit(
    DIMENSION[role as keyof typeof DIMENSION],
    unit === 'kmh' || unit === 'kph' ? 'km/h' : unit,
  );
  const many = role === 'engine speed' && times !== undefined ? { times } : {};
  const scale = many.times ?? 1;
  return unit !== '' && known !== undefined
    ? {
        role,
        column,
        head,
        unit: timesUnit(known.label, many.times),
        factor: known.factor * scale,
        guessed: false,
        ...many,
      }
    : { role, column, head, unit: '', factor: scale, guessed: true, ...many };
}

/** "rpm x 1000" */
export function timesUnit(unit: string, times: number | undefined): string {
  return times === undefined ? unit : `${unit} x ${times}`;
}

function columnNamed(heads: readonly string[], name: string | number): number | undefined {
  if (typeof name === 'number') return Object.hasOwn(heads, name) ? name : undefined;
  const exact = heads.findIndex((head) => head.trim().toLowerCase() === name.trim().toLowerCase());
  if (exact >= 0) return exact;
  const n = Number(name);
  return Number.isInteger(n) && n >= 1 && n <= heads.length ? n - 1 : undefined;
}

const UNIT_WORDS =
  /(?<![a-z0-9])(km\/?h|kmh|kph|mph|m\/s|mps|knots?|kn|rpm|(?:u|t|tr|tours|giri|r|1)\/min|ms|s|sec|m|ft|deg|%)$/i;
/** Turns a minute, as several languages write it. */
const RPM_WORDS = /^(rpm|(u|t|tr|tours|giri|r|1)\/min|min-1|min⁻¹)$/i;
/** "x1000", "/100", and "1000 rpm". */
const TIMES_WORDS =
  /(?:(?<![a-z])x|(?<=rpm)x|[×*/])\s*(10{1,3})(?![\d.])|(?<![\d.])(10{2,3})\s*(?=rpm|[ur1]?\/min)/i;

/** "GPS_Speed (km/h)" as words and unit; "speed_kmh" too. "Engine speed rpm x1000" has a factor besides. */
export function headWords(head: string): { words: string; unit: string; times: number | undefined } {
  const { rest, times } = withoutTimes(head.slice(0, 200));
  const bracket = /[([{]\s*([^)\]}]{0,12}?)\s*[)\]}]\s*$/.exec(rest);
  const bare = rest.slice(0, bracket === null ? 200 : bracket.index);
  const words = bare
    .normalize('NFD')
    .replace(/\p{M}/gu, '')
    .replace(/([a-z])([A-Z])/g, '$1 $2')
    .toLowerCase()
    .replace(/[_\-.,:;#"']+/g, ' ')
    .trim();
  if (bracket !== null && bracket[1] !== '') return { words, unit: unitWord(bracket[1] ?? ''), times };
  const tail = UNIT_WORDS.exec(words);
  const isWhole = tail !== null && tail[0] === words;
  return {
    words,
    unit: tail === null || (isWhole && words !== 'ms' && !RPM_WORDS.test(words)) ? '' : unitWord(tail[0]),
    times,
  };
}

/** A unit as the builder gives it: "rpm x 1000". */
function unitAndTimes(text: string): { unit: string; times: number | undefined } {
  const { rest, times } = withoutTimes(text);
  return { unit: unitWord(rest), times };
}

function withoutTimes(text: string): { rest: string; times: number | undefined } {
  const found = TIMES_WORDS.exec(text);
  return found === null
    ? { rest: text, times: undefined }
    : { rest: text.replace(found[0], ' '), times: Number(found[1] ?? found[2]) };
}

function unitWord(text: string): string {
  const plain = text.trim().toLowerCase();
  if (plain === 'mps') return 'm/s';
  if (plain === 'kmh' || plain === 'kph') return 'km/h';
  if (plain === 'knots' || plain === 'knot') return 'kn';
  if (RPM_WORDS.test(plain)) return 'rpm';
  return text.trim();
}
