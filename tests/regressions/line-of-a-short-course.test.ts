/** Lines of a course of a few nodes: rows of the bending model reach farther than half of an open course. */
import { expect, it } from 'vitest';
import { perform } from '../../sim/index.ts';
import { demoWith } from '../sim/demo-project.ts';

it.each([2, 5, 10, 20, 40])('an open bend with straights of %i m has its lines', (straight) => {
  const project = demoWith((raw) => {
    raw.tracks = {
      short: {
        name: 'Short',
        closed: false,
        surface: 'asphalt',
        width: '6 m',
        stretches: [
          { straight: `${straight} m` },
          { turn: 'left', angle: '60°', radius: '8 m' },
          { straight: `${straight} m` },
        ],
      },
    };
  });
  const who = { kart: 'clodlet-single-asphalt', day: 'mild', track: 'short' };
  const { status, result } = perform(project, { ...who, verb: 'line' });
  expect(status).toBe('done');
  const [drawn, smoothest, fastest] = result!.lines.map(({ time }) => time);
  expect(fastest).toBeGreaterThan(0);
  expect(fastest).toBeLessThanOrEqual(Math.min(drawn!, smoothest!));
});
