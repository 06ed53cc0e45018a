/**
 * From the text of a file to a JSON value, safely.
 *
 * In: text of any origin. Out: the value, or where it stops being JSON (line and column) and what to do
 * about it. Refuses files that are too large or too deeply nested before they can do harm, and reports
 * keys written twice, which JSON itself would drop silently. Knows nothing of karts.
 */
import { childPath } from './paths.ts';
import type { Problem } from './problem.ts';
import { problem, warning } from './problem.ts';

/** Largest file read, in characters; a project with 50 tracks of 500 points is under 2 million. */
export const MAX_FILE_LENGTH = 20_000_000;
/** Deepest nesting read; a project needs 8 levels. */
export const MAX_DEPTH = 32;
/** Keys that would reach into JavaScript objects; no field or id needs them. */
export const FORBIDDEN_KEYS: ReadonlySet<string> = new Set(['__proto__', 'constructor', 'prototype']);
/** Repeated or forbidden keys beyond these are not listed. */
const LISTED = 50;

export interface JsonRead {
  /** Absent where a problem blocks. */
  readonly value?: unknown;
  readonly problems: readonly Problem[];
}

/** Parses JSON text; never throws. */
export function readJson(text: string): JsonRead {
  const refused = (
    code: string,
    message: string,
    remedy: string,
    value?: string,
    limit?: string,
  ): JsonRead => ({
    problems: [
      problem(code, '', message, {
        remedy,
        ...(value === undefined ? {} : { value }),
        ...(limit === undefined ? {} : { limit }),
      }),
    ],
  });
  if (text.length > MAX_FILE_LENGTH) {
    const megabytes = (n: number) => `${Math.round(n / 1e6)} MB`;
    return refused(
      'too-large',
      'the file is too large and was not read',
      'split it, one file for each few tracks',
      megabytes(text.length),
      megabytes(MAX_FILE_LENGTH),
    );
  }
  const json = text.charCodeAt(0) === 0xfeff ? text.slice(1) : text;
  if (json.trim() === '') {
    return refused('empty', 'the file is empty', 'open another copy, or start from the demo project');
  }
  const scan = scanJson(json);
  if (scan.failure !== undefined) {
    const { at, message, remedy } = scan.failure;
    const lines = json.slice(0, at).split('\n');
    const place = `line ${lines.length}, column ${(lines.at(-1)?.length ?? 0) + 1}`;
    return refused('not-json', `is not JSON: ${message} at ${place}`, remedy, near(json, at));
  }
  try {
    return { value: JSON.parse(json) as unknown, problems: scan.problems };
  } catch (error) {
    return refused(
      'not-json',
      `is not JSON: ${String(error).slice(0, 200)}`,
      'check the file in a text editor',
    );
  }
}

interface Failure {
  readonly at: number;
  readonly message: string;
  readonly remedy: string;
}

/** Where the scanner is: the chain of keys from the root. */
interface Place {
  readonly above: Place | undefined;
  readonly key: string | number;
}

class Stop extends Error {
  readonly failure: Failure;
  constructor(failure: Failure) {
    super(failure.message);
    this.failure = failure;
  }
}

const NUMBER = /-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?/y;
const WORD = /[A-Za-z_$+][\w$]*/y;

/** Walks the text by the grammar of RFC 8259 without building anything. */
function scanJson(text: string): { failure?: Failure; problems: Problem[] } {
  const problems: Problem[] = [];
  let at = 0;

  const stop = (message: string, remedy: string, where = at): never => {
    throw new Stop({ at: where, message, remedy });
  };
  const blank = (): void => {
    while (at < text.length && ' \t\n\r'.includes(text[at]!)) at++;
  };

  function value(place: Place | undefined, depth: number): void {
    blank();
    if (depth > MAX_DEPTH)
      stop(`nested more than ${MAX_DEPTH} deep`, 'a project nests 8 levels: this is no project file');
    const c = text[at];
    if (c === '{') object(place, depth);
    else if (c === '[') array(place, depth);
    else if (c === '"') string();
    else if (c !== undefined && '-0123456789'.includes(c)) number();
    else if (text.startsWith('true', at) || text.startsWith('null', at)) at += 4;
    else if (text.startsWith('false', at)) at += 5;
    else unexpected('a value');
  }

  function object(place: Place | undefined, depth: number): void {
    const keys = new Set<string>();
    at++;
    blank();
    if (text[at] === '}') {
      at++;
      return;
    }
    for (;;) {
      blank();
      if (text[at] !== '"') unexpected('a key in double quotes');
      const start = at;
      string();
      const key = JSON.parse(text.slice(start, at)) as string;
      if (keys.has(key)) repeated(place, key);
      if (FORBIDDEN_KEYS.has(key)) forbidden(place, key);
      keys.add(key);
      blank();
      if (text[at] !== ':') unexpected('a colon');
      at++;
      value({ above: place, key }, depth + 1);
      blank();
      if (text[at] === ',') at++;
      else if (text[at] === '}') break;
      else unexpected('a comma or }');
    }
    at++;
  }

  function array(place: Place | undefined, depth: number): void {
    at++;
    blank();
    if (text[at] === ']') {
      at++;
      return;
    }
    for (let index = 0; ; index++) {
      value({ above: place, key: index }, depth + 1);
      blank();
      if (text[at] === ',') at++;
      else if (text[at] === ']') break;
      else unexpected('a comma or ]');
    }
    at++;
  }

  function string(): void {
    const start = at;
    at++;
    for (; at < text.length; at++) {
      const code = text.charCodeAt(at);
      if (code === 0x22) {
        at++;
        return;
      }
      if (code < 0x20) stop('a text runs over the end of its line', 'close it with double quotes');
      if (code !== 0x5c) continue;
      at++;
      const letter = text[at];
      if (letter === 'u' && /^[0-9a-fA-F]{4}$/.test(text.slice(at + 1, at + 5))) at += 4;
      else if (letter === undefined || !'"\\/bfnrt'.includes(letter)) {
        stop('a backslash that means nothing', 'write two backslashes for one', at - 1);
      }
    }
    stop('a text is not closed', 'the file is cut short, or a double quote is missing', start);
  }

  function number(): void {
    NUMBER.lastIndex = at;
    const found = NUMBER.exec(text)?.[0] ?? '';
    if (found === '') unexpected('a number');
    at += found.length;
    if (/[\w.]/.test(text[at] ?? ''))
      stop('a number that cannot be read', 'write it as 0.5, 12 or 1e-3; with a unit, in double quotes');
  }

  function unexpected(wanted: string): never {
    const c = text[at];
    if (c === undefined)
      return stop('the file ends too early', 'the file is cut short: open another copy of it');
    if (c === "'") return stop('a single quote', 'JSON wants double quotes');
    if (c === '/') return stop('a comment', "JSON has no comments: use a 'note' field");
    if (c === '}' || c === ']')
      return stop(`an unexpected ${c}`, 'remove the comma before it, or add what is missing');
    WORD.lastIndex = at;
    const word = WORD.exec(text)?.[0];
    if (word !== undefined && /^[+-]?(nan|inf)/i.test(word)) {
      return stop(`'${word.slice(0, 20)}' is not a number`, 'write a number, or leave the field out');
    }
    if (word !== undefined)
      return stop(`'${word.slice(0, 20)}' without double quotes`, 'put text in double quotes');
    return stop(
      `found '${c}' where ${wanted} should be`,
      'check the commas, colons and brackets just before',
    );
  }

  function repeated(place: Place | undefined, key: string): void {
    if (problems.length >= LISTED) return;
    const path = pathOf({ above: place, key });
    problems.push(
      warning('repeated-key', path, 'is written twice: the last one counts', {
        remedy: 'remove or rename one',
      }),
    );
  }

  function forbidden(place: Place | undefined, key: string): void {
    if (problems.length >= LISTED) return;
    const path = pathOf({ above: place, key });
    problems.push(
      problem('forbidden-key', path, 'has a name that is not allowed', { value: key, remedy: 'rename it' }),
    );
  }

  try {
    value(undefined, 0);
    blank();
    if (at < text.length)
      stop('something follows the end of the project', 'remove what comes after the last }');
    return { problems };
  } catch (error) {
    if (error instanceof Stop) return { failure: error.failure, problems };
    throw error;
  }
}

function pathOf(place: Place): string {
  const keys: (string | number)[] = [];
  for (let p: Place | undefined = place; p !== undefined; p = p.above) keys.unshift(p.key);
  return keys.reduce<string>((path, key) => childPath(path, key), '');
}

function near(text: string, at: number): string {
  return `...${text.slice(Math.max(0, at - 20), at + 12).replace(/\s+/g, ' ')}...`;
}
