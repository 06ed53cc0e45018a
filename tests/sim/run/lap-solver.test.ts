/** One lap problem solved again and again, and by another of the same kart and track: the same to the last bit. */
import { describe, expect, test } from 'vitest';
import { compileKart, compileTrack, lapProblem, solveLap } from '../../../sim/index.ts';
import { demoWith } from '../demo-project.ts';

const demo = demoWith();

describe('a lap problem', () => {
  test.each([
    ['clodlet-four-asphalt', 'brindlequag-works'],
    ['clodlet-single-knobbly', 'tansy-hollow'],
  ])('%s on %s gives the same bits whatever was solved on it before', (kart, trackId) => {
    const bind = () => {
      const compiled = compileKart(demo, { kart, day: 'mild' }).kart!;
      const track = compileTrack(demo.tracks[trackId]!, trackId, 0.5).track!;
      const pairs = track.surfaces.map((id) => compiled.surfaces.find((s) => s.id === id)!);
      return lapProblem(compiled, track, pairs);
    };
    const used = bind();
    const asked = [
      { start: 'flying', engineBraking: 'as it pays' },
      { start: 'standing', engineBraking: 'always' },
      { start: 'flying', engineBraking: 'never' },
    ] as const;
    const first = asked.map((conditions) => solveLap(used, conditions));
    for (const solution of first) expect(solution.status).toBe('done');
    expect(asked.map((conditions) => solveLap(used, conditions))).toStrictEqual(first);
    expect(asked.map((conditions) => solveLap(bind(), conditions))).toStrictEqual(first);
  });
});
