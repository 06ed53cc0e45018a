/** The demo as shipped: no problems, tracks of the lengths stated, every kart round every track. */
import { describe, expect, it } from 'vitest';
import { compileTrack, perform, readProject } from '../../../sim/index.ts';
import { demoInput, demoText, readDemo } from '../../../ui/demo/demo-project.ts';

const { project, problems } = readDemo();
if (project === undefined) throw new Error('the demo cannot be read');

describe('the demo project', () => {
  it('reads without problem or warning, from JSON and from text', () => {
    expect(problems).toEqual([]);
    expect(readProject(demoText()).project).toEqual(project);
  });

  it('gives a fresh copy each time', () => {
    const first = demoInput();
    (first['karts'] as Record<string, unknown>)['clodlet-four-knobbly'] = null;
    expect(demoInput()).not.toEqual(first);
  });

  it.each([
    // Closed forms: 2 pi R; 2 x 60 + 2 pi R; two straights of 2R and two turns of 270 degrees.
    ['circle', 40 * Math.PI, 1e-6],
    ['oval', 120 + 30 * Math.PI, 1e-6],
    ['figure-eight', 80 + 60 * Math.PI, 1e-6],
    // As announced: "about" means within one per cent.
    ['tansy-hollow', 640, 6.4],
    ['brindlequag-works', 910, 9.1],
  ])('%s is %f m long', (id, length, tolerance) => {
    const { track } = compileTrack(project.tracks[id]!, `tracks.${id}`);
    expect(Math.abs((track?.length ?? 0) - length)).toBeLessThanOrEqual(tolerance);
  });

  it('has room for the kart on every track', () => {
    for (const [id, spec] of Object.entries(project.tracks)) {
      const { track, problems: found } = compileTrack(spec, id);
      expect(found, id).toEqual([]);
      expect(track?.tightest.radius, id).toBeGreaterThan(project.chassis['clodlet']!.turningRadius);
      // The inner edge must not fold over itself.
      expect(track?.tightest.radius, id).toBeGreaterThan((track?.narrowest.width ?? 0) / 2);
    }
  });

  it('takes every kart round every track on every day', () => {
    for (const day of Object.keys(project.days)) {
      for (const kart of Object.keys(project.karts)) {
        for (const track of Object.keys(project.tracks)) {
          const answer = perform(project, { verb: 'lap', kart, day, track });
          // A hot day high up is farther from a sheet's air than any standard goes: that is said, and nothing else.
          const said = day === 'high-heat' ? ['beyond-correction'] : [];
          const codes = answer.problems.map(({ code }) => code);
          expect([kart, track, day, answer.status, ...codes]).toEqual([kart, track, day, 'done', ...said]);
        }
      }
    }
  });
});
