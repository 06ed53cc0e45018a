/** The line the laps of a study drive: the one asked for where the track keeps it, for every answer of the study. */
import { describe, expect, it } from 'vitest';
import type { LineResult } from '../../../sim/index.ts';
import { createPerformer, perform, performStudy, planTeeth } from '../../../sim/index.ts';
import { studyLap } from '../../../sim/study/study-lap.ts';
import { demoWith } from '../demo-project.ts';

const who = { kart: 'clodlet-single-asphalt', day: 'mild' } as const;
const drawn = demoWith();
const { keep } = perform(drawn, { ...who, verb: 'line', track: 'oval' }).result as LineResult;
const kept = demoWith((raw) => {
  raw.tracks.oval.lines = keep.map((line) => ({
    ...line,
    offset: Array.from(line.offset),
    distance: Array.from(line.distance),
  }));
});

describe('the lap of a study', () => {
  it('is on the course as drawn unless another line is asked for and kept', () => {
    expect(studyLap(kept, who, 'oval')).not.toHaveProperty('options');
    expect(studyLap(drawn, { ...who, line: 'fastest' }, 'oval')).not.toHaveProperty('options');
    expect(studyLap(kept, { ...who, line: 'fastest' }, 'oval').options).toEqual({ line: 'fastest' });
    expect(studyLap(kept, { ...who, line: 'fastest' }, 'circle')).not.toHaveProperty('options');
  });

  it('a study answers on the line asked for', () => {
    const times = (['as drawn', 'fastest'] as const).map((line) => {
      const { study } = planTeeth(kept, { ...who, line, tracks: ['oval'], stock: 'owned', notes: [] });
      const found = performStudy(study!, createPerformer().bind(undefined, kept))!;
      const lap = perform(kept, studyLap(kept, { ...who, line }, 'oval'));
      expect(found.tracks[0]!.laps[found.fitted]!.time).toBe(lap.result!.time);
      return lap.result!.time;
    });
    expect(times[1]).toBeLessThan(times[0]!);
  });
});
