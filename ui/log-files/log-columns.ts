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
  /** SI per unit */
  readonly factor: number;
  readonly guessed: boolean;
}

/** A builder's word: the header (or number from 1) and unit of a role. */
export type ColumnChoices = Readonly<
  Partial<Record<LogRole, { readonly column?: string; readonly unit?: string }>>
>;

const PATTERNS: readonly (readonly [LogRole, RegExp])[] = [
  ['latitude', /\b(lat|latitude)\b/],
  ['longitude', /\b(lon|lng|long|longitude)\b/],
  ['lap', /\blap\b(?!.*time)/],
  ['engine speed', /\b(rpm|engine speed|revs?|tacho?|n mot)\b/],
  ['throttle', /\b(throttle|tps|pedal|gas)\b/],
  ['speed', /\b(speed|velocity|v|spd|vel)\b/],
  ['time', /\b(time|t|timestamp|stamp|elapsed|seconds|utc|clock|ms|sec)\b/],
  ['distance', /\b(distance|dist|odo|odometer)\b/],
  ['x', /\b(x|east|easting|pos x)\b/],
  ['y', /\b(y|north|northing|pos y)\b/],
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
    const { words, unit } = headWords(head);
    const role = PATTERNS.find(([name, pattern]) => pattern.test(words) && !found.has(name))?.[0];
    if (role !== undefined) found.set(role, columnOf(role, column, head, unit));
  }
  for (const [name, choice] of Object.entries(choices)) {
    const role = name as LogRole;
    const column = choice.column === undefined ? found.get(role)?.column : columnNamed(heads, choice.column);
    if (column === undefined)
      return `there is no column '${choice.column ?? role}'; there are ${heads.join(', ')}`;
    const head = heads[column] ?? '';
    const made = columnOf(role, column, head, choice.unit ?? headWords(head).unit);
    if (choice.unit !== undefined && made.unit === '') return `'${choice.unit}' is no unit of ${role}`;
    for (const [other, held] of found) if (held.column === column) found.delete(other);
    found.set(role, { ...made, guessed: false });
  }
  return [...found.values()];
}

/** A unit is known where the header or the builder says it; otherwise SI until the numbers say more. */
export function columnOf(role: LogRole, column: number, head: string, unit: string): LogColumn {
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
  return unit !== '' && known !== undefined
    ? { role, column, head, unit: known.label, factor: known.factor, guessed: false }
    : { role, column, head, unit: '', factor: 1, guessed: true };
}

function columnNamed(heads: readonly string[], name: string): number | undefined {
  const exact = heads.findIndex((head) => head.trim().toLowerCase() === name.trim().toLowerCase());
  if (exact >= 0) return exact;
  const n = Number(name);
  return Number.isInteger(n) && n >= 1 && n <= heads.length ? n - 1 : undefined;
}

const UNIT_WORDS = /\b(km\/?h|kmh|kph|mph|m\/s|mps|knots?|kn|rpm|ms|s|sec|m|ft|deg|%)$/i;

/** "GPS_Speed (km/h)" as words and unit; "speed_kmh" too. */
export function headWords(head: string): { words: string; unit: string } {
  const bracket = /[([{]\s*([^)\]}]{0,12}?)\s*[)\]}]\s*$/.exec(head.slice(0, 200));
  const bare = head.slice(0, bracket === null ? 200 : bracket.index);
  const words = bare
    .replace(/([a-z])([A-Z])/g, '$1 $2')
    .toLowerCase()
    .replace(/[_\-.,:;#"']+/g, ' ')
    .trim();
  if (bracket !== null) return { words, unit: unitWord(bracket[1] ?? '') };
  const tail = UNIT_WORDS.exec(words);
  return {
    words,
    unit: tail === null || tail[0] === words ? (/^(rpm|ms)$/.test(words) ? words : '') : unitWord(tail[0]),
  };
}

function unitWord(text: string): string {
  const plain = text.trim().toLowerCase();
  if (plain === 'mps') return 'm/s';
  if (plain === 'kmh' || plain === 'kph') return 'km/h';
  if (plain === 'knots' || plain === 'knot') return 'kn';
  return text.trim();
}
