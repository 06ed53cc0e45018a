/** Where to set the brakes: against the textbook, against the run it is made of, and in the round. */
import { describe, expect, it } from 'vitest';
import { overrunDragAt } from '../../../sim/compile/drivetrain.ts';
import { compileKart, surfaceOf } from '../../../sim/compile/kart.ts';
import type { BalanceOptions, BalanceResult } from '../../../sim/index.ts';
import { createPerformer, perform, performStudy, planBalance, readProjectValue } from '../../../sim/index.ts';
import { gripEnvelope } from '../../../sim/physics/grip-envelope.ts';
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

  it('where no share slows more than another in a bend, none is named; the clutch is where that slows more', () => {
    const knobbly = balance({ kart: 'clodlet-four-knobbly' });
    for (const c of knobbly.corner) {
      const { best, straightBest } = c;
      const most = Math.max(...c.deceleration);
      expect(best.deceleration).toBe(most);
      const asGood = Array.from(c.frontShare).filter((_, i) => c.deceleration[i]! >= most * (1 - 0.02));
      expect(best.frontShare === null).toBe(asGood.length === c.frontShare.length);
      if (best.frontShare !== null) expect(asGood).toContain(best.frontShare);
      // Like with like: the straight in the same gear, at its own best share.
      expect(straightBest.deceleration).toBe(Math.max(...c.straight));
      expect(c.left).toBe(most / straightBest.deceleration);
      const clutchIn = knobbly.corner.find((o) => o.surface === c.surface && o.gear === null)!;
      expect(c.clutchInBetter).toBe(
        c.gear !== null && most < clutchIn.best.deceleration * 0.98 ? clutchIn.best.deceleration : null,
      );
    }
    // Low gear, loose ground: the engine alone asks more of the rear than the bend leaves it.
    const low = knobbly.corner.find((c) => c.surface === 'loose-clay' && c.gear !== null)!;
    expect([low.best.frontShare, low.filledByEngine]).toEqual([null, 'rear']);
    expect(low.clutchInBetter!).toBeGreaterThan(low.best.deceleration);
    expect(Math.max(...low.brakeForce)).toBeLessThan(0);
    const clutchIn = knobbly.corner.find((c) => c.surface === 'loose-clay' && c.gear === null)!;
    expect(clutchIn.filledByEngine).toBeNull();
    expect(Math.min(...clutchIn.brakeForce)).toBeGreaterThan(0);
  });

  it('a closed throttle that overloads the rear in a bend overloads it whatever the front brakes do', () => {
    // Seen from outside the search: the excess of the rear over its grip at every braking force there is.
    const project = projectWith(() => undefined);
    const { kart } = compileKart(project, { kart: 'clodlet-four-knobbly', day: 'mild' });
    const ground = surfaceOf(kart!, 'loose-clay');
    if ('severity' in ground) throw new Error(ground.message);
    const speed = 60 / 3.6;
    const gear = kart!.drivetrain.gears[0]!;
    const engine = overrunDragAt(kart!.drivetrain, gear, speed);
    const { lateral } = balance({ kart: 'clodlet-four-knobbly' }).corner[0]!;
    for (const brakeShare of [0, 0.5, 1]) {
      const env = gripEnvelope({ ...kart!.envelope, brakeShare }, ground.front.grip, ground.rear.grip);
      env.place(speed, lateral / speed ** 2, 0, 0, 1, 0);
      const eased = env.lowerForce(engine, gear.overrunEngineMass, -1000);
      for (let x = eased - 1; x > -4000; x -= 1)
        expect(env.brakeExcess(x, engine, gear.overrunEngineMass)).toBeGreaterThan(0);
    }
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

  it('pads in doubt leave the share at a mark open by what the odds of the bar say', () => {
    const only = ['brakes.bar.hydraulics.front.padFriction', 'brakes.bar.hydraulics.rear.padFriction'];
    const { project, notes } = readProjectValue(demoInput());
    const pads = notes.filter(({ path }) => only.includes(path));
    const { study } = planBalance(project!, { ...OPTIONS, notes: pads });
    const found = performStudy(study!, createPerformer().bind(undefined, project!))!;
    // Odds of the share go with mu_f/mu_r, each 0.40 give or take 0.05: half of ln(1 + 1/8) - ln(1 - 1/8), twice.
    const closed = (share: number) => share * (1 - share) * Math.SQRT2 * Math.atanh(0.05 / 0.4);
    const near = (got: number, share: number) => expect(got).toBeCloseTo(closed(share), 12);
    near(found.setSpread!, found.setShare);
    for (const o of found.on) {
      if (o.gear !== null) {
        expect([o.bestSpread, o.shareSpread, o.barSpread]).toEqual([null, null, null]);
        continue;
      }
      near(o.shareSpread!, o.band!.best);
      near(o.barSpread!, o.bar!);
      // Just under the first lock the pads do not matter to what would be best.
      expect(o.bestSpread).toBeLessThan(1e-9);
    }
  });

  it('the height of the frame in doubt leaves the best share open as the ideal distribution says', () => {
    const raw = demoInput() as Raw;
    plain(raw);
    const { project, notes } = readProjectValue(raw);
    const only = notes.filter(({ path }) => path === 'chassis.clodlet.cg.height');
    const [{ value, spread, path }] = only as [(typeof notes)[number]];
    expect(spread).toBeGreaterThan(0);
    const { study } = planBalance(project!, { ...OPTIONS, notes: only });
    const found = performStudy(study!, createPerformer().bind(undefined, project!))!;
    const sheet = (height: number) =>
      perform(project!, { verb: 'sheet', kart: KART, day: 'mild', changes: [{ path, value: height }] })
        .result!;
    const { frontWeightShare, cgHeight, wheelbase } = sheet(value);
    const half = (sheet(value + spread).cgHeight - sheet(value - spread).cgHeight) / 2;
    for (const o of found.on.filter(({ gear }) => gear === null)) {
      const rate = (o.textbook! - frontWeightShare) / (cgHeight / wheelbase);
      // Nothing but friction: left is what the differences miss in second order of 10 % of the height.
      expect(o.bestSpread! / ((rate * half) / wheelbase)).toBeCloseTo(1, 3);
      expect(o.shareSpread).toBe(0);
    }
  });

  it('the grip of one axle in doubt leaves the best share open as far as the best moves with it', () => {
    const path = 'tyres.knobbly-front.grip.asphalt.peak';
    const only = readProjectValue(demoInput()).notes.filter((note) => note.path === path);
    const [{ value, spread }] = only as [(typeof only)[number]];
    const of = (at: number) => {
      const raw = demoInput() as Raw;
      raw.tyres['knobbly-front'].grip.asphalt.peak = at;
      const changed = readProjectValue(raw).project!;
      const { study } = planBalance(changed, { ...OPTIONS, notes: only });
      const found = performStudy(study!, createPerformer().bind(undefined, changed))!;
      return found.on.find(({ surface, gear }) => surface === 'asphalt' && gear === null)!;
    };
    const moved = (of(value + spread).band!.best - of(value - spread).band!.best) / 2;
    expect(moved).toBeGreaterThan(0.03);
    // By the work over the stop instead of the shortest stop, and between shares 2 % apart: a tenth.
    expect(Math.abs(of(value).bestSpread! / moved - 1)).toBeLessThan(0.1);
  });

  it('says in which gears the rear locks first at a mark made with the clutch in, and from where on in none', () => {
    const knobbly = balance({ kart: 'clodlet-four-knobbly' });
    const project = projectWith(() => undefined);
    const first = (surface: string, gear: number, frontShare: number) =>
      perform(project, {
        verb: 'brake',
        kart: 'clodlet-four-knobbly',
        day: 'mild',
        surface,
        options: { fromSpeed: OPTIONS.fromSpeed, engine: 'in gear', gear },
        changes: [{ path: 'brakes.bar.frontShare', value: frontShare }],
      }).result!.firstToLock;
    for (const o of knobbly.on.filter(({ gear }) => gear === null)) {
      const gears = knobbly.on.flatMap(({ surface, gear }) =>
        surface === o.surface && gear !== null ? [gear] : [],
      );
      expect(gears.filter((gear) => first(o.surface, gear, o.band!.best) === 'rear')).toEqual(o.rearFirstIn);
      expect(o.rearFirstIn.length).toBeGreaterThan(0);
      // Between two shares 2 % apart the lead is taken as straight.
      for (const gear of gears)
        expect(first(o.surface, gear, knobbly.frontFirstInAll!.frontShare + 0.01)).toBe('front');
      const { lowest, frontShare } = knobbly.frontFirstButLowest!;
      expect(frontShare).toBeLessThan(knobbly.frontFirstInAll!.frontShare);
      for (const gear of gears)
        if (gear !== lowest) expect(first(o.surface, gear, frontShare + 0.01)).toBe('front');
    }
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
