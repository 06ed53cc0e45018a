/** Laps in a log: found by themselves, checked against the track, kept out of what is fitted along a straight. */
import { describe, expect, it } from 'vitest';
import type { Ask, DriveLog, InputNote, LapResult, MatchOptions, Project } from '../../../sim/index.ts';
import { matchLog, perform, readProjectValue } from '../../../sim/index.ts';
import { normalQuantile } from '../../../sim/numerics/normal.ts';
import { hash } from '../../../sim/numerics/sobol.ts';
import { withInputs } from '../../../sim/project/changed-inputs.ts';
import { comingRound } from '../../../sim/study/match/coming-round.ts';
import { lapsOfTrack } from '../../../sim/study/match/lap-match.ts';
import { lapsOf } from '../../../sim/study/match/laps.ts';
import { deviationOf } from '../../../sim/study/unknowns/statistics.ts';
import { demoInput } from '../../../ui/demo/demo-project.ts';

const { project, notes } = readProjectValue(demoInput()) as { project: Project; notes: readonly InputNote[] };
const ask: Ask = (on, requests) => Promise.resolve(requests.map((request) => perform(on, request)));
const who = { kart: 'clodlet-four-asphalt', day: 'mild', surface: 'asphalt' };
const match = (log: DriveLog, options: Partial<MatchOptions> = {}) =>
  matchLog(project, notes, log, { ...who, ...options }, ask);

/** The kart's own laps as a logger writes them: ten rows a second, speeds 0.3 km/h off, places to a centimetre. */
function lapLog(track: string, count: number, gripUse = 0.92): DriveLog {
  const truth = withInputs(project, [{ path: `karts.${who.kart}.driver.gripUse`, value: gripUse }]);
  const lap = perform(truth, { verb: 'lap', kart: who.kart, day: who.day, track }).result as LapResult;
  const { columns } = lap;
  const rows = Math.floor((count * lap.time + 3) * 10);
  const at = (column: Float64Array, t: number): number => {
    const k = Math.max(
      1,
      columns.time.findIndex((own) => own >= t),
    );
    const [a, b] = [columns.time[k - 1]!, columns.time[k]!];
    return column[k - 1]! + ((column[k]! - column[k - 1]!) * (t - a)) / (b - a);
  };
  const log = { time: [] as number[], speed: [] as number[], x: [] as number[], y: [] as number[] };
  for (let i = 0; i < rows; i++) {
    const t = (i / 10) % lap.time;
    log.time.push(i / 10);
    log.speed.push(at(columns.speed, t) + (0.3 / 3.6) * normalQuantile((hash(3, i) + 0.5) / 2 ** 32));
    log.x.push(Number(at(columns.x, t).toFixed(2)));
    log.y.push(Number(at(columns.y, t).toFixed(2)));
  }
  return {
    time: Float64Array.from(log.time),
    speed: Float64Array.from(log.speed),
    x: Float64Array.from(log.x),
    y: Float64Array.from(log.y),
  };
}

/** Rounds of a circle, m and m/s, ten rows a second. */
function circle(radius: number, speed: number, duration: number): DriveLog {
  const time = Float64Array.from({ length: duration * 10 }, (_, i) => i / 10);
  const angle = (t: number) => (speed * t) / radius;
  return {
    time,
    // Quickest at one place, so that the gate is there.
    speed: time.map((t) => speed * (1 + 0.01 * Math.cos(angle(t) - 1))),
    x: time.map((t) => radius * Math.cos(angle(t))),
    y: time.map((t) => radius * Math.sin(angle(t))),
  };
}

/** Up and down a strip and round at a crawl at either end, never standing still. */
function upAndDown(length: number, width: number, times: number): DriveLog {
  const half = (Math.PI * width) / 2;
  const log = { time: [] as number[], speed: [] as number[], x: [] as number[], y: [] as number[] };
  let way = 0;
  for (let i = 0; way < times * 2 * (length + half); i++) {
    const leg = way % (2 * (length + half));
    const on = leg % (length + half);
    const back = leg >= length + half;
    const angle = Math.max(0, on - length) / (width / 2);
    const x = Math.min(on, length) + (width / 2) * Math.sin(angle);
    const y = -(width / 2) * Math.cos(angle);
    const speed = on >= length ? 2.5 : Math.min(25, 2.5 + 0.1 * on, 2.5 + 0.1 * (length - on));
    log.time.push(i / 10);
    log.speed.push(speed);
    log.x.push(back ? length - x : x);
    log.y.push(back ? -y : y);
    way += speed / 10;
  }
  return {
    time: Float64Array.from(log.time),
    speed: Float64Array.from(log.speed),
    x: Float64Array.from(log.x),
    y: Float64Array.from(log.y),
  };
}

describe('a kart’s own laps as a log', () => {
  it.each([
    ['brindlequag-works', 4, 0.92],
    ['brindlequag-works', 3, 0.85],
    ['oval', 6, 0.92],
  ])(
    '%s, %d laps at %d of the grip: nothing fitted, the driver’s share found',
    async (track, count, share) => {
      const log = lapLog(track, count + 1, share);
      const result = await match(log, { track });
      expect(result.segments).toEqual([]);
      expect(result.values).toEqual([]);
      expect(result.problems).toEqual([]);
      const last = log.time.at(-1)!;
      // All but what is driven once: nothing, but for a step of the way at either end.
      expect(result.leftOut!.time).toBeGreaterThan(last - 2);
      const laps = result.laps!;
      expect(laps.remarks).toEqual([]);
      // One lap more than these is driven, and 3 s: where the gate is passed in those, that lap is whole too.
      expect([count, count + 1]).toContain(laps.logged.length);
      expect(laps.fitted).toBe(laps.estimated);
      const { after, fromLaps, spread, atBound } = laps.driver!;
      expect(atBound).toBeNull();
      // Four standard deviations by the laps alone, and the 0.5 m stations of a study's lap: some hundredths of a second.
      expect(Math.abs(after - share)).toBeLessThan(4 * fromLaps + 0.002);
      expect(spread).toBeGreaterThan(fromLaps);
      // Laps all alike are known no better than the stamps of 0.1 s tell: 0.1/sqrt(6), for n laps and one more.
      expect(laps.heldOut!.spread).toBeGreaterThan(0.0408);
      expect(Math.abs(laps.heldOut!.expected - laps.heldOut!.logged)).toBeLessThan(4 * laps.heldOut!.spread);
    },
  );

  it('is no lap of another track, and that is said with both lengths', async () => {
    const { laps, leftOut } = await match(lapLog('brindlequag-works', 3), { track: 'oval' });
    expect(laps!.logged).toEqual([]);
    expect(laps!.driver).toBeNull();
    expect(laps!.heldOut).toBeNull();
    expect(laps!.remarks.join()).toMatch(
      /^What comes round in the log is 90\d( to 9\d\d)? m long, Oval is 214 m: not this track\.$/,
    );
    expect(leftOut!.way! / 908).toBeCloseTo(1, 2);
  });

  it('of laps and other rounds the laps of the track stay', () => {
    const lap = (way: number) => ({ start: 0, time: 20, way });
    const { laps, remarks } = lapsOfTrack(project, 'oval', {
      laps: [lap(214), lap(430), lap(205)],
      noLaps: [],
      resolution: 0,
      ground: [],
    });
    expect(laps.map(({ way }) => way)).toEqual([214, 205]);
    expect(remarks).toEqual(['1 lap of 3 that come round left out: 430 m long, Oval is 214 m.']);
  });

  it('a line that hugs either edge all round is a lap; a tenth beyond is not', () => {
    // Two half circles of 15 m and 6 m of width: 2 pi 3 m more or less, and 5 % for a wheel.
    const limit = 2 * Math.PI * 3 + 0.05 * 214.25;
    for (const side of [-1, 1])
      for (const [part, is] of [
        [0.98, 1],
        [1.1, 0],
      ] as const) {
        const laps = [{ start: 0, time: 15, way: 214.25 + side * part * limit }];
        expect(
          lapsOfTrack(project, 'oval', { laps, noLaps: [], resolution: 0, ground: [] }).laps.length,
        ).toBe(is);
      }
  });
});

describe('what comes round', () => {
  it('a strip driven up and down is no lap, whether turned standing or rolling', () => {
    const strip = upAndDown(400, 5, 3);
    expect(comingRound(strip)).toEqual([]);
    expect(lapsOf(strip).laps).toEqual([]);
    // The same with the legs as far apart as no strip is: a track of two straights.
    expect(lapsOf(upAndDown(400, 30, 3)).laps.length).toBe(2);
  });

  it('a lap with a standstill in it is none, by the gate or by the logger’s count', () => {
    const log = circle(40, 12, 100);
    expect(lapsOf(log).laps.length).toBe(4);
    const stopped = { ...log, speed: log.speed.map((v, i) => (i > 480 && i < 500 ? 0 : v)) };
    const { laps } = lapsOf(stopped);
    expect(laps.length).toBe(3);
    const count = log.time.map((t) => Math.floor((12 * t) / (2 * Math.PI * 40)));
    const counted = lapsOf({ ...stopped, lap: count });
    expect(counted.laps.length).toBe(2);
    expect(counted.noLaps).toEqual([{ start: expect.closeTo(41.9, 5), why: 'stands still' }]);
    const { remarks } = lapsOfTrack(project, 'circle', counted);
    expect(remarks.join(' ')).toContain('stands still in 1 lap of the logger’s count');
  });

  it('a count that goes on elsewhere than at one place is none', () => {
    const log = circle(100, 12, 160);
    const lap = log.time.map((t) => Math.floor(t / 40));
    expect(lapsOf({ ...log, lap }).laps).toEqual([]);
    expect(lapsOf({ ...log, lap }).noLaps.map(({ why }) => why)).toEqual(['elsewhere', 'elsewhere']);
  });

  it('with a count and no places, the ways out and in are left out with the laps', () => {
    const { time, speed } = circle(40, 12, 100);
    const lap = time.map((t) => Math.floor((12 * t) / (2 * Math.PI * 40)));
    const { ground, laps } = lapsOf({ time, speed, lap });
    expect(laps.length).toBe(3);
    expect(ground[0]!.from).toBe(0);
    expect(Math.max(...ground.map(({ to }) => to))).toBe(time.length);
  });

  it('a lap time is told as finely as the log’s clock does: stamps of 0.1 s, counts once a second', () => {
    const lap = 60.2113;
    const rows = 60_000;
    // Moments anywhere, written to 0.1 s: what is left of each is a rectangle.
    const at = Array.from({ length: rows }, (_, i) => 0.37 * i + (0.2 * hash(5, i)) / 2 ** 32);
    const angle = (t: number) => (2 * Math.PI * t) / lap;
    const log: DriveLog = {
      time: Float64Array.from(at, (t) => Math.round(t * 10) / 10),
      speed: Float64Array.from(at, (t) => 10.435 + 0.01 * Math.cos(angle(t) - 1)),
      x: Float64Array.from(at, (t) => 100 * Math.cos(angle(t))),
      y: Float64Array.from(at, (t) => 100 * Math.sin(angle(t))),
    };
    const found = lapsOf(log);
    const scatter = deviationOf(found.laps.map(({ time }) => time));
    expect(found.laps.length).toBeGreaterThan(350);
    // The line between two samples takes some of the error out: stated on the wide side, by less than 1.6 times.
    expect(found.resolution / scatter).toBeGreaterThan(0.95);
    expect(found.resolution / scatter).toBeLessThan(1.6);
    // A count once a second: with laps of n seconds and f, variance f (1 - f), 1/6 for this f.
    const time = Float64Array.from({ length: 20_000 }, (_, i) => i);
    const counted = lapsOf({
      time,
      speed: time.map(() => 10.4),
      lap: time.map((t) => Math.floor(t / lap)),
    });
    expect(counted.resolution).toBeCloseTo(1 / Math.sqrt(6), 6);
    // 330 laps: a deviation is known to 4 %; three of those.
    expect(Math.abs(counted.resolution / deviationOf(counted.laps.map((l) => l.time)) - 1)).toBeLessThan(
      0.12,
    );
  });
});
