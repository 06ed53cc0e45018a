/**
 * Brings a file of an older format to the present one, one version at a time.
 *
 * In: parsed JSON. Out: the same in the present format, with a note of each step, or a problem. A file
 * from a newer program is refused and not touched. To change the format: raise FORMAT_VERSION in
 * schema.ts and add the step from the version before to STEPS.
 */
import { isGroup } from './paths.ts';
import type { Problem } from './problem.ts';
import { problem, repair } from './problem.ts';
import { FORMAT_VERSION } from './schema.ts';

export interface MigrationStep {
  /** What changed, for the person whose file it is. */
  readonly says: string;
  /** Returns a new value; must not change the old one. */
  readonly apply: (file: Record<string, unknown>) => Record<string, unknown>;
}

/** By the version a step starts from. Version 1 is the first there is. */
export const STEPS: ReadonlyMap<number, MigrationStep> = new Map();

export interface Migrated {
  /** Absent where a problem blocks. */
  readonly value?: Record<string, unknown>;
  readonly problems: readonly Problem[];
}

/** Migrates `raw` to `target`; never throws and never changes `raw`. */
export function migrate(raw: unknown, steps = STEPS, target: number = FORMAT_VERSION): Migrated {
  if (!isGroup(raw)) {
    return refuse('wrong-kind', '', 'the file is not a project: it must be one group { }', {
      value: JSON.stringify(raw)?.slice(0, 40) ?? 'nothing',
    });
  }
  const version = Object.hasOwn(raw, 'kartwright') ? raw['kartwright'] : undefined;
  if (version === undefined) {
    return refuse('missing', 'kartwright', 'the version of the format is missing', {
      remedy: `add "kartwright": ${target} at the top, if this is a project file`,
    });
  }
  if (typeof version !== 'number' || !Number.isInteger(version) || version < 1) {
    return refuse('bad-version', 'kartwright', 'the version of the format must be a whole number from 1', {
      value: String(JSON.stringify(version)).slice(0, 40),
      limit: `1 to ${target}`,
    });
  }
  if (version > target) {
    return refuse(
      'newer-version',
      'kartwright',
      'the file was written by a newer program; it was not touched',
      {
        value: String(version),
        limit: String(target),
        remedy: 'update this program, or save the file in the older format there',
      },
    );
  }
  let value: Record<string, unknown> = raw;
  const problems: Problem[] = [];
  for (let from = version; from < target; from++) {
    const step = steps.get(from);
    if (step === undefined)
      return refuse('bad-version', 'kartwright', `there is no way from version ${from}`, {});
    value = { ...step.apply(value), kartwright: from + 1 };
    problems.push(
      repair('migrated', 'kartwright', `brought from version ${from} to ${from + 1}: ${step.says}`),
    );
  }
  return { value, problems };
}

function refuse(
  code: string,
  path: string,
  message: string,
  details: { value?: string; limit?: string; remedy?: string },
): Migrated {
  return { problems: [problem(code, path, message, details)] };
}
