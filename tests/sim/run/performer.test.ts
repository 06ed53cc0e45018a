/** A performer that remembers tracks answers as one that does not, to the last bit, in arrays of its own. */
import { describe, expect, it } from 'vitest';
import type { LapResult, Request } from '../../../sim/index.ts';
import { createPerformer, perform } from '../../../sim/index.ts';
import { demoWith } from '../demo-project.ts';

const lap = (track: string): Request => ({ verb: 'lap', kart: 'clodlet-four-knobbly', day: 'mild', track });

describe('performer', () => {
  it('answers as perform does: again, for another track, after the track has changed, when it cannot', () => {
    const performer = createPerformer();
    const project = demoWith();
    const wider = demoWith((raw) => {
      raw.tracks['tansy-hollow'].points[3].x = 60;
    });
    const tight = demoWith((raw) => {
      raw.chassis.clodlet.turningRadius = '60 m';
    });
    for (const [of, request] of [
      [project, lap('tansy-hollow')],
      [project, lap('tansy-hollow')],
      [project, lap('oval')],
      [wider, lap('tansy-hollow')],
      [tight, lap('tansy-hollow')],
      [project, lap('circle')],
      [project, lap('figure-eight')],
      [project, lap('fettlebrow')],
      [project, lap('nowhere')],
      [project, lap('tansy-hollow')],
      [project, { verb: 'lap', kart: 'clodlet-four-knobbly', day: 'mild', track: 'oval', spacing: 0.5 }],
    ] as const)
      expect(performer(of, request)).toEqual(perform(of, request));
  });

  it('gives the figures of a lap as perform does while tracks, karts, days and other parts change', () => {
    const performer = createPerformer();
    const project = demoWith();
    const { 'tansy-hollow': track, ...tracks } = project.tracks;
    const redrawn = {
      ...project,
      tracks: { ...tracks, 'tansy-hollow': { ...track!, points: track!.points!.toSpliced(2, 1) } },
    };
    const kart = project.karts['clodlet-four-knobbly']!;
    const heavier = {
      ...redrawn,
      karts: { ...project.karts, 'clodlet-four-knobbly': { ...kart, driver: { ...kart.driver, mass: 110 } } },
    };
    const figures = (who: { kart?: string; day?: string } = {}): Request => ({
      verb: 'sweep',
      of: { kart: 'clodlet-four-knobbly', day: 'mild', ...who, verb: 'lap', track: 'tansy-hollow' },
      variants: [[], [{ path: 'karts.clodlet-four-knobbly.sprockets.rear', value: 37 }]],
    });
    const seen = new Set<string>();
    for (const [of, request] of [
      [project, figures()],
      [redrawn, figures()],
      [heavier, figures()],
      [redrawn, figures()],
      [redrawn, figures({ day: 'high-heat' })],
      [redrawn, figures({ kart: 'clodlet-single-knobbly' })],
      [project, figures()],
    ] as const) {
      const answer = performer(of, request);
      expect(answer).toEqual(perform(of, request));
      seen.add(JSON.stringify(answer));
    }
    expect(seen.size).toBe(5);
  });

  it('hands over arrays that no later answer holds', () => {
    const performer = createPerformer();
    const project = demoWith();
    const buffers = (): ArrayBufferLike[] =>
      Object.values((performer(project, lap('oval')).result as LapResult).columns).map(
        (column) => column.buffer,
      );
    const first = new Set(buffers());
    expect(buffers().some((buffer) => first.has(buffer))).toBe(false);
  });
});
