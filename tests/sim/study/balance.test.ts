/** Where to set the brakes: against the textbook, against the run it is made of, and in the round. */
import { describe, expect, it } from 'vitest';
import type { BalanceOptions, BalanceResult } from '../../../sim/index.ts';
import { createPerformer, perform, performStudy, planBalance, readProjectValue } from '../../../sim/index.ts';
import { barShareFor } from '../../../sim/study/balance/knob.ts';
import { bandOf, distanceAt, frontFirstFrom, shareServing } from '../../../sim/study/balance/share-curve.ts';
import { demoInput } from '../../../ui/demo/demo-project.ts';
import type { Raw } from '../demo-project.ts';

const KART = 'clodlet-single-knobbly';
const OPTIONS: BalanceOptions = {
  kart: KART,
  day: 'mild',
  loose: 'loose-clay',
  hard: 'asphalt',
  fromSpeed: 60 / 3.6,
  tracks: [],
};

function projectWith(change: (raw: Raw) => void) {
  const raw = demoInput() as Raw;
  change(raw);
  const { project, problems } = readProjectValue(raw);
  if (project === undefined) throw new Error(problems[0]?.message);
  return project;
}

function balance(
  options: Partial<BalanceOptions> = {},
  change: (raw: Raw) => void = () => undefined,
): BalanceResult {
  const project = projectWith(change);
  const { study } = planBalance(project, { ...OPTIONS, ...options });
  return performStudy(study!, createPerformer().bind(undefined, project))!;
}

/** Nothing but friction: what the textbook leaves out is taken out. */
const plain = (raw: Raw) => {
  raw.chassis.clodlet.aero = { dragArea: 0 };
  for (const tyre of Object.values<Raw>(raw.tyres)) {
    tyre.inertia = 0;
    for (const grip of Object.values<Raw>(tyre.grip)) {
      grip.loadSensitivity = 0;
      grip.rolling = { coefficient: 0 };
    }
  }
};
/** Half the step of the finer shares round the best. */
const HALF_STEP = 0.002;

describe('balance', () => {
  const r = balance();
  const on = (surface: string, gear: number | null, from = r) =>
    from.on.find((o) => o.surface === surface && o.gear === gear)!;

  it('is that of the textbook where the textbook holds', () => {
    const bare = balance({}, plain);
    for (const surface of ['loose-clay', 'asphalt']) {
      const { band, textbook, ideal, frontFirstFrom: from } = on(surface, null, bare);
      expect(Math.abs(band!.best - textbook!)).toBeLessThanOrEqual(HALF_STEP);
      expect(Math.abs(from - textbook!)).toBeLessThanOrEqual(HALF_STEP);
      // The best of the shares tried lies half a step off at most: a distance in proportion.
      expect(band!.distance).toBeGreaterThanOrEqual(ideal!);
      expect(band!.distance / ideal!).toBeLessThan(1 + 2 * HALF_STEP);
    }
  });

  it('between the textbook shares of the two ends of a stop in which the air helps', () => {
    const windy = (raw: Raw) => {
      plain(raw);
      raw.chassis.clodlet.aero = { dragArea: 1.2, height: raw.chassis.clodlet.cg.height };
    };
    const project = projectWith(windy);
    const { band } = on('asphalt', null, balance({ fromSpeed: 30 }, windy));
    const curve = (rate: number) =>
      perform(project, {
        verb: 'balance-curve',
        kart: KART,
        day: 'mild',
        surface: 'asphalt',
        options: { rates: [rate] },
      }).result!.idealFrontShare[0]!;
    const friction = 0.8;
    const sheet = perform(project, { verb: 'sheet', kart: KART, day: 'mild' }).result!;
    const drag = (0.5 * sheet.airDensity * 1.2 * 30 ** 2) / (sheet.mass * 9.80665);
    expect(band!.best).toBeGreaterThan(curve(friction) - HALF_STEP);
    expect(band!.best).toBeLessThan(curve(friction + drag) + HALF_STEP);
  });

  it('is the stop of a file with that share written into it', () => {
    const stop = on('asphalt', null).threshold.find((s) => s.frontShare === 0.7)!;
    const written = projectWith((raw) => {
      raw.brakes.bar = { name: 'As worked out', frontShare: 0.7 };
    });
    const { result } = perform(written, {
      verb: 'brake',
      kart: KART,
      day: 'mild',
      surface: 'asphalt',
      options: { fromSpeed: OPTIONS.fromSpeed },
    });
    expect(stop.distance).toBe(result!.distance);
    expect(stop.useFront > stop.useRear ? 'front' : 'rear').toBe(result!.firstToLock);
  });

  it('the drag of the engine moves the best share forward, the more the lower the gear', () => {
    const light = balance({}, (raw) => {
      raw.donors.single.inertia = 0;
    });
    for (const surface of ['loose-clay', 'asphalt']) {
      const gears = light.on.filter((o) => o.surface === surface && o.gear !== null);
      expect(gears.length).toBeGreaterThan(2);
      const clutchIn = on(surface, null, light);
      for (const o of gears) {
        expect(o.band!.best).toBeGreaterThanOrEqual(clutchIn.band!.best);
        expect(o.frontFirstFrom).toBeGreaterThan(clutchIn.frontFirstFrom);
      }
      const firsts = gears.map((o) => o.frontFirstFrom);
      expect(firsts).toEqual(firsts.toSorted((a, b) => b - a));
    }
  });

  it('but the flywheel takes it back where the kart slows hard: it wants to go on turning', () => {
    const low = r.on.find((o) => o.surface === 'asphalt' && o.gear === r.driverGear)!;
    const heavy = balance({}, (raw) => {
      raw.donors.single.inertia = 0.2;
    });
    const same = on('asphalt', low.gear, heavy);
    expect(same.frontFirstFrom).toBeLessThan(low.frontFirstFrom);
    expect(same.frontFirstFrom).toBeLessThan(on('asphalt', null, heavy).frontFirstFrom);
  });

  it('no share beats the ideal stop; the band holds what it promises', () => {
    for (const o of r.on) {
      const { band, ideal, threshold } = o;
      // Integrated at 1e-9 over some hundred steps.
      expect(band!.distance).toBeGreaterThanOrEqual(ideal! * (1 - 1e-7));
      for (const s of threshold)
        if (s.frontShare >= band!.from && s.frontShare <= band!.to)
          expect(s.distance!).toBeLessThanOrEqual(band!.distance * (1.02 + 1e-12));
    }
  });

  it('the setting for both lies between the best of each, and costs no more than any other', () => {
    const [loose, hard] = [on('loose-clay', null), on('asphalt', null)];
    const { frontShare, losses } = r.clutchIn!;
    const ends = [loose.band!.best, hard.band!.best].sort();
    expect(frontShare).toBeGreaterThanOrEqual(ends[0]!);
    expect(frontShare).toBeLessThanOrEqual(ends[1]!);
    const worst = Math.max(losses[0]!.loss / loose.band!.distance, losses[1]!.loss / hard.band!.distance);
    for (const s of hard.threshold) {
      const there = distanceAt(loose.threshold, s.frontShare)!;
      const other = Math.max(there / loose.band!.distance - 1, s.distance! / hard.band!.distance - 1);
      expect(other).toBeGreaterThanOrEqual(worst - 1e-12);
    }
  });

  it('the stable setting has the front first everywhere it was asked for', () => {
    const { frontShare } = r.stable!;
    for (const o of r.on.filter((w) => w.gear === null || w.gear === r.driverGear))
      for (const s of o.threshold)
        if (s.frontShare > frontShare) expect(s.useFront).toBeGreaterThanOrEqual(s.useRear - 1e-6);
  });

  it('a pedal held too hard locks an axle at every share: the rear at the rear end, the front at the front', () => {
    for (const o of r.on.filter((w) => w.gear === null)) {
      expect(o.held).toHaveLength(51);
      for (const s of o.held) expect(s.frontLockedFor + s.rearLockedFor).toBeGreaterThan(0);
      expect(o.held[0]).toMatchObject({ frontLockedFor: 0 });
      expect(o.held.at(-1)).toMatchObject({ rearLockedFor: 0 });
    }
  });

  it('a bend leaves less to brake with than the straight, and all of it without side force', () => {
    for (const c of r.corner)
      for (const [i, deceleration] of c.deceleration.entries())
        expect(deceleration).toBeLessThan(c.straight[i]!);
    const straight = balance({ lateralShare: 0 });
    for (const c of straight.corner) expect(c.deceleration).toEqual(c.straight);
  });

  it('laps at each share meet the lap as set now', () => {
    const { laps } = balance({ tracks: ['cinder-yard'] });
    const known = laps[0]!.time.filter((time) => time != null);
    expect(known).toHaveLength(laps[0]!.frontShare.length);
    // Between two shares 5 % apart the lap is no quicker than the best by more than a clock shows.
    expect(laps[0]!.now!).toBeGreaterThan(Math.min(...known) - 0.01);
  });

  it('the knob: bar positions give the shares they stand for', () => {
    const project = projectWith(() => undefined);
    const { best } = on('asphalt', null).band!;
    const radius = { front: 1.455 / (2 * Math.PI), rear: 1.53 / (2 * Math.PI) };
    expect(barShareFor(project.brakes['bar']!, radius, best)).toBeCloseTo(on('asphalt', null).bar!, 9);
    const set = projectWith((raw) => {
      raw.brakes.bar.hydraulics.barFrontShare = on('asphalt', null).bar!;
    });
    expect(perform(set, { verb: 'sheet', kart: KART, day: 'mild' }).result!.brakeFrontShare).toBeCloseTo(
      best,
      9,
    );
    expect(barShareFor(project.brakes['plain']!, radius, 0.6)).toBeNull();
  });

  it('with the notes the stop has its spread', () => {
    const { project, notes } = readProjectValue(demoInput());
    const { study } = planBalance(project!, { ...OPTIONS, notes });
    const found = performStudy(study!, createPerformer().bind(undefined, project!))!;
    const { spread, now } = found.on.find((o) => o.gear === null)!;
    // Peak grip is known to 15 % there: the distance to about as much.
    expect(spread! / now!.distance!).toBeGreaterThan(0.08);
    expect(spread! / now!.distance!).toBeLessThan(0.3);
  });
});

describe('curves over the share', () => {
  const stop = (frontShare: number, distance: number, lead = 0) => ({
    frontShare,
    distance,
    useFront: 1 + Math.min(0, lead),
    useRear: 1 - Math.max(0, lead),
    frontLockedFor: 0,
    rearLockedFor: 0,
  });
  /** Metres over the share: 10 at 50 %, one more each 10 %. */
  const vee = [0.3, 0.4, 0.5, 0.6, 0.7].map((s) => stop(s, 10 + 10 * Math.abs(s - 0.5), s - 0.45));

  it('band, order of locking and distances between stops, on a curve drawn by hand', () => {
    expect(bandOf(vee, 0.05)).toMatchObject({ best: 0.5, distance: 10 });
    expect(bandOf(vee, 0.05)!.from).toBeCloseTo(0.45, 12);
    expect(bandOf(vee, 0.05)!.to).toBeCloseTo(0.55, 12);
    expect(frontFirstFrom(vee)).toBeCloseTo(0.45, 12);
    expect(distanceAt(vee, 0.55)).toBeCloseTo(10.5, 12);
    expect(distanceAt(vee, 0.8)).toBeNull();
  });

  it('one share for two curves: where both lose as much', () => {
    const other = vee.map((s) => stop(s.frontShare, 10 + 10 * Math.abs(s.frontShare - 0.7)));
    expect(shareServing([vee, other])?.frontShare).toBe(0.6);
    expect(shareServing([])).toBeNull();
  });
});
