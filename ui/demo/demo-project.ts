/**
 * The demo: an invented club, kart and places, labelled as such.
 *
 * In: nothing. Out: the project as written (main file and tracks merged), its text, and the project as
 * read. Knows nothing of views.
 */
import type { ProjectRead } from '../../sim/index.ts';
import { mergeProjects, readProjectValue } from '../../sim/index.ts';
import brindlequagWorks from '../../tracks/brindlequag-works.kartwright.json' with { type: 'json' };
import cinderYard from '../../tracks/cinder-yard.kartwright.json' with { type: 'json' };
import circle from '../../tracks/circle.kartwright.json' with { type: 'json' };
import fettlebrow from '../../tracks/fettlebrow.kartwright.json' with { type: 'json' };
import figureEight from '../../tracks/figure-eight.kartwright.json' with { type: 'json' };
import oval from '../../tracks/oval.kartwright.json' with { type: 'json' };
import tansyHollow from '../../tracks/tansy-hollow.kartwright.json' with { type: 'json' };
import brindlequag from './brindlequag.kartwright.json' with { type: 'json' };

/** The main file, then the tracks, in the order they are offered. */
const FILES = [
  { name: 'brindlequag', raw: brindlequag },
  { name: 'tansy-hollow', raw: tansyHollow },
  { name: 'brindlequag-works', raw: brindlequagWorks },
  { name: 'cinder-yard', raw: cinderYard },
  { name: 'fettlebrow', raw: fettlebrow },
  { name: 'circle', raw: circle },
  { name: 'oval', raw: oval },
  { name: 'figure-eight', raw: figureEight },
];

/** The demo as one project file, parsed. A fresh copy each time, so that edits touch nothing shared. */
export function demoInput(): Record<string, unknown> {
  const { raw, problems } = mergeProjects(FILES);
  if (problems.length > 0) throw new Error(`demoInput: the demo files clash: ${problems[0]?.message}`);
  return structuredClone(raw);
}

/** The demo as the text of one project file. */
export function demoText(): string {
  return `${JSON.stringify(demoInput(), null, 2)}\n`;
}

/** The demo as read: project, problems (none that block), notes. */
export function readDemo(): ProjectRead {
  return readProjectValue(demoInput());
}
