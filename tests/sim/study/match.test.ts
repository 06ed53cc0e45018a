/** A log against the estimate: known truth recovered within the stated interval at the stated rate; refusals; undoing. */
import { describe, expect, it } from 'vitest';
import type { Ask, DriveLog, InputNote, MatchOptions, Project } from '../../../sim/index.ts';
import { editsFor, holdsEdits, matchLog, perform, readProjectValue, withEdits } from '../../../sim/index.ts';
import { normalQuantile } from '../../../sim/numerics/normal.ts';
import { hash } from '../../../sim/numerics/sobol.ts';
import { withInputs } from '../../../sim/project/changed-inputs.ts';
import { lapsOf } from '../../../sim/study/match/laps.ts';
import { isGain } from '../../../sim/study/match/refusals.ts';
import { demoInput } from '../../../ui/demo/demo-project.ts';
import { syntheticLog } from './synthetic-log.ts';

const { project, notes } = readProjectValue(demoInput()) as { project: Project; notes: readonly InputNote[] };
const ask: Ask = (on, requests) => Promise.resolve(requests.map((request) => perform(on, request)));
const who = { kart: 'clodlet-four-asphalt', day: 'mild', surface: 'asphalt' };
const rear = 'tyres.asphalt-rear.grip.asphalt.rolling.coefficient';
const front = 'tyres.asphalt-front.grip.asphalt.rolling.coefficient';

const TRUTH = { drag: 1.15, rolling: 1.2, power: 0.94, grip: 0.9 };
const truth = withInputs(project, [
  { path: 'chassis.clodlet.aero.dragArea', value: 0.8 * TRUTH.drag },
  { path: rear, value: 0.018 * TRUTH.rolling },
  { path: front, value: 0.018 * TRUTH.rolling },
  { path: 'donors.four.torque.points', value: TRUTH.power },
  { path: 'days.mild.grip.asphalt', value: TRUTH.grip },
]);
const match = (log: DriveLog, options: Partial<MatchOptions> = {}, known: readonly InputNote[] = notes) =>
  matchLog(project, known, log, { ...who, levelWithin: 0, speedWithin: 0, ...options }, ask);
/** The file as sure of everything as the logs here are true to it. */
const exact = notes.map((note) => ({ ...note, spread: 0 }));

/** Driven out and back along one straight line: after every standstill the other way. */
function outAndBack(log: DriveLog): DriveLog {
  const { time, speed } = log;
  let [way, place, hasMoved] = [1, 0, false];
  const x = speed.map((v, k) => {
    place += k === 0 ? 0 : (way * (v + speed[k - 1]!) * (time[k]! - time[k - 1]!)) / 2;
    if (v > 1) hasMoved = true;
    else if (hasMoved) [way, hasMoved] = [-way, false];
    return place;
  });
  return { ...log, x, y: new Float64Array(x.length) };
}

describe('matching a log', () => {
  it('finds the same runs with places driven out and back as with no places', async () => {
    const log = syntheticLog(
      truth,
      { ...who, pulls: 1, rolls: 2, stops: 3, top: 24, rollTo: 1 },
      { noise: 0.02 },
    );
    const found = (of: DriveLog) =>
      match(of, { fit: [] }, exact).then(({ segments }) =>
        segments.map(({ kind, start, time }) => [kind, start, time.length]),
      );
    const wanted = await found(log);
    expect(wanted.length).toBeGreaterThan(6);
    // Turning round at a standstill is no bend in the run that ended there.
    expect(await found(outAndBack(log))).toEqual(wanted);
  });

  it('finds what was changed, and leaves alone what was not; laps held out come as expected', async () => {
    const log = syntheticLog(
      truth,
      {
        ...who,
        pulls: 2,
        rolls: 4,
        stops: 2,
        engineBraking: 2,
        top: 33,
        laps: { track: 'brindlequag-works', count: 3 },
      },
      { seed: 5 },
    );
    const result = await match(log, { track: 'brindlequag-works' }, exact);
    const of = (id: string) => result.values.find((v) => v.id === id)!;
    // Four standard deviations as stated: one chance in ten thousand.
    for (const [id, factor] of [
      ['drag area', TRUTH.drag],
      ['rolling resistance', TRUTH.rolling],
      ['grip', TRUTH.grip],
      ['engine drag', 1],
    ] as const)
      expect(Math.abs(of(id).factor - factor), id).toBeLessThan(4 * of(id).spread);
    expect(of('drag area').spread).toBeLessThan(0.02);
    const kinds = new Set(result.segments.map((s) => s.kind));
    expect([...kinds].sort()).toEqual(['engine braking', 'pull', 'rolling out', 'stop']);
    // Noise of the log, 0.1 m/s, is what is left.
    expect(result.gapAfter!).toBeLessThan(0.115);
    expect(result.gapBefore!).toBeGreaterThan(0.3);
    // Raw gap before any fit: less drag and rolling in the file, so it rolls longer than logged.
    const roll = result.segments.find((s) => s.kind === 'rolling out')!;
    expect(roll.estimated!).toBeGreaterThan(1.1 * roll.logged);
    const laps = result.laps!;
    // The driver is as in the file: the share found differs by what a clock of 0.1 s and 0.5 m stations leave.
    expect(Math.abs(laps.driver!.after - 0.92)).toBeLessThan(0.01);
    expect(Math.abs(laps.heldOut!.expected - laps.heldOut!.logged)).toBeLessThan(0.3);
  });

  it('covers the truth at the rate it states, over forty logs, with every other input exact', async () => {
    const clean = syntheticLog(truth, { ...who, rolls: 3, top: 28, rollTo: 2 }, { rate: 5, noise: 0 });
    const trials = 40;
    const found = { 'drag area': [] as number[][], 'rolling resistance': [] as number[][] };
    for (let seed = 1; seed <= trials; seed++) {
      const speed = clean.speed.map((v, k) => v + 0.15 * normalQuantile((hash(seed, k) + 0.5) / 2 ** 32));
      const { values } = await match(
        { ...clean, speed },
        { fit: ['drag area', 'rolling resistance'] },
        exact,
      );
      for (const v of values)
        found[v.id as 'drag area'].push([
          v.factor,
          v.fromLog.low,
          v.fromLog.high,
          v.fromLog.spreadByCovariance,
        ]);
    }
    for (const [id, factor] of [
      ['drag area', TRUTH.drag],
      ['rolling resistance', TRUTH.rolling],
    ] as const) {
      const rows = found[id];
      expect(rows.length, id).toBe(trials);
      const covered = rows.filter(([, low, high]) => low! <= factor && factor <= high!).length;
      // 90 % of 40 is 36; fewer than 30 has a chance of one in a thousand.
      expect(covered, id).toBeGreaterThanOrEqual(30);
      // And by the covariance alone: the scatter over the logs is what each log states. With 40 logs the ratio of
      // deviations is known to 11 %; the ends of the segments move with the noise, which widens it somewhat.
      const mean = rows.reduce((sum, [f]) => sum + f!, 0) / trials;
      const scatter = Math.sqrt(rows.reduce((sum, [f]) => sum + (f! - mean) ** 2, 0) / (trials - 1));
      const stated = rows.reduce((sum, [, , , s]) => sum + s!, 0) / trials;
      expect(scatter / stated, id).toBeGreaterThan(0.6);
      expect(scatter / stated, id).toBeLessThan(1.4);
    }
  }, 240_000);

  it('refuses what the log cannot tell apart, in words', async () => {
    // Rolling out over a few km/h only: drag and rolling resistance slow it alike.
    const narrow = syntheticLog(truth, { ...who, rolls: 2, top: 20, rollTo: 16 }, { noise: 0.1 });
    const { values, refused } = await match(narrow, { fit: ['drag area', 'rolling resistance'] });
    expect(values).toEqual([]);
    const [pair] = refused;
    expect(pair!.ids).toEqual(['drag area', 'rolling resistance']);
    expect(pair!.why).toContain('cannot tell them apart');
    // Stops alone: balance and grip. (The pulls between them, at the edge of the grip, would tell: throttle part open.)
    const driven = syntheticLog(truth, { ...who, stops: 3, top: 20 }, { noise: 0.05 });
    const stops: DriveLog = { ...driven, throttle: driven.time.map(() => 0.5) };
    const both = await match(stops, { fit: ['grip', 'brake balance'] });
    expect(both.values.map(({ id }) => id)).not.toContain('brake balance');
    expect(both.refused.length).toBeGreaterThan(0);
    const none = await match(stops, { fit: ['engine drag'] });
    expect(none.refused).toEqual([{ ids: ['engine drag'], why: 'the log has no engine braking' }]);
  });

  it('names the likely cause where a value runs to its edge', async () => {
    // A tail wind of a whole gale: the log slows far less than any kart would.
    const gale = withInputs(project, [{ path: 'chassis.clodlet.aero.dragArea', value: 0.03 }]);
    const log = syntheticLog(gale, { ...who, rolls: 3, top: 28 }, { noise: 0.05 });
    const { values, problems } = await match(log, { fit: ['drag area', 'rolling resistance'] }, exact);
    const drag = values.find(({ id }) => id === 'drag area')!;
    expect(drag.atBound).toContain('tail wind');
    expect(problems.map(({ code }) => code)).toContain('at-bound');
  });

  it('finds nothing in a log of nothing, and says what to log', async () => {
    const still: DriveLog = {
      time: Float64Array.from({ length: 200 }, (_, i) => i / 10),
      speed: new Float64Array(200),
    };
    const result = await match(still);
    expect(result.segments).toEqual([]);
    expect(result.gapBefore).toBeNull();
    expect(result.problems[0]!.code).toBe('nothing-found');
  });

  it('gives the same bits for the same log', async () => {
    const log = syntheticLog(truth, { ...who, rolls: 3, top: 24 }, {});
    expect(await match(log)).toEqual(await match(log));
  });

  it('laid against the same log again, what was taken over gains nothing', async () => {
    const log = syntheticLog(truth, { ...who, rolls: 3, stops: 3, top: 28 }, { noise: 0.05 });
    // Of grip the log knows the product with what the tyres have, whose doubt stays in the file.
    const asked = { ...who, fit: ['drag area', 'rolling resistance', 'grip'] as const };
    const first = await matchLog(project, notes, log, asked, ask);
    const gained = first.values.filter(({ isBetter }) => isBetter);
    expect(gained.map(({ id }) => id)).toEqual(expect.arrayContaining(['drag area', 'grip']));
    const raw = demoInput();
    const edits = editsFor(raw, gained, { date: '2026-05-17', log: 'outing.csv' });
    const read = readProjectValue(withEdits(raw, edits, 'after')) as {
      project: Project;
      notes: readonly InputNote[];
    };
    const again = await matchLog(read.project, read.notes, log, asked, ask);
    for (const { id } of gained) {
      const value = again.values.find((v) => v.id === id);
      // Refused, or told to be no gain; never offered a second time. Six digits are written to the file.
      if (value !== undefined) expect(Math.abs(value.factor - 1), id).toBeLessThan(1e-4);
      expect(value?.isBetter ?? false, id).toBe(false);
    }
    const warned = again.problems.filter(({ code }) => code === 'no-better-than-file');
    expect(warned.length).toBe(again.values.filter(({ isBetter }) => !isBetter).length);
  });

  it.each([
    [0.1, 0.1, false],
    [0.0951, 0.1, false],
    [0.095, 0.1, true],
    [Number.NaN, 0.1, false],
  ])('a spread of %d where the file has %d: a gain %s', (spread, inFile, gain) => {
    expect(isGain(spread, inFile)).toBe(gain);
  });

  it('is taken over with spread, origin and date, and undone to the same file', () => {
    const raw = demoInput();
    const places = (path: string, before: number, after: number, spread: number) => [
      { path, before, after, spread },
    ];
    const edits = editsFor(
      raw,
      [
        { id: 'drag area', places: places('chassis.clodlet.aero.dragArea', 0.8, 0.9, 0.01) },
        { id: 'power', places: places('donors.four.torque.points', 1, 0.95, 0.02) },
        { id: 'grip', places: places('days.mild.grip.asphalt', 1, 0.9, 0.02) },
      ],
      { date: '2026-05-17', log: 'outing.csv' },
    );
    const changed = withEdits(raw, edits, 'after');
    const read = readProjectValue(changed) as { project: Project; notes: readonly InputNote[] };
    expect(read.project.chassis['clodlet']!.aero.dragArea).toBe(0.9);
    expect(read.project.days['mild']!.grip['asphalt']).toBe(0.9);
    const note = read.notes.find((n) => n.path === 'chassis.clodlet.aero.dragArea')!;
    expect(note).toMatchObject({
      spread: 0.01,
      origin: 'measured',
      note: '2026-05-17: fitted to outing.csv; was 0.8',
    });
    const time = (p: Project) =>
      perform(p, { verb: 'topspeed', kart: who.kart, day: who.day, surface: who.surface }).result!
        .thrust[2]![40]!;
    // The sheet is 5 % weaker, and the thrust of a gear with it; six digits of the rows are kept.
    expect(time(read.project) / time(project)).toBeCloseTo(0.95, 4);
    expect(withEdits(changed, edits, 'before')).toEqual(raw);
    expect(holdsEdits(changed, edits)).toBe(true);
    expect(holdsEdits(raw, edits)).toBe(false);
    expect(holdsEdits(withEdits(changed, edits.slice(-1), 'before'), edits)).toBe(false);
  });
});

describe('laps of a log', () => {
  it('comes back to its gate: a circle driven four times', () => {
    const n = 2400;
    const time = Float64Array.from({ length: n }, (_, i) => i / 10);
    const way = (t: number) => (2 * Math.PI * t) / 60;
    const log: DriveLog = {
      time,
      // Quickest at one place of the circle, so that the gate is there.
      speed: time.map((t) => 10 + Math.cos(way(t) - 1)),
      x: time.map((t) => 100 * Math.cos(way(t))),
      y: time.map((t) => 100 * Math.sin(way(t))),
    };
    const { laps } = lapsOf(log);
    expect(laps.length).toBe(3);
    // Places lie on the circle exactly; a straight line between samples 1 m apart bends by a thousandth of a second.
    for (const { time: t } of laps) expect(Math.abs(t - 60)).toBeLessThan(0.01);
  });
});
