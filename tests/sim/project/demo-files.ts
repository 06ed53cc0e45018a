/** The demo as written, merged, for tests that need a whole project to spoil. */

import { mergeProjects } from '../../../sim/project/merge.ts';
import brindlequagWorks from '../../../tracks/brindlequag-works.kartwright.json' with { type: 'json' };
import cinderYard from '../../../tracks/cinder-yard.kartwright.json' with { type: 'json' };
import circle from '../../../tracks/circle.kartwright.json' with { type: 'json' };
import fettlebrow from '../../../tracks/fettlebrow.kartwright.json' with { type: 'json' };
import figureEight from '../../../tracks/figure-eight.kartwright.json' with { type: 'json' };
import oval from '../../../tracks/oval.kartwright.json' with { type: 'json' };
import tansyHollow from '../../../tracks/tansy-hollow.kartwright.json' with { type: 'json' };
import brindlequag from '../../../ui/demo/brindlequag.kartwright.json' with { type: 'json' };

export const DEMO_FILES = [
  { name: 'brindlequag', raw: brindlequag as unknown },
  { name: 'tansy-hollow', raw: tansyHollow as unknown },
  { name: 'brindlequag-works', raw: brindlequagWorks as unknown },
  { name: 'cinder-yard', raw: cinderYard as unknown },
  { name: 'fettlebrow', raw: fettlebrow as unknown },
  { name: 'circle', raw: circle as unknown },
  { name: 'oval', raw: oval as unknown },
  { name: 'figure-eight', raw: figureEight as unknown },
];

/** A fresh copy to spoil. */
export function demo(): Record<string, unknown> {
  return structuredClone(mergeProjects(DEMO_FILES).raw);
}

/** Sets (or, given `undefined`, removes) what stands at a path such as `donors.four.gears[2]`. */
export function put(root: Record<string, unknown>, path: string, value: unknown): Record<string, unknown> {
  const keys = path.split(/[.[\]]+/).filter((key) => key !== '');
  const last = keys.pop();
  if (last === undefined) throw new Error('put: empty path');
  let at = root as Record<string, unknown>;
  for (const key of keys) {
    const next = at[key];
    if (next === null || typeof next !== 'object') throw new Error(`put: nothing at '${key}' of ${path}`);
    at = next as Record<string, unknown>;
  }
  if (value === undefined) delete at[last];
  else at[last] = value;
  return root;
}
