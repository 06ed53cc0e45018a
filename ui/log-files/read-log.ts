/**
 * A drive from a file: a table of a logger or phone (any separator, decimal commas, messy headers), or GPX with times.
 *
 * In: text of any origin, its name, the builder's word on columns. Out: a drive in SI with, for people, how every column
 * was understood and what was mended or left out; or problems with row and remedy. What the numbers contradict - km/h said
 * to be m/s, milliseconds said to be seconds - is corrected and said. Bounded work; the file is data, never markup.
 */
import Papa from 'papaparse';
import type { DriveLog, Problem } from '../../sim/index.ts';
import { problem } from '../../sim/index.ts';
import { Refusal } from '../web/exchange/track-files/course-file.ts';
import { toMetres } from '../web/exchange/track-files/local-metres.ts';
import { readGpx } from '../web/exchange/track-files/read-gpx.ts';
import { decimalOf, isNumber, numberOfCell, splitTable } from '../web/forms/paste-table.ts';
import { list } from '../web/words/lap-words.ts';
import { type ColumnChoices, columnsOf, type LogColumn } from './log-columns.ts';
import { driveOf, type RawDrive } from './raw-drive.ts';

export interface LogRead {
  readonly log?: DriveLog;
  readonly columns: readonly LogColumn[];
  /** Headers of the table, also where it cannot be read otherwise; none for other files. */
  readonly heads: readonly string[];
  /** For people: what was understood, guessed, mended, left out. */
  readonly remarks: readonly string[];
  readonly problems: readonly Problem[];
}

/** Largest log read, bytes: a log worth matching is minutes. */
export const MAX_LOG_BYTES = 15_000_000;
/** Rows: a day at ten a second is 860,000; a log worth matching is minutes. */
const MAX_ROWS = 200_000;
const MAX_COLUMNS = 200;
const LOOKED_AT = 20_000;
const MOST_PREAMBLE = 60;
/** Of columns not used; a logger may have a hundred. */
const MOST_NAMED = 12;
const DELIMITERS = { tab: '\t', semicolon: ';', bar: '|', comma: ',', spaces: ' ' } as const;

export function readLog(name: string, text: string, choices: ColumnChoices = {}): LogRead {
  if (text.length > MAX_LOG_BYTES)
    return refused('too-large', '', `${name} is too large for a log`, {
      value: `${(text.length / 1e6).toFixed(0)} MB`,
      limit: `${MAX_LOG_BYTES / 1e6} MB`,
      remedy: 'cut out the runs that matter, or log fewer channels',
    });
  return /^\s*(\ufeff)?<(\?xml|gpx|!DOCTYPE)/i.test(text.slice(0, 400))
    ? fromGpx(text)
    : fromTable(text, choices);
}

function fromGpx(text: string): LogRead {
  try {
    const { courses } = readGpx(text);
    // The segments of a track come by themselves and joined: the joined one, first, holds them all.
    const longest = courses.toSorted((a, b) => b.places.length - a.places.length)[0];
    const timed = (longest?.places ?? []).filter(({ time }) => time !== undefined);
    if (timed.length < 10)
      return refused('no-times', '', 'the GPX file has no places with times', {
        remedy: 'export a recording, not a planned route',
      });
    const origin = { latitude: timed[0]!.y, longitude: timed[0]!.x };
    const places = timed.map(({ x, y }) => toMetres(origin, y, x));
    return finished(
      { time: timed.map((p) => p.time!), x: places.map((p) => p.x), y: places.map((p) => p.y) },
      [],
      [`GPX: ${timed.length} places with times.`],
      [],
    );
  } catch (error) {
    if (error instanceof Refusal) return { columns: [], heads: [], remarks: [], problems: [error.problem] };
    throw error;
  }
}

function fromTable(text: string, choices: ColumnChoices): LogRead {
  const clean = text.replace(/^\ufeff/, '').replace(/^sep=.\r?\n/i, '');
  if (clean.trim() === '')
    return refused('empty', '', 'the file is empty', { remedy: 'export or copy the log once more' });
  const { separator } = splitTable(clean.slice(0, LOOKED_AT));
  const rows = rowsOf(clean, separator);
  const start = rows.slice(0, MOST_PREAMBLE).findIndex((row) => row.filter(isValue).length >= 2);
  const problemHere = (message: string) =>
    refused('no-table', 'row 1', message, {
      remedy: 'a log is a table with a row of headers, a column of times and a column of speeds or places',
    });
  if (start < 0)
    return isHeadsOnly(clean)
      ? refused('no-rows', 'row 1', 'there are headers, but no rows of numbers below them', {
          remedy: 'export the log once more, with its data',
        })
      : problemHere('there is no row with two numbers');
  if (start === 0) return problemHere('there is no row of headers above the numbers');
  // Units may have a row of their own between headers and numbers.
  const { heads, unitsRow } = headsAbove(rows, start);
  const columns = columnsOf(heads, choices);
  if (typeof columns === 'string') return refused('no-column', '', columns, {}, heads);
  const data = rows.slice(start);
  const decimal =
    decimalOf(data.slice(0, 300).flat().filter(isNumber)) ??
    (separator !== 'comma' &&
    data
      .slice(0, 300)
      .flat()
      .some((cell) => /\d,\d/.test(cell))
      ? ','
      : '.');
  const pick = (role: LogColumn['role']) => columns.find((c) => c.role === role);
  const time = pick('time');
  if (time === undefined)
    return refused(
      'no-time',
      'row 1',
      'no column of times was found',
      { value: heads.join(', ').slice(0, 200) },
      heads,
      columns,
    );
  const cells = (column: LogColumn | undefined): number[] | undefined =>
    column === undefined
      ? undefined
      : data.map((row) => {
          const number = numberOfCell(row[column.column] ?? '', decimal);
          return number === undefined ? Number.NaN : number * column.factor;
        });
  const clock = data.map((row) => momentOf(row[time.column] ?? '', decimal));
  const [lat, lon] = [cells(pick('latitude')), cells(pick('longitude'))];
  const first = lat?.findIndex(
    (v, i) => Number.isFinite(v) && Number.isFinite(lon?.[i]) && (v !== 0 || lon?.[i] !== 0),
  );
  const places =
    lat === undefined || lon === undefined || first === undefined || first < 0
      ? undefined
      : lat.map((v, i) =>
          Number.isFinite(v) && Number.isFinite(lon[i]) && Math.abs(v) <= 90 && Math.abs(lon[i]!) <= 180
            ? toMetres({ latitude: lat[first]!, longitude: lon[first]! }, v, lon[i]!)
            : { x: Number.NaN, y: Number.NaN },
        );
  const raw: RawDrive = optional({
    time: clock.map((t) => (typeof t === 'number' ? t * time.factor : t.seconds)),
    speed: cells(pick('speed')),
    engineSpeed: cells(pick('engine speed')),
    throttle: cells(pick('throttle')),
    x: places?.map((p) => p.x) ?? cells(pick('x')),
    y: places?.map((p) => p.y) ?? cells(pick('y')),
    distance: cells(pick('distance')),
    lap: cells(pick('lap')),
  });
  const read = [
    `Cells parted by ${separator === 'spaces' ? 'spaces' : `${separator}s`}, decimal ${decimal === '.' ? 'points' : 'commas'}, ${data.length} rows${unitsRow ? ', a row of units' : ''}.`,
    ...(data.length >= MAX_ROWS ? [`Only the first ${MAX_ROWS} rows were read.`] : []),
  ];
  return finished(raw, columns, read, heads);
}

function finished(
  raw: RawDrive,
  columns: readonly LogColumn[],
  remarks: readonly string[],
  heads: readonly string[],
): LogRead {
  const made = driveOf(raw, columns);
  if ('problem' in made) {
    const among = made.problem.code === 'no-speed' ? { value: heads.join(', ').slice(0, 200) } : {};
    return { columns, heads, remarks, problems: [{ ...made.problem, ...among }] };
  }
  const unused = heads.filter((_, k) => made.columns.every(({ column }) => column !== k));
  return {
    log: made.log,
    columns: made.columns,
    heads,
    remarks: [
      ...remarks,
      ...made.columns.map(
        ({ head, role, unit, guessed }) =>
          `"${head.slice(0, 40)}": ${role}${unit === '' ? '' : `, ${unit}`}${guessed && unit !== '' ? ' (guessed)' : ''}.`,
      ),
      ...(unused.length === 0 ? [] : [`Not used: ${namesOf(unused)}.`]),
      ...made.remarks,
    ],
    problems: [],
  };
}

function namesOf(heads: readonly string[]): string {
  const named = heads.slice(0, MOST_NAMED).map((head) => `"${head.slice(0, 40)}"`);
  return list(heads.length > MOST_NAMED ? [...named, `${heads.length - MOST_NAMED} more`] : named);
}

/** Is there a line whose cells are headers of two roles or more? Without numbers nothing tells the separator. */
function isHeadsOnly(text: string): boolean {
  return text
    .slice(0, LOOKED_AT)
    .split(/\r?\n/, MOST_PREAMBLE)
    .some((line) =>
      [/\t/, /;/, /\|/, /,/].some((mark) => {
        const columns = columnsOf(line.split(mark).slice(0, MAX_COLUMNS), {});
        return typeof columns !== 'string' && columns.length >= 2;
      }),
    );
}

function rowsOf(text: string, separator: keyof typeof DELIMITERS): string[][] {
  if (separator === 'spaces')
    return text
      .split(/\r?\n/, MAX_ROWS + MOST_PREAMBLE)
      .filter((line) => !/^\s*(#|$)/.test(line))
      .map((line) => line.trim().split(/\s+/).slice(0, MAX_COLUMNS));
  const { data } = Papa.parse<string[]>(text, {
    delimiter: DELIMITERS[separator],
    skipEmptyLines: 'greedy',
    comments: '#',
    preview: MAX_ROWS + MOST_PREAMBLE,
  });
  return data.map((row) => row.slice(0, MAX_COLUMNS).map((cell) => cell.trim()));
}

function headsAbove(rows: readonly string[][], start: number): { heads: string[]; unitsRow: boolean } {
  const above = rows[start - 1]!;
  const names = start >= 2 ? rows[start - 2]! : undefined;
  const areUnits =
    names !== undefined &&
    names.length === above.length &&
    above.every((cell) => cell.length <= 8) &&
    above.some((cell) =>
      /^[[(]?(s|ms|km\/?h|m\/s|mph|rpm|(u|t|tr|giri|r|1)\/min|%|deg|°|m)[\])]?$/i.test(cell),
    );
  if (!areUnits) return { heads: [...above], unitsRow: false };
  return {
    heads: names.map((name, i) =>
      above[i] === '' ? name : `${name} (${above[i]!.replace(/[[\]()]/g, '')})`,
    ),
    unitsRow: true,
  };
}

function isValue(cell: string): boolean {
  return isNumber(cell) || typeof momentOf(cell, '.') !== 'number';
}

/** A number as it is; a clock or a date as seconds, which no unit of the column scales. */
function momentOf(cell: string, decimal: '.' | ','): number | { readonly seconds: number } {
  const clock = /^(?:(\d{1,2}):)?(\d{1,2}):(\d{2}(?:[.,]\d+)?)$/.exec(cell.trim());
  if (clock !== null)
    return {
      seconds: Number(clock[1] ?? 0) * 3600 + Number(clock[2]) * 60 + Number(clock[3]!.replace(',', '.')),
    };
  if (/^\d{4}-\d{2}-\d{2}[T ]\d{2}:\d{2}/.test(cell.trim())) {
    const moment = Date.parse(cell.trim().replace(' ', 'T').replace(',', '.').slice(0, 40));
    if (Number.isFinite(moment)) return { seconds: moment / 1000 };
  }
  return numberOfCell(cell, decimal) ?? Number.NaN;
}

function optional(raw: { [K in keyof RawDrive]: RawDrive[K] | undefined }): RawDrive {
  return Object.fromEntries(
    Object.entries(raw).filter(([, value]) => value !== undefined),
  ) as unknown as RawDrive;
}

function refused(
  code: string,
  path: string,
  message: string,
  details: { value?: string; limit?: string; remedy?: string } = {},
  heads: readonly string[] = [],
  columns: readonly LogColumn[] = [],
): LogRead {
  return { columns, heads, remarks: [], problems: [problem(code, path, message, details)] };
}
