/**
 * Where every number of a project comes from and how sure the builder is of it.
 *
 * In: the project file as written. Out: one note per quantity: path, SI value, one standard deviation,
 * origin. Values the file leaves out appear with the default taken and the origin 'assumed'. The list
 * of assumptions, the usual-range warnings and the uncertainty study read this.
 */
import type { QuantityName } from '../quantities/table.ts';
import { quantity, spreadOf } from '../quantities/table.ts';
import { childPath, isGroup } from './paths.ts';
import type { Origin } from './quantity-field.ts';
import { readQuantity, readRatio, readSpread } from './quantity-field.ts';
import type { Shape } from './shape.ts';
import { chosenOption, PROJECT_SHAPE } from './shape.ts';

export interface InputNote {
  readonly path: string;
  readonly quantity: QuantityName;
  /** SI; 1 for a dyno sheet, whose spread scales all its figures together. */
  readonly value: number;
  /** One standard deviation, SI. */
  readonly spread: number;
  /** 'given': written without an origin. */
  readonly origin: Origin | 'given';
  /** True where the spread is the table's, false where the builder stated it. */
  readonly spreadAssumed: boolean;
  readonly note?: string;
}

/** Notes on every quantity of a file that has passed the schema. */
export function collectOrigins(raw: unknown): InputNote[] {
  const notes: InputNote[] = [];
  walk(PROJECT_SHAPE, raw, '', false, notes);
  return notes;
}

function walk(shape: Shape, raw: unknown, path: string, assumed: boolean, notes: InputNote[]): void {
  switch (shape.kind) {
    case 'quantity':
      noteOf(shape.name, raw, path, assumed, notes);
      return;
    case 'choice':
      walk(chosenOption(shape.options, raw), raw, path, assumed, notes);
      return;
    case 'list':
      if (Array.isArray(raw))
        raw.forEach((item, i) => void walk(shape.item, item, childPath(path, i), assumed, notes));
      return;
    case 'ids':
      if (!isGroup(raw)) return;
      for (const [key, entry] of Object.entries(raw))
        walk(shape.entry, entry, childPath(path, key), assumed, notes);
      return;
    case 'group':
      if (!isGroup(raw)) return;
      for (const [key, field] of Object.entries(shape.fields)) {
        if (key === 'spread') continue;
        const there = Object.hasOwn(raw, key);
        const value = there ? raw[key] : field.fallback;
        if (value !== undefined) walk(field.shape, value, childPath(path, key), assumed || !there, notes);
      }
      if ('points' in shape.fields && 'standard' in shape.fields) sheetNote(raw, path, notes);
      return;
    default:
  }
}

function noteOf(name: QuantityName, raw: unknown, path: string, assumed: boolean, notes: InputNote[]): void {
  const annotated = isGroup(raw) ? raw : { value: raw };
  const written = annotated['value'];
  if (typeof written !== 'number' && typeof written !== 'string') return;
  const value = name === 'ratio' ? readRatio(written) : readQuantity(written, name);
  if (typeof value !== 'number') return;
  const stated = annotated['spread'] as number | string | undefined;
  const spread = stated === undefined ? spreadOf(name, value) : readSpread(stated, name, value);
  if (typeof spread !== 'number') return;
  const given = (annotated['origin'] as Origin | undefined) ?? 'given';
  const note = annotated['note'] as string | undefined;
  notes.push({
    path,
    quantity: name,
    value,
    spread,
    origin: assumed ? 'assumed' : given,
    spreadAssumed: stated === undefined,
    ...(note === undefined ? {} : { note }),
  });
}

/** A dyno sheet is uncertain as a whole: operator, gear and conditions move all its figures together. */
function sheetNote(sheet: Record<string, unknown>, path: string, notes: InputNote[]): void {
  const stated = sheet['spread'];
  const read =
    typeof stated === 'number' || typeof stated === 'string' ? readQuantity(stated, 'share') : undefined;
  notes.push({
    path: childPath(path, 'points'),
    quantity: 'engineTorque',
    value: 1,
    spread: typeof read === 'number' ? read : spreadOf('engineTorque', 1),
    origin: (sheet['origin'] as Origin | undefined) ?? 'given',
    spreadAssumed: typeof read !== 'number',
  });
}

/** A note's value judged against the band of real builds; undefined where it lies within. */
export function outsideUsual(note: InputNote): readonly [number, number] | undefined {
  const usual = quantity(note.quantity).usual;
  if (usual === undefined || note.origin === 'assumed') return undefined;
  // A whisker of room: a value written in another unit may miss the edge by rounding.
  const room = 1e-9 * (usual[1] - usual[0]);
  return note.value < usual[0] - room || note.value > usual[1] + room ? usual : undefined;
}
