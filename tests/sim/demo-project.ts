/** The demo and small variations of it, read once for the tests of compile and run. */
import type { Project } from '../../sim/index.ts';
import { problemLine, readProjectValue } from '../../sim/index.ts';
import { demoInput } from '../../ui/demo/demo-project.ts';

// biome-ignore lint/suspicious/noExplicitAny: tests reach into raw JSON of known shape
export type Raw = any;

/** The demo as read, after `change` had its way with the raw file. */
export function demoWith(change: (raw: Raw) => void = () => undefined): Project {
  const raw = demoInput() as Raw;
  change(raw);
  const { project, problems } = readProjectValue(raw);
  if (project === undefined)
    throw new Error(
      problems
        .filter((p) => p.severity === 'problem')
        .map(problemLine)
        .join('; '),
    );
  return project;
}
