/**
 * Taking a fitted value over into the file: what to write, where, and what stood there before, so that it can be undone.
 *
 * In: the project file as written, a match, which values, a date (a log's or today's, as text: sim knows no clock), what the
 * log is called. Out: edits by path with the raw value before and after; and the file with edits done or undone. A value is
 * written in SI with its spread, the origin 'measured' and a dated note. A dyno sheet is scaled row by row in its own units.
 */
import { readDragPoints, readPoints } from '../../project/points.ts';
import type { PointsSpec } from '../../project/schema.ts';
import type { FittedValue } from './refusals.ts';

export interface RawEdit {
  readonly path: string;
  /** Undefined: there was nothing there. */
  readonly before: unknown;
  readonly after: unknown;
}

export interface AcceptedFrom {
  /** Such as 2026-05-17 */
  readonly date: string;
  /** What the log is called */
  readonly log: string;
}

export interface AcceptedPlace {
  readonly path: string;
  readonly before: number;
  readonly after: number;
  readonly spread: number;
}

export function editsFor(
  raw: unknown,
  accepted: readonly (
    | Pick<FittedValue, 'id' | 'places'>
    | { readonly id: string; readonly places: readonly AcceptedPlace[] }
  )[],
  from: AcceptedFrom,
): RawEdit[] {
  return accepted.flatMap(({ id, places }) =>
    places.flatMap((place) =>
      /\.(points|closedThrottle)$/.test(place.path)
        ? sheetEdits(raw, place, id, from)
        : [edit(raw, place.path, noted(place, from))],
    ),
  );
}

/** The file with the edits done, or undone; everything else shared with the old one. */
export function withEdits(raw: unknown, edits: readonly RawEdit[], which: 'after' | 'before'): unknown {
  const order = which === 'after' ? edits : edits.toReversed();
  return order.reduce<unknown>((file, edit) => replaced(file, edit.path.split('.'), edit[which]), raw);
}

/** Does the file still hold all that edits put there? */
export function holdsEdits(raw: unknown, edits: readonly RawEdit[]): boolean {
  return edits.every(({ path, after }) => isSame(rawAt(raw, path), after));
}

function isSame(a: unknown, b: unknown): boolean {
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return Object.is(a, b);
  const [own, other] = [Object.entries(a), new Map(Object.entries(b))];
  return (
    own.length === other.size && own.every(([key, item]) => other.has(key) && isSame(item, other.get(key)))
  );
}

function noted(
  { before, after, spread }: AcceptedPlace,
  { date, log }: AcceptedFrom,
): Record<string, unknown> {
  return {
    value: tidy(after),
    spread: tidy(spread),
    origin: 'measured',
    note: `${date}: fitted to ${log}; was ${tidy(before)}`,
  };
}

function sheetEdits(raw: unknown, place: AcceptedPlace, id: string, from: AcceptedFrom): RawEdit[] {
  const spec = rawAt(raw, place.path) as PointsSpec | undefined;
  if (spec === undefined) return [];
  const read = place.path.endsWith('.closedThrottle') ? readDragPoints : readPoints;
  const { points } = read(spec, place.path);
  if (points === undefined) return [];
  const factor = place.after / place.before;
  const scaled = {
    columns: ['rad/s', 'N·m'],
    rows: points.speed.map((speed, i) => [tidy(speed), tidy(points.torque[i]! * factor)]),
  };
  const edits: RawEdit[] = [edit(raw, place.path, scaled)];
  if (!place.path.endsWith('.points')) return edits;
  // donors.x.torque.points: spread and origin of the sheet stand beside the points, a note at the donor.
  const sheet = place.path.slice(0, -'.points'.length);
  const donor = sheet.slice(0, -'.torque'.length);
  const put = (path: string, after: unknown) => edits.push(edit(raw, path, after));
  put(`${sheet}.spread`, tidy(place.spread));
  put(`${sheet}.origin`, 'measured');
  const old = rawAt(raw, `${donor}.note`);
  const note = `${from.date}: ${id} of the sheet times ${tidy(factor)}, fitted to ${from.log}.`;
  put(`${donor}.note`, typeof old === 'string' && old !== '' ? `${old} ${note}` : note);
  return edits;
}

/** Where the file has not even the group, the group is what is written, so that undoing leaves nothing behind. */
function edit(raw: unknown, path: string, after: unknown): RawEdit {
  const keys = path.split('.');
  const depth = keys.findIndex(
    (_, k) => k < keys.length - 1 && rawAt(raw, keys.slice(0, k + 1).join('.')) === undefined,
  );
  if (depth < 0) return { path, before: rawAt(raw, path), after };
  const value = keys.slice(depth + 1).reduceRight<unknown>((inner, key) => ({ [key]: inner }), after);
  return { path: keys.slice(0, depth + 1).join('.'), before: undefined, after: value };
}

function rawAt(raw: unknown, path: string): unknown {
  return path
    .split('.')
    .reduce<unknown>(
      (here, key) =>
        typeof here === 'object' && here !== null && Object.hasOwn(here, key)
          ? (here as Record<string, unknown>)[key]
          : undefined,
      raw,
    );
}

function replaced(here: unknown, [key, ...rest]: readonly string[], value: unknown): unknown {
  if (key === undefined) return value;
  const group = typeof here === 'object' && here !== null ? (here as Record<string, unknown>) : {};
  const inner = replaced(group[key], rest, value);
  if (inner !== undefined) return { ...group, [key]: inner };
  const { [key]: _gone, ...others } = group;
  return others;
}

/** Six digits: a hundred times finer than any spread here. */
function tidy(x: number): number {
  return Number(x.toPrecision(6));
}
