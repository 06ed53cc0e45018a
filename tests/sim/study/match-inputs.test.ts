/** What inputs that are not fitted add to a fit: as much as a refit with them moved; and with it the truth is covered. */
import { describe, expect, it } from 'vitest';
import type {
  Ask,
  BrakeResult,
  DriveLog,
  FitId,
  InputNote,
  MatchResult,
  Project,
} from '../../../sim/index.ts';
import { editsFor, matchLog, perform, readProjectValue } from '../../../sim/index.ts';
import { normalQuantile } from '../../../sim/numerics/normal.ts';
import { hash } from '../../../sim/numerics/sobol.ts';
import type { InputChange } from '../../../sim/project/changed-inputs.ts';
import { withInputs } from '../../../sim/project/changed-inputs.ts';
import { LOGGED_SPEEDS, movedInputs, SLOPE_OF_GROUND } from '../../../sim/study/match/from-inputs.ts';
import { beginAlike, beginningOf, onGrade } from '../../../sim/study/match/moved-curves.ts';
import { demoInput } from '../../../ui/demo/demo-project.ts';
import { syntheticLog } from './synthetic-log.ts';

const { project, notes } = readProjectValue(demoInput()) as { project: Project; notes: readonly InputNote[] };
const who = { kart: 'clodlet-four-asphalt', day: 'mild', surface: 'asphalt' };
const ask: Ask = (on, requests) => Promise.resolve(requests.map((request) => perform(on, request)));
const MASS = 'chassis.clodlet.mass';
const WIND = 'days.mild.wind.speed';
const DRAG = 'chassis.clodlet.aero.dragArea';
const fit: readonly FitId[] = ['drag area', 'rolling resistance'];

/** In doubt: these alone, as far as the file says. */
const inDoubt = (...paths: readonly string[]) =>
  notes.map((note) => (paths.includes(note.path) ? note : { ...note, spread: 0 }));
const spreadAt = (path: string) => notes.find((note) => note.path === path)!.spread;
/** m/s against the kart */
const wind = (head: number): InputChange[] => [
  { path: WIND, value: Math.abs(head) },
  { path: 'days.mild.wind.along', value: head < 0 ? 'with' : 'against' },
];
const truthWith = (changes: readonly InputChange[]) =>
  withInputs(project, [{ path: DRAG, value: 0.8 * 1.15 }, ...changes]);

/** Rolling out alone counts: a throttle half open is no pull. */
function rolls(truth: Project, noise: number, seed = 1, count = 2, grade = 0): DriveLog {
  const log = syntheticLog(
    truth,
    { ...who, rolls: count, top: 22, rollTo: 8, grade },
    { rate: 4, noise, seed },
  );
  return { ...log, throttle: log.time.map(() => 0.5) };
}

const fittedOf = ({ values }: MatchResult, id: string) => values.find((value) => value.id === id)!;
const partOf = (result: MatchResult, id: string, path: string) =>
  fittedOf(result, id).fromInputs.find((part) => part.path === path)?.spread ?? 0;

describe('inputs that are not fitted', () => {
  it.each([
    // What is left out is of second order: of 1 % of the mass, and of 1 m/s in some 10. Mass weighs on the wheels as much
    // as it carries on: rolling resistance hardly hangs on it.
    [
      'mass',
      MASS,
      ['drag area'],
      0.01,
      (step: -1 | 1) => [{ path: MASS, value: 203 + step * spreadAt(MASS) }],
    ],
    ['wind', WIND, fit, 0.05, (step: -1 | 1) => wind(step * spreadAt(WIND))],
  ] as const)('%s: moves a value as far as a refit does', async (_name, path, ids, tolerance, changes) => {
    const log = rolls(truthWith([]), 0.02);
    const result = await matchLog(
      project,
      inDoubt(path),
      log,
      { ...who, fit, levelWithin: 0, speedWithin: 0 },
      ask,
    );
    const refits = await Promise.all(
      ([-1, 1] as const).map((step) =>
        matchLog(
          withInputs(project, changes(step)),
          inDoubt(),
          log,
          { ...who, fit, levelWithin: 0, speedWithin: 0 },
          ask,
        ),
      ),
    );
    for (const id of ids) {
      const [less, more] = refits.map((refit) => fittedOf(refit, id).factor);
      const half = Math.abs(more! - less!) / 2;
      expect(half, id).toBeGreaterThan(0.002);
      expect(Math.abs(partOf(result, id, path) / half - 1), id).toBeLessThan(tolerance);
      const { spread, fromLog, mostFrom } = fittedOf(result, id);
      expect(spread).toBeCloseTo(Math.hypot(fromLog.spread, partOf(result, id, path)), 12);
      expect(mostFrom.path).toBe(path);
    }
  });

  it('covers the truth at the rate stated when mass, wind and the logger are not as the file has them; the log alone does not', async () => {
    const trials = 20;
    const draw = (seed: number, k: number) => normalQuantile((hash(seed, k) + 0.5) / 2 ** 32);
    const rows: { id: FitId; off: number; spread: number; covered: boolean; byLog: boolean }[] = [];
    for (let seed = 1; seed <= trials; seed++) {
      const truth = truthWith([
        { path: MASS, value: 203 + spreadAt(MASS) * draw(99, 2 * seed) },
        ...wind(spreadAt(WIND) * draw(99, 2 * seed + 1)),
      ]);
      const driven = rolls(truth, 0.1, seed, 1);
      const shown = 1 + 0.01 * draw(98, seed);
      const log = { ...driven, speed: driven.speed.map((v) => shown * v) };
      const result = await matchLog(project, inDoubt(MASS, WIND), log, { ...who, fit, levelWithin: 0 }, ask);
      for (const { id, factor, spread, low, high, fromLog } of result.values) {
        const is = id === 'drag area' ? 1.15 : 1;
        rows.push({
          id,
          off: factor - is,
          spread,
          covered: low <= is && is <= high,
          byLog: fromLog.low <= is && is <= fromLog.high,
        });
      }
    }
    for (const wanted of fit) {
      const own = rows.filter(({ id }) => id === wanted);
      expect(own.length, wanted).toBe(trials);
      // 90 % of 20 is 18; an interval that keeps its word covers fewer than 14 by a chance of 2 in 1000.
      expect(own.filter(({ covered }) => covered).length, wanted).toBeGreaterThanOrEqual(14);
      expect(own.filter(({ byLog }) => byLog).length, wanted).toBeLessThan(14);
      // Nor is it wide for nothing: a deviation of 20 is known to 1/sqrt(40), 16 %; three of those.
      const scatter = Math.sqrt(own.reduce((sum, { off }) => sum + off * off, 0) / trials);
      const stated = own.reduce((sum, { spread }) => sum + spread, 0) / trials;
      expect(scatter / stated, wanted).toBeGreaterThan(0.52);
      expect(scatter / stated, wanted).toBeLessThan(1.48);
    }
  }, 60_000);

  it('lets wind cancel where places show runs both ways, and not where all go one way', async () => {
    const once = syntheticLog(truthWith([]), { ...who, rolls: 1, top: 22, rollTo: 3 }, { rate: 4, noise: 0 });
    const half = once.time.length;
    const log: DriveLog = {
      time: Float64Array.from({ length: 2 * half }, (_, k) => k / 4),
      speed: Float64Array.from(
        { length: 2 * half },
        (_, k) => once.speed[k % half]! + 0.02 * normalQuantile((hash(7, k) + 0.5) / 2 ** 32),
      ),
      throttle: new Float64Array(2 * half).fill(0.5),
    };
    const whole = await matchLog(
      project,
      inDoubt(WIND),
      log,
      { ...who, fit, levelWithin: 0, speedWithin: 0 },
      ask,
    );
    expect(whole.wind).toBe('same in every run');
    // Places of the second half lie elsewhere: it was turned round with the logger off.
    const along = (way: -1 | 1): DriveLog => {
      let place = 0;
      const x = log.speed.map((v, k) => {
        place += (v / 4) * (k < half ? 1 : way);
        return k < half ? place : place + 5000;
      });
      return { ...log, x, y: log.time.map(() => 0) };
    };
    const oneWay = await matchLog(
      project,
      inDoubt(WIND),
      along(1),
      { ...who, fit, levelWithin: 0, speedWithin: 0 },
      ask,
    );
    const bothWays = await matchLog(
      project,
      inDoubt(WIND),
      along(-1),
      { ...who, fit, levelWithin: 0, speedWithin: 0 },
      ask,
    );
    expect(bothWays.segments.length).toBe(whole.segments.length);
    for (const result of [oneWay, bothWays]) expect(result.wind).toBe('by heading');
    const part = (result: MatchResult) => partOf(result, 'drag area', WIND);
    // Heading east, the wind from the east is the wind along, and that from the north nothing.
    expect(part(oneWay) / part(whole)).toBeCloseTo(1, 2);
    // The same run twice, once each way: what differs is noise and where it lets a run begin and end.
    expect(part(bothWays)).toBeLessThan(0.1 * part(whole));
  });

  it('a slope along every run is a rolling resistance: m g i against f m g', async () => {
    const log = rolls(truthWith([]), 0.02);
    const result = await matchLog(
      project,
      inDoubt(),
      log,
      { ...who, fit, levelWithin: 0.004, speedWithin: 0 },
      ask,
    );
    expect(result.slope).toBe('same in every run');
    const rolling = fittedOf(result, 'rolling resistance');
    // Both tyres of the demo have the same coefficient, constant over speed.
    const { coefficient } = project.tyres['asphalt-rear']!.grip['asphalt']!.rolling;
    // Two parts in 100: the load aloft of the air, and the rise of the grade (cos) of second order.
    expect(
      Math.abs(partOf(result, 'rolling resistance', SLOPE_OF_GROUND) / (0.004 / coefficient) - 1),
    ).toBeLessThan(0.02);
    expect(rolling.mostFrom.path).toBe(SLOPE_OF_GROUND);
    // And the drag of the air, which grows with speed, is known as before.
    expect(partOf(result, 'drag area', SLOPE_OF_GROUND)).toBeLessThan(
      0.1 * partOf(result, 'rolling resistance', SLOPE_OF_GROUND),
    );
  });

  it('logged speeds: move a value as far as a refit to faster and slower speeds does', async () => {
    const log = rolls(truthWith([]), 0.02);
    const speedWithin = 0.01;
    const of = (scale: number, within: number) =>
      matchLog(
        project,
        inDoubt(),
        { ...log, speed: log.speed.map((v) => scale * v) },
        { ...who, fit, levelWithin: 0, speedWithin: within },
        ask,
      );
    const result = await of(1, speedWithin);
    const [less, more] = [await of(1 - speedWithin, 0), await of(1 + speedWithin, 0)];
    for (const id of fit) {
      const half = Math.abs(fittedOf(more, id).factor - fittedOf(less, id).factor) / 2;
      expect(half, id).toBeGreaterThan(0.002);
      // Second order in 1 %, and runs cut off at other speeds: a twentieth.
      expect(Math.abs(partOf(result, id, LOGGED_SPEEDS) / half - 1), id).toBeLessThan(0.05);
      expect(partOf(less, id, LOGGED_SPEEDS)).toBe(0);
    }
    // All speeds e higher: dv/dt = -(f g + k v^2) gives f (1 + e) and k (1 - e).
    expect(partOf(result, 'rolling resistance', LOGGED_SPEEDS)).toBeCloseTo(0.01, 3);
    expect(partOf(result, 'drag area', LOGGED_SPEEDS) / fittedOf(result, 'drag area').factor).toBeCloseTo(
      0.01,
      3,
    );
  });

  it('covers the truth when the runs all went up a slope that nobody knew of', async () => {
    const log = rolls(truthWith([]), 0.05, 1, 3, 0.01);
    const level = await matchLog(
      project,
      inDoubt(),
      log,
      { ...who, fit, levelWithin: 0, speedWithin: 0 },
      ask,
    );
    const unsure = await matchLog(project, inDoubt(), log, { ...who, fit }, ask);
    const covers = (result: MatchResult) => {
      const { low, high } = fittedOf(result, 'rolling resistance');
      return low <= 1 && 1 <= high;
    };
    expect(level.slope).toBe(null);
    expect(covers(level)).toBe(false);
    expect(unsure.levelWithin).toBe(0.01);
    expect(covers(unsure)).toBe(true);
  });

  it('the driver’s share makes up for a grip nobody knows: its spread is that of a refit with the grip moved', async () => {
    const GRIP = 'tyres.asphalt-rear.grip.asphalt.peak';
    const track = 'brindlequag-works';
    const log = syntheticLog(project, { ...who, laps: { track, count: 3 } }, { rate: 20, noise: 0 });
    const match = (on: Project, known: readonly InputNote[]) =>
      matchLog(on, known, log, { ...who, track, fit: [], levelWithin: 0, speedWithin: 0 }, ask).then(
        ({ laps }) => laps!,
      );
    const known = await match(project, inDoubt());
    const unsure = await match(project, inDoubt(GRIP));
    expect(known.driver!.spread).toBe(known.driver!.fromLaps);
    expect(unsure.driver!.fromLaps).toBe(known.driver!.fromLaps);
    expect(unsure.driver!.mostFrom.path).toBe(GRIP);
    // The lap held out was driven with the same tyres.
    expect(unsure.heldOut!.spread).toBe(known.heldOut!.spread);
    const { value } = notes.find(({ path }) => path === GRIP)!;
    const refits = await Promise.all(
      [-1, 1].map((step) =>
        match(withInputs(project, [{ path: GRIP, value: value + step * spreadAt(GRIP) }]), inDoubt()),
      ),
    );
    const half = Math.abs(refits[1]!.driver!.after - refits[0]!.driver!.after) / 2;
    const { spread, fromLaps } = unsure.driver!;
    // The grip moves by an eighth: what is left out is of second order, one part in ten here.
    expect(Math.abs(spread / Math.hypot(half, fromLaps) - 1)).toBeLessThan(0.1);
    expect(half).toBeGreaterThan(0.02);
  });

  it('counts no input that is fitted or known only together with what is', async () => {
    const log = syntheticLog(truthWith([]), { ...who, rolls: 2, stops: 3, top: 22, rollTo: 3 }, {});
    const result = await matchLog(
      project,
      notes,
      log,
      { ...who, fit: [...fit, 'grip'], levelWithin: 0, speedWithin: 0 },
      ask,
    );
    const grip = fittedOf(result, 'grip');
    const paths = result.values.flatMap(({ fromInputs }) => fromInputs.map(({ path }) => path));
    expect(paths).toContain('karts.clodlet-four-asphalt.driver.mass');
    for (const value of result.values)
      for (const { path } of value.places) expect(paths, path).not.toContain(path);
    expect(paths.filter((path) => path.endsWith('.peak'))).toEqual([]);
    // Pads set the balance, and with it how much of the grip a stop uses.
    expect(partOf(result, 'grip', 'brakes.bar.hydraulics.front.padFriction')).toBeGreaterThan(
      grip.fromLog.spread,
    );
  });

  it('a wind stated without a direction counts as from anywhere', async () => {
    const breezy = withInputs(project, [{ path: WIND, value: 3 }]);
    const doubt = inDoubt(WIND).map((note) => (note.path === WIND ? { ...note, value: 3 } : note));
    const log = rolls(truthWith([]), 0.02);
    const [still, blown] = [
      await matchLog(project, inDoubt(WIND), log, { ...who, fit, levelWithin: 0, speedWithin: 0 }, ask),
      await matchLog(breezy, doubt, log, { ...who, fit, levelWithin: 0, speedWithin: 0 }, ask),
    ].map((result) => partOf(result, 'drag area', WIND));
    // sqrt(1^2 + 3^2/2) times a wind of 1 m/s, the swing of 2.3 m/s in some 10 not quite straight.
    expect(Math.abs(blown! / still! / Math.sqrt(5.5) - 1)).toBeLessThan(0.1);
  });

  it('what leaves the beginning of a roll as it is leaves the roll as it is', () => {
    const request = {
      ...who,
      verb: 'brake',
      options: { fromSpeed: 29, toSpeed: 2, brakes: 'none', engine: 'clutch in', tolerance: 1e-7 },
    } as const;
    const beginning = beginningOf({ request, segments: [{ kind: 'rolling out', from: 0, to: 1 }] })!;
    const time = (on: Project) => (perform(on, request).result as BrakeResult).time;
    const [base, start] = [time(project), perform(project, beginning)];
    const kept = movedInputs(project, notes, who, [], [], 0.01, 0).filter(({ path, more }) => {
      const moved = withInputs(project, more.changes);
      if (!beginAlike(start, perform(moved, onGrade(beginning, more.grade)))) return false;
      // The runs are computed to 1e-7; ten of those is far below what noise leaves of a run.
      expect(Math.abs(time(moved) / base - 1), path).toBeLessThan(1e-6);
      return true;
    });
    const paths = kept.map(({ path }) => path);
    expect(paths).toContain('brakes.bar.hydraulics.pedalRatio');
    for (const path of [MASS, WIND, DRAG, SLOPE_OF_GROUND, 'days.mild.temperature'])
      expect(paths).not.toContain(path);
  });

  it('ended half-way keeps what the log says, and tells what is not counted', async () => {
    const log = rolls(truthWith([]), 0.05);
    const whole = await matchLog(
      project,
      inDoubt(MASS, WIND),
      log,
      { ...who, fit, levelWithin: 0, speedWithin: 0 },
      ask,
    );
    let asked = 0;
    await matchLog(
      project,
      inDoubt(),
      log,
      { ...who, fit, levelWithin: 0, speedWithin: 0 },
      (on, requests) => {
        asked += 1;
        return ask(on, requests);
      },
    );
    // With nothing in doubt, these are the questions of the fit and of the fitted curves.
    let left = asked;
    const ended = await matchLog(
      project,
      inDoubt(MASS, WIND),
      log,
      { ...who, fit, levelWithin: 0, speedWithin: 0 },
      (on, requests) => {
        left -= 1;
        return left < 0 ? Promise.resolve(requests.map(() => undefined)) : ask(on, requests);
      },
    );
    for (const id of fit) {
      expect(fittedOf(ended, id).fromLog).toEqual(fittedOf(whole, id).fromLog);
      expect(fittedOf(ended, id).spread).toBe(fittedOf(ended, id).fromLog.spread);
    }
    expect(ended.gapAfter).toBe(whole.gapAfter);
    expect(ended.segments).toEqual(whole.segments);
    const told = ended.problems.find(({ code }) => code === 'inputs-left-out');
    expect(told?.value).toContain(WIND);
    expect(whole.problems.map(({ code }) => code)).not.toContain('inputs-left-out');
  });

  it('a value held back by an input less sure than the file has it is told, and that spread is what is taken over', async () => {
    const log = rolls(truthWith([]), 0.05);
    const rolling = [
      'tyres.asphalt-front.grip.asphalt.rolling.coefficient',
      'tyres.asphalt-rear.grip.asphalt.rolling.coefficient',
    ];
    const loose = inDoubt(...rolling).map((note) =>
      rolling.includes(note.path) ? { ...note, spread: 0.012 } : note,
    );
    const result = await matchLog(project, loose, log, { ...who, fit: ['drag area'] }, ask);
    const [drag] = result.values;
    expect(result.problems.map(({ code }) => code)).toContain('no-better-than-file');
    expect(drag!.spread).toBeGreaterThan(10 * drag!.fromLog.spread);
    const [edit] = editsFor(demoInput(), result.values, { date: '2026-05-17', log: 'outing.csv' });
    expect(edit!.path).toBe(DRAG);
    expect((edit!.after as { spread: number }).spread).toBeCloseTo(0.8 * drag!.spread, 5);
  });
});
