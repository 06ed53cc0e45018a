/** The line laps are driven on is named where it is not the drawn one. */
import { expect, test } from 'vitest';
import { lineSentence, otherLineSentence } from '../../../ui/words/line-words.ts';
import { demoWith } from '../../sim/demo-project.ts';

const WHO = { kart: 'clodlet-four-knobbly', day: 'mild' };
const line = {
  ...WHO,
  kind: 'fastest',
  time: 13,
  madeFor: {},
  distance: [0, 50, 100],
  offset: [0.5, 0.5, 0.5],
};

test('a kept line is named with its track, the others told apart; as drawn only where that is asked', () => {
  const project = demoWith((raw) => {
    raw.tracks.oval.lines = [line];
  });
  const asked = { ...WHO, line: 'fastest' } as const;
  const oval = project.tracks['oval']!.name;
  expect(otherLineSentence(project, asked, ['oval'])).toBe(
    `Laps are driven on the fastest line kept with ${oval}.`,
  );
  expect(otherLineSentence(project, asked, ['oval', 'circle'])).toBe(
    `Laps are driven on the fastest line kept with ${oval}, on the others on the course as drawn.`,
  );
  for (const none of [WHO, { ...WHO, line: 'smoothest' } as const]) {
    expect(otherLineSentence(project, none, ['oval'])).toBe('');
    expect(lineSentence(project, none, ['oval'])).toBe('Laps are driven on the course as drawn.');
  }
});
