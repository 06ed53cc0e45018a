import { describe, expect, test } from 'vitest';
import {
  compileKart,
  compileTrack,
  keptLineOf,
  type LineResult,
  lineAge,
  type Project,
  perform,
} from '../../../sim/index.ts';
import { readProjectValue } from '../../../sim/project/read.ts';
import { readDemo } from '../../../ui/demo/demo-project.ts';

const project = readDemo().project!;
const who = { kart: 'clodlet-four-asphalt', day: 'mild' } as const;
const find = (track: string, options: object = {}, of: Project = project) => {
  const answer = perform(of, { verb: 'line', ...who, track, options });
  if (answer.result === undefined) throw new Error(answer.problems.map((p) => p.message).join());
  return answer.result;
};
const time = (result: LineResult, kind: string) => result.lines.find((line) => line.kind === kind)!.time;
const withTrack = (track: object): Project => {
  const read = readProjectValue({
    kartwright: 1,
    surfaces: { asphalt: { name: 'Asphalt', kind: 'hard' } },
    tracks: { t: { name: 'T', surface: 'asphalt', ...track } },
  });
  return { ...project, tracks: { t: read.project!.tracks['t']! } };
};

describe('lines of the demo tracks', () => {
  const tracks = ['brindlequag-works', 'fettlebrow', 'oval', 'figure-eight'];
  const found = new Map(tracks.map((track) => [track, find(track)]));

  test.each(tracks)('%s: the fastest is quickest, by more than a hundredth where there is room', (track) => {
    const result = found.get(track)!;
    expect(time(result, 'fastest')).toBeLessThanOrEqual(time(result, 'smoothest'));
    expect(time(result, 'fastest')).toBeLessThan(time(result, 'as drawn') - 0.01);
    expect(result.finished).toBe(true);
  });

  test.each(tracks)('%s: half the kart stays inside the edges at every station', (track) => {
    const kart = compileKart(project, who).kart!;
    const drawn = compileTrack(project.tracks[track]!, track, 0.1).track!;
    for (const line of found.get(track)!.lines.slice(1)) {
      let at = 0;
      for (const [i, n] of line.offset.entries()) {
        while (at + 1 < drawn.count && drawn.distance[at]! < line.along[i]! - 0.05) at++;
        // Half a centimetre is left by the bounds at stations 0.4 m apart.
        expect(n).toBeLessThan(drawn.left[at]! - kart.width / 2 + 0.01);
        expect(-n).toBeLessThan(drawn.right[at]! - kart.width / 2 + 0.01);
      }
    }
  });

  test.each(tracks)('%s: the line kept drives at its time', (track) => {
    const result = found.get(track)!;
    const spec = { ...project.tracks[track]!, lines: result.keep.map((line) => ({ ...line })) };
    const kept: Project = { ...project, tracks: { ...project.tracks, [track]: spec } };
    for (const kind of ['smoothest', 'fastest'] as const) {
      const lap = perform(kept, { verb: 'lap', ...who, track, options: { line: kind } }).result!;
      // Offsets are written to a tenth of a millimetre.
      expect(Math.abs(lap.time - time(result, kind))).toBeLessThan(0.005);
    }
    const drawn = perform(kept, { verb: 'lap', ...who, track }).result!;
    expect(drawn.time).toBe(time(result, 'as drawn'));
    const line = keptLineOf(spec, 'fastest', who)!;
    expect(lineAge(kept, { ...who, track }, line)!.state).toBe('fresh');
  });

  test('slice by slice gives the same bits, each with a line no slower than the one before', () => {
    const whole = found.get('oval')!;
    let result = find('oval', { slice: 3000 });
    let slices = 1;
    let best = Number.POSITIVE_INFINITY;
    while (!result.finished && slices < 500) {
      expect(time(result, 'fastest')).toBeLessThanOrEqual(time(result, 'smoothest'));
      best = Math.min(best, time(result, 'fastest'));
      result = find('oval', { slice: 3000, from: structuredClone(result.state) });
      slices++;
    }
    expect(slices).toBeGreaterThan(5);
    expect(Array.from(result.lines[2]!.offset)).toEqual(Array.from(whole.lines[2]!.offset));
    expect(result.lines[2]!.time).toBe(whole.lines[2]!.time);
  });

  test('ages: a little lighter is near, half the grip is stale, another shape is stale and not driven', () => {
    const result = found.get('oval')!;
    const line = { ...result.keep[1]! };
    const spec = { ...project.tracks['oval']!, lines: [line] };
    const kept: Project = { ...project, tracks: { ...project.tracks, oval: spec } };
    const kart = project.karts[who.kart]!;
    const lighter = {
      ...kept,
      karts: {
        ...kept.karts,
        [who.kart]: { ...kart, driver: { ...kart.driver, mass: kart.driver.mass - 2 } },
      },
    };
    expect(lineAge(lighter, { ...who, track: 'oval' }, line)!.state).toBe('near');
    const day = { ...project.days['mild']!, grip: { asphalt: 0.5 } };
    const slippery = { ...kept, days: { ...kept.days, mild: day } };
    const age = lineAge(slippery, { ...who, track: 'oval' }, line)!;
    expect(age.state).toBe('stale');
    expect(age.changes[0]!.what).toBe('cornering on asphalt');
    const other = { ...kept, tracks: { oval: { ...project.tracks['circle']!, lines: [line] } } };
    expect(lineAge(other, { ...who, track: 'oval' }, line)!.state).toBe('stale');
    const lap = perform(other, { verb: 'lap', ...who, track: 'oval', options: { line: 'fastest' } });
    expect(lap.problems.map((p) => p.code)).toContain('line-of-another-track');
  });
});

describe('what is refused', () => {
  test('a line that is not kept', () => {
    const lap = perform(project, { verb: 'lap', ...who, track: 'oval', options: { line: 'fastest' } });
    expect(lap.problems.map((p) => p.code)).toEqual(['no-line']);
  });

  test('a track narrower than the kart', () => {
    const narrow = withTrack({
      closed: true,
      width: 1,
      stretches: [{ turn: 'left', angle: '360 deg', radius: 20 }],
    });
    const answer = perform(narrow, { verb: 'line', ...who, track: 't' });
    expect(answer.status).toBe('problems');
    expect(answer.problems.map((p) => p.code)).toContain('too-narrow');
  });
});

test('no room to the sides: all three are the drawn line', () => {
  const chassis = project.chassis[project.karts[who.kart]!.chassis]!;
  const width = chassis.width ?? Math.max(chassis.track.front, chassis.track.rear) + 0.25;
  const result = find(
    't',
    {},
    withTrack({ closed: true, width, stretches: [{ turn: 'left', angle: '360 deg', radius: 20 }] }),
  );
  // A line is a spline through nodes: where the drawn one is exact arcs, its curvature differs by (2.5/20)^2/12.
  for (const line of result.lines) expect(Math.abs(line.time / result.lines[0]!.time - 1)).toBeLessThan(1e-3);
});

test('an uneven track: the smoothest line of a bent strip uses the side that is there', () => {
  const bend = [{ straight: 40 }, { turn: 'left', angle: '90 deg', radius: 15 }, { straight: 40 }];
  const room = find(
    't',
    { smoothestOnly: true },
    withTrack({ closed: false, widthLeft: 4, widthRight: 1.5, stretches: bend }),
  );
  const { offset } = room.lines[1]!;
  expect(Math.max(...offset)).toBeGreaterThan(2.5);
  expect(Math.min(...offset)).toBeGreaterThan(-0.9);
});
