/**
 * What is wrong with the shape of a file, in plain words.
 *
 * In: the JSON value and the schema. Out: every problem with its path, value, limit and remedy. The
 * schema library decides what is accepted; this file finds what it would pass over (second and further
 * unknown keys, lists where groups belong) and translates its issues.
 */
import * as v from 'valibot';
import { quantity } from '../quantities/table.ts';
import { FORBIDDEN_KEYS } from './json-text.ts';
import { didYouMean, someOf } from './nearest.ts';
import { childPath, isGroup, valueAt } from './paths.ts';
import type { Problem } from './problem.ts';
import { problem } from './problem.ts';
import { decodeIssue } from './quantity-field.ts';
import type { Shape } from './shape.ts';
import { chosenOption, PROJECT_SHAPE } from './shape.ts';

type Issue = v.BaseIssue<unknown>;
type Keys = readonly (string | number)[];

const ANNOTATION = ['value', 'spread', 'origin', 'note'];

/** A problem with the keys of its path, for finding the entry it spoils. */
export interface ShapeProblem {
  readonly keys: Keys;
  readonly problem: Problem;
}

/** Every problem of shape in `raw`, given the issues the schema found in it. */
export function shapeProblems(raw: unknown, issues: readonly Issue[]): ShapeProblem[] {
  const found: ShapeProblem[] = [];
  findStrangers(PROJECT_SHAPE, raw, [], found);
  const strangers = found.map((f) => f.problem.path);
  for (const issue of issues) translate(issue, [], raw, found, strangers);
  return found;
}

/** Keys nobody knows and lists in place of groups. */
function findStrangers(shape: Shape, raw: unknown, keys: Keys, found: ShapeProblem[]): void {
  if (shape.kind === 'list' || shape.kind === 'row') {
    if (!Array.isArray(raw)) return;
    if (shape.kind === 'row' && raw.length !== shape.items.length) {
      add(found, keys, 'wrong-kind', `must have ${shape.items.length} entries`, { value: shown(raw) });
      return;
    }
    raw.forEach((item, i) => {
      const inner = shape.kind === 'list' ? shape.item : shape.items[i];
      if (inner !== undefined) findStrangers(inner, item, [...keys, i], found);
    });
    return;
  }
  if (shape.kind === 'choice') {
    findStrangers(chosenOption(shape.options, raw), raw, keys, found);
    return;
  }
  if (shape.kind !== 'group' && shape.kind !== 'ids' && shape.kind !== 'quantity') return;
  if (Array.isArray(raw)) {
    const wanted = shape.kind === 'quantity' ? 'a number or text with a unit' : 'a group { }';
    add(found, keys, 'wrong-kind', `must be ${wanted}, not a list [ ]`);
    return;
  }
  if (!isGroup(raw)) return;
  for (const [key, value] of Object.entries(raw)) {
    if (FORBIDDEN_KEYS.has(key))
      add(found, [...keys, key], 'forbidden-key', 'has a name that is not allowed', { remedy: 'rename it' });
    else if (shape.kind === 'ids') findStrangers(shape.entry, value, [...keys, key], found);
    else stranger(shape, key, value, keys, found);
  }
}

function stranger(
  shape: Extract<Shape, { kind: 'group' | 'quantity' }>,
  key: string,
  value: unknown,
  keys: Keys,
  found: ShapeProblem[],
): void {
  const known = shape.kind === 'group' ? Object.keys(shape.fields) : ANNOTATION;
  if (!known.includes(key)) {
    add(found, [...keys, key], 'unknown-key', 'is not a field known here', {
      limit: someOf(known, 20),
      remedy: didYouMean(key, known, 'remove it, or put it in a note'),
    });
    return;
  }
  const field = shape.kind === 'group' ? shape.fields[key] : undefined;
  if (field !== undefined) findStrangers(field.shape, value, [...keys, key], found);
}

/** Turns one issue of the schema library into a problem, unless it is already told. */
function translate(
  issue: Issue,
  above: Keys,
  raw: unknown,
  found: ShapeProblem[],
  told: readonly string[],
): void {
  const keys = [...above, ...keysOf(issue)];
  const path = pathOf(keys);
  const value = valueAt(raw, keys);
  const quantityIssue = decodeIssue(issue.message);
  if (quantityIssue !== undefined) {
    const { code, message, ...details } = quantityIssue;
    found.push({ keys, problem: problem(code, path, message, details) });
    return;
  }
  const inRow = typeof keys.at(-1) === 'number' && told.includes(pathOf(keys.slice(0, -1)));
  if (inRow || told.includes(path)) return;
  const shape = shapeAt(keys, raw);
  const missing =
    issue.type === 'strict_object' && issue.received === 'undefined' && issue.expected?.startsWith('"');
  if (missing === true) {
    add(found, keys, ...missingField(shape));
    return;
  }
  if (issue.type === 'union' && shape !== undefined) {
    if (shape.kind === 'quantity' && isGroup(value)) {
      annotationProblems(shape, value, keys, raw, found, told);
      return;
    }
    if (shape.kind === 'choice') {
      const option = chosenOption(shape.options, value);
      const result = v.safeParse(option.schema, value);
      const before = found.length;
      for (const inner of result.issues ?? []) translate(inner, keys, raw, found, told);
      if (found.length > before || told.some((t) => t.startsWith(path))) return;
    }
  }
  const [code, message, details] = plainWords(issue, shape, value);
  add(found, keys, code, message, details);
}

/** A quantity written as a group: value missing, or one of its fields of the wrong kind. */
function annotationProblems(
  shape: Extract<Shape, { kind: 'quantity' }>,
  value: Record<string, unknown>,
  keys: Keys,
  raw: unknown,
  found: ShapeProblem[],
  told: readonly string[],
): void {
  const row = quantity(shape.name);
  const before = found.length;
  const bare = (x: unknown) => typeof x === 'number' || typeof x === 'string';
  if (!Object.hasOwn(value, 'value'))
    add(found, [...keys, 'value'], 'missing', `${row.label} is missing`, { remedy: row.measure });
  for (const key of ['value', 'spread']) {
    if (Object.hasOwn(value, key) && !bare(value[key])) {
      add(found, [...keys, key], 'wrong-kind', 'must be a number (SI) or text with a unit', {
        value: shown(value[key]),
      });
    }
  }
  if (Object.hasOwn(value, 'origin')) {
    const option = (
      shape.schema as unknown as { options: { entries?: Record<string, v.GenericSchema> }[] }
    ).options.at(-1);
    const origin = option?.entries?.['origin'];
    const result = origin === undefined ? undefined : v.safeParse(origin, value['origin']);
    for (const inner of result?.issues ?? []) {
      add(found, [...keys, 'origin'], ...plainWords(inner, undefined, value['origin']));
    }
  }
  if (found.length === before && !told.some((t) => t.startsWith(pathOf(keys)))) {
    add(found, keys, 'wrong-kind', `must be ${row.label}: value, with spread, origin and note if known`, {
      value: shown(valueAt(raw, keys)),
    });
  }
}

type Details = { value?: string; limit?: string; remedy?: string };
type Words = [code: string, message: string, details?: Details];

function missingField(shape: Shape | undefined): Words {
  if (shape?.kind === 'quantity') {
    const row = quantity(shape.name);
    return ['missing', `${row.label} is missing`, { remedy: row.measure }];
  }
  if (shape?.kind === 'words') return ['missing', 'is missing', { limit: shape.words.join(', ') }];
  return ['missing', 'is missing'];
}

/** Plain words for what the schema library says tersely. */
function plainWords(issue: Issue, shape: Shape | undefined, raw: unknown): Words {
  const value = shown(raw);
  const count = Array.isArray(raw) || typeof raw === 'string' ? String(raw.length) : value;
  const limit = String((issue as { requirement?: unknown }).requirement ?? '');
  const listed = typeof raw !== 'string';
  switch (issue.type) {
    case 'min_length':
      return [
        'too-short',
        listed ? `needs at least ${limit} entries` : 'must not be empty',
        { value: count, limit },
      ];
    case 'max_length':
      return ['too-long', listed ? 'has too many entries' : 'is too long', { value: count, limit }];
    case 'max_entries':
      return ['too-many', 'has too many entries', { limit }];
    case 'regex':
      return ['bad-text', issue.message, { value }];
    case 'finite':
      return ['not-finite', 'is not a finite number', { value }];
    case 'picklist':
    case 'literal': {
      const words =
        shape?.kind === 'words'
          ? shape.words.map(String)
          : (issue.expected ?? '').replace(/[()"]/g, '').split(' | ');
      const remedy =
        typeof raw === 'string' ? didYouMean(raw, words, 'choose one of them') : 'choose one of them';
      return ['not-a-choice', 'is not one of the choices', { value, limit: someOf(words, 20), remedy }];
    }
    case 'string':
      return ['wrong-kind', 'must be text in double quotes', { value }];
    case 'boolean':
      return ['wrong-kind', 'must be true or false', { value }];
    case 'array':
      return ['wrong-kind', 'must be a list [ ]', { value }];
    case 'strict_tuple':
      return [
        'wrong-kind',
        `must be a list of ${(shape?.kind === 'row' && shape.items.length) || 2}`,
        { value },
      ];
    case 'strict_object':
    case 'record':
      return ['wrong-kind', 'must be a group { }', { value }];
    default:
      return ['wrong-kind', /^Invalid/.test(issue.message) ? 'cannot be read' : issue.message, { value }];
  }
}

/** The shape at a path, following the options the file itself chose. */
function shapeAt(keys: Keys, raw: unknown): Shape | undefined {
  let shape: Shape | undefined = PROJECT_SHAPE;
  keys.forEach((key, i) => {
    if (shape?.kind === 'choice') shape = chosenOption(shape.options, valueAt(raw, keys.slice(0, i)));
    if (shape?.kind === 'group')
      shape = Object.hasOwn(shape.fields, key) ? shape.fields[key]?.shape : undefined;
    else if (shape?.kind === 'ids') shape = shape.entry;
    else if (shape?.kind === 'list') shape = shape.item;
    else if (shape?.kind === 'row') shape = shape.items[Number(key)];
    else shape = undefined;
  });
  return shape;
}

function keysOf(issue: Issue): Keys {
  return (issue.path ?? []).map((item) => (typeof item.key === 'number' ? item.key : String(item.key)));
}

function pathOf(keys: Keys): string {
  return keys.reduce<string>((path, key) => childPath(path, key), '');
}

function add(found: ShapeProblem[], keys: Keys, code: string, message: string, details?: Details): void {
  found.push({ keys, problem: problem(code, pathOf(keys), message, details) });
}

/** A value short enough for a message. */
function shown(value: unknown): string {
  if (value === undefined) return 'nothing';
  if (typeof value === 'number') return String(value);
  const text = JSON.stringify(value);
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}
