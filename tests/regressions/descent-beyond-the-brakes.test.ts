/**
 * A descent too steep for the tyres: the kart gains speed with the brakes on. A bend below it can then only be reached
 * slowly enough from a start that is slow enough, or not at all: never a lap of NaN reported as done.
 */
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { perform } from '../../sim/index.ts';
import { inputOf, knobs, projectOf } from '../properties/random-karts.ts';

const [drawn] = fc.sample(knobs, { numRuns: 1, seed: 1 });

// Friction 0.2 on a slope of 0.35: gravity wins by 0.15 g or so.
it.each([2, 40, 120])('says what is wrong with %i m of it before a bend', (descent) => {
  const project = projectOf({
    ...inputOf({ ...drawn!, peak: 0.2, cgHeight: 0.35 }),
    tracks: {
      loop: {
        name: 'Slide',
        closed: false,
        surface: 'pad',
        stretches: [
          { straight: 20 },
          { straight: descent, grade: -0.35 },
          { turn: 'left', angle: 1.5, radius: 5 },
        ],
      },
    },
  });
  const answer = perform(project, { verb: 'lap', kart: 'kart', day: 'day', track: 'loop' });
  if (answer.status === 'done') {
    expect(answer.result?.time).toBeGreaterThan(0);
    expect([...(answer.result?.columns.speed ?? [])].every(Number.isFinite)).toBe(true);
  } else {
    expect(answer.result).toBeUndefined();
    expect(answer.problems.length).toBeGreaterThan(0);
  }
  // A steep hundred metres cannot be driven down: saying "done" would be wrong.
  if (descent >= 40) expect(answer.status).not.toBe('done');
});
