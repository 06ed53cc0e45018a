/**
 * From file names to a project: read, merge, apply --set, validate.
 *
 * In: names and --set words. Out: the project as read with all problems. Files too large are refused unread.
 */
import { readFileSync, statSync } from 'node:fs';
import type { Problem, ProjectRead } from '../../sim/index.ts';
import {
  isBlocking,
  MAX_FILE_LENGTH,
  mergeProjects,
  problem,
  readJson,
  readProjectValue,
  warning,
} from '../../sim/index.ts';
import { demoInput } from '../demo/demo-project.ts';
import { CommandLineError } from './terminal.ts';

/** The file as written, merged and with --set, for changing and writing again; empty where it cannot be read. */
export function loadRaw(files: readonly string[], sets: readonly string[]): Record<string, unknown> {
  const raw = files.length === 0 ? demoInput() : (readFiles(files).raw ?? {});
  return sets.reduce((value, word) => applySet(value, word), raw as Record<string, unknown>);
}

export function loadProject(files: readonly string[], sets: readonly string[]): ProjectRead {
  const { raw, problems } = files.length === 0 ? { raw: demoInput(), problems: [] } : readFiles(files);
  if (raw === undefined || isBlocking(problems)) return { problems, notes: [] };
  const changed = sets.reduce((value, word) => applySet(value, word), raw);
  const read = readProjectValue(changed);
  const all = [...problems, ...read.problems, ...onlyTracks(changed, read.problems)];
  return all.length === 0 ? read : { ...read, problems: all };
}

/** A track file by itself cannot be read whole: its surfaces lie with the karts. Said beside what the reader says. */
function onlyTracks(raw: Record<string, unknown>, problems: readonly Problem[]): Problem[] {
  const holds = (kind: string) => Object.keys((raw[kind] as object | null | undefined) ?? {}).length > 0;
  if (!isBlocking(problems) || !holds('tracks') || holds('surfaces') || holds('karts')) return [];
  return [
    warning('only-tracks', 'tracks', 'are all there is: surfaces and karts lie in another file', {
      remedy: 'name that file too: several files are merged',
    }),
  ];
}

function readFiles(files: readonly string[]): {
  raw: Record<string, unknown> | undefined;
  problems: readonly Problem[];
} {
  const problems: Problem[] = [];
  const parts: { name: string; raw: Record<string, unknown> }[] = [];
  for (const name of files) {
    const text = readText(name, problems);
    if (text === undefined) continue;
    const read = readJson(text);
    problems.push(
      ...read.problems.map((p) => (files.length > 1 ? { ...p, message: `${name}: ${p.message}` } : p)),
    );
    if (isBlocking(read.problems)) continue;
    if (typeof read.value !== 'object' || read.value === null || Array.isArray(read.value)) {
      problems.push(
        problem('not-a-project', '', `${name} does not hold a project: a project is an object in braces`),
      );
      continue;
    }
    parts.push({ name, raw: read.value as Record<string, unknown> });
  }
  if (isBlocking(problems) || parts.length === 0) return { raw: undefined, problems };
  if (parts.length === 1) return { raw: parts[0]!.raw, problems };
  const merged = mergeProjects(parts);
  return { raw: merged.raw as Record<string, unknown>, problems: [...problems, ...merged.problems] };
}

function readText(name: string, problems: Problem[]): string | undefined {
  try {
    const size = statSync(name).size;
    if (size > 4 * MAX_FILE_LENGTH) {
      problems.push(
        problem('too-large', '', `${name} is too large for a project file`, {
          value: `${(size / 1e6).toFixed(0)} MB`,
          limit: `${((4 * MAX_FILE_LENGTH) / 1e6).toFixed(0)} MB`,
        }),
      );
      return undefined;
    }
    return readFileSync(name, 'utf8');
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    const reason =
      code === 'ENOENT'
        ? 'does not exist'
        : code === 'EISDIR'
          ? 'is a folder'
          : `cannot be read (${code ?? error})`;
    problems.push(problem('unreadable', '', `${name} ${reason}`, { remedy: 'check the name' }));
    return undefined;
  }
}

/** Applies PATH=VALUE to a copy; the value is JSON where it reads as such, text otherwise. */
export function applySet(raw: Record<string, unknown>, word: string): Record<string, unknown> {
  const at = word.indexOf('=');
  if (at <= 0) throw new CommandLineError(`--set needs PATH=VALUE, not '${word}'`);
  const keys = word
    .slice(0, at)
    .split(/[.[\]]/)
    .filter((k) => k !== '');
  if (keys.some((k) => ['__proto__', 'constructor', 'prototype'].includes(k)))
    throw new CommandLineError(`--set cannot change '${word.slice(0, at)}'`);
  const text = word.slice(at + 1);
  const copy = structuredClone(raw);
  let place: Record<string, unknown> = copy;
  for (const key of keys.slice(0, -1)) {
    const next = place[key];
    if (typeof next !== 'object' || next === null)
      throw new CommandLineError(`--set: there is nothing at '${key}' of '${word.slice(0, at)}'`);
    place = next as Record<string, unknown>;
  }
  place[keys.at(-1)!] = typedValue(text);
  return copy;
}

function typedValue(text: string): unknown {
  try {
    return JSON.parse(text) as unknown;
  } catch {
    return text;
  }
}
