/** What is not known: closed forms through the public path, common draws, doubling, decisions, measuring. */
import { describe, expect, it } from 'vitest';
import type { InputNote, Project, RunRequest, SweepRequest } from '../../../sim/index.ts';
import {
  combineUnknowns,
  perform,
  performStudy,
  planShares,
  planUnknowns,
  readProjectValue,
  studyUnknowns,
} from '../../../sim/index.ts';
import { normalCdf } from '../../../sim/numerics/normal.ts';
import type { QuantityName } from '../../../sim/quantities/table.ts';
import { DECIDED } from '../../../sim/study/decided.ts';
import { verdictsOn } from '../../../sim/study/unknowns/combine.ts';
import { achievable, chanceDecided, whyNotMeasured, worthOf } from '../../../sim/study/unknowns/measuring.ts';
import { demoInput } from '../../../ui/demo/demo-project.ts';

const { project, notes } = readProjectValue(demoInput()) as { project: Project; notes: readonly InputNote[] };
const answer = (requests: readonly SweepRequest[], to: Project = project) =>
  requests.map((request) => perform(to, request));
const sheet = (kart: string): RunRequest => ({ verb: 'sheet', kart, day: 'mild' });

function study(runs: readonly RunRequest[], draws: number, seed = 1) {
  const plan = planUnknowns(project, notes, { runs, draws, seed });
  const answers = answer(plan.requests);
  const shares = planShares(plan, answers)!;
  return {
    plan,
    answers,
    result: combineUnknowns(plan, answers, { plan: shares, answers: answer(shares.requests) }),
  };
}

describe('unknowns', () => {
  it('spreads a sum as a sum: the mass of a kart is its parts, in squares', () => {
    // Mass is linear in its parts, four wheels each twice: variance in closed form.
    const { result } = study([sheet('clodlet-four-asphalt')], 2000);
    const of = (path: string) => notes.find((n) => n.path === path)!.spread;
    const parts = [
      of('chassis.clodlet.mass'),
      of('donors.four.mass'),
      of('karts.clodlet-four-asphalt.driver.mass'),
      2 * of('tyres.asphalt-front.mass'),
      2 * of('tyres.asphalt-rear.mass'),
    ];
    const deviation = Math.hypot(...parts);
    const { spread, base } = result.karts[0]!.figures.find((f) => f.figure === 'mass')!;
    // Evenly spread draws: the deviation of 2000 comes within 1 % (independent draws: 1.6 %), the ends of the interval too.
    expect(Math.abs(spread!.deviation / deviation - 1)).toBeLessThan(0.01);
    expect(Math.abs(spread!.mean - base!)).toBeLessThan(0.01 * deviation);
    expect(Math.abs(spread!.p95 - (base! + 1.6448536 * deviation))).toBeLessThan(0.05 * deviation);
    // And the shares are those of the squares, within four standard errors.
    const variance = result.variance[0]!;
    expect(variance.from).toBe('sampled');
    const chassis = variance.shares.find((s) => s.paths[0] === 'chassis.clodlet.mass')!;
    expect(Math.abs(chassis.total - (parts[0]! / deviation) ** 2)).toBeLessThan(
      4 * chassis.totalError + 1e-3,
    );
    expect(Math.abs(chassis.first - (parts[0]! / deviation) ** 2)).toBeLessThan(
      4 * chassis.firstError + 1e-3,
    );
  });

  it('what two karts share cancels: with the same driver and frame only the donors differ', () => {
    const { plan, answers, result } = study(
      [sheet('clodlet-four-asphalt'), sheet('clodlet-single-asphalt')],
      1000,
    );
    const spreadOf = (path: string) => notes.find((n) => n.path === path)!.spread;
    const donors = Math.hypot(spreadOf('donors.four.mass'), spreadOf('donors.single.mass'));
    const decision = result.decisions.find((d) => d.figure === 'mass')!;
    expect(Math.abs(decision.difference.deviation / donors - 1)).toBeLessThan(0.015);
    // Each donor's mass is in the difference by itself; what both share is not.
    const difference = result.variance.find((v) => v.against !== undefined)!;
    const named = difference.shares.filter((s) => s.total > 0.01).map((s) => s.paths);
    expect(named.flat().sort()).toEqual(['donors.four.mass', 'donors.single.mass']);
    const before = combineUnknowns(plan, answers).variance.find((v) => v.against !== undefined)!;
    expect(before.from).toBe('one at a time');
    const alone = before.shares.find((s) => s.paths[0] === 'donors.single.mass')!;
    expect(alone.first).toBeCloseTo((spreadOf('donors.single.mass') / donors) ** 2, 9);
    const expected = normalCdf(-decision.difference.mean / donors);
    expect(Math.abs(decision.secondBetter - expected)).toBeLessThan(0.02);
  });

  it('a difference of nothing has no verdict, whatever the chance of its sign', () => {
    const word = (figure: string, p5: number, p50: number, p95: number, chance: number) =>
      verdictsOn(figure, { p5, p50, p95 }, chance).sureness;
    // As shown: 0 % to 0 %.
    expect(word('tip margin', -0.001, 0.001, 0.003, 0.82)).toBe('no difference');
    expect(word('tip margin', 0.001, 0.001, 0.001, 1)).toBe('no difference');
    expect(word('tip margin', -0.02, 0.001, 0.02, 0.82)).toBe('too close to call');
    expect(word('tip margin', 0.01, 0.02, 0.03, 1)).toBe('decided');
    expect(word('top speed', 0.02, 0.02, 0.02, 1)).toBe('no difference');
    expect(word('top speed', 0.04, 0.05, 0.06, 1)).toBe('decided');
    expect(word('stopping distance', 0.05, 0.06, 0.07, 1)).toBe('no difference');
    expect(word('lap time', 0.001, 0.002, 0.003, 1)).toBe('no difference');
    expect(word('lap time', 0.03, 0.04, 0.045, 1)).toBe('too close to call');
    expect(word('50 m', -0.005, 0.001, 0.004, 0.82)).toBe('no difference');
    expect(verdictsOn('mass', { p5: 0.01, p50: 0.02, p95: 0.03 }, 1).verdict).toBe('open');
  });

  it('draws nothing beyond the limits of its quantity', () => {
    const { plan } = study([sheet('clodlet-four-asphalt')], 200);
    for (const { min, max, path } of plan.unknowns)
      for (const { variants } of plan.requests)
        for (const changes of variants)
          for (const change of changes)
            if (change.path === path)
              expect((change.value as number) >= min && (change.value as number) <= max, path).toBe(true);
  });

  it('is converged: doubling the draws moves the interval less than it says', () => {
    const run: RunRequest = {
      verb: 'topspeed',
      kart: 'clodlet-four-asphalt',
      day: 'mild',
      surface: 'asphalt',
    };
    const of = (draws: number) => {
      const plan = planUnknowns(project, notes, { runs: [run], draws });
      return combineUnknowns(plan, answer(plan.requests)).karts[0]!.figures[0]!.spread!;
    };
    const once = of(256);
    const twice = of(512);
    // Two standard errors of the smaller set: the larger holds the smaller, so they differ by less than one most times.
    for (const end of ['p5', 'p50', 'p95'] as const)
      expect(Math.abs(twice[end] - once[end]), end).toBeLessThan(2 * once.error[end]);
    expect(twice.error.p50).toBeLessThan(once.error.p50 * 1.5);
  });

  it('more draws extend the same draws, another seed gives others, the same seed the same bits', () => {
    const runs = [sheet('clodlet-four-asphalt')];
    const few = planUnknowns(project, notes, { runs, draws: 100, seed: 3 });
    const many = planUnknowns(project, notes, { runs, draws: 200, seed: 3 });
    const drawsOf = (p: typeof few) => p.requests.flatMap((r) => r.variants).slice(1, 1 + p.draws);
    expect(drawsOf(many).slice(0, 100)).toEqual(drawsOf(few));
    expect(drawsOf(planUnknowns(project, notes, { runs, draws: 100, seed: 4 }))).not.toEqual(drawsOf(few));
    expect(study(runs, 128, 3).result).toEqual(study(runs, 128, 3).result);
  });

  it('answers with what is there so far', () => {
    const runs = [sheet('clodlet-four-asphalt'), sheet('clodlet-single-asphalt')];
    const plan = planUnknowns(project, notes, { runs, draws: 400 });
    const part = plan.requests.map((request, k) => (k % 2 === 0 ? perform(project, request) : undefined));
    const result = combineUnknowns(plan, part);
    expect(result.answered).toBeGreaterThan(100);
    expect(result.answered).toBeLessThan(400);
    expect(result.karts[0]!.figures[0]!.spread!.count).toBeLessThan(400);
    expect(combineUnknowns(plan, []).karts[0]!.figures).toEqual([]);
  });

  it('is the same as a study of rounds, and says nothing before the first answer', () => {
    const runs = [sheet('clodlet-four-asphalt'), sheet('clodlet-single-asphalt')];
    const { study: rounds } = studyUnknowns(project, notes, { runs, draws: 128 });
    expect(performStudy(rounds!, (request) => perform(project, request))).toEqual(study(runs, 128).result);
    expect(rounds!.combine([])).toBeUndefined();
    expect(studyUnknowns(project, notes, { runs: [] }).problems[0]!.code).toBe('nothing-asked');
  });

  it('counts the draws in which a kart cannot run, and goes on without them', () => {
    const doubtful = structuredClone(demoInput()) as unknown as {
      karts: Record<string, { driver: unknown }>;
    };
    doubtful.karts['clodlet-four-asphalt']!.driver = { mass: { value: 86, spread: 1 }, gripUse: 0.9 };
    const read = readProjectValue(doubtful) as { project: Project; notes: readonly InputNote[] };
    const run: RunRequest = {
      verb: 'accelerate',
      kart: 'clodlet-four-asphalt',
      day: 'mild',
      surface: 'asphalt',
      // A hill about as steep as the tyres hold: some draws do not get away.
      options: { grade: 0.62, toDistance: 5 },
    };
    const plan = planUnknowns(read.project, read.notes, { runs: [run], draws: 64 });
    const result = combineUnknowns(plan, answer(plan.requests, read.project));
    const { spread } = result.karts[0]!.figures.find((f) => f.figure === 'to 5 m')!;
    const there = spread?.count ?? 0;
    expect(there).toBeGreaterThan(5);
    expect(there).toBeLessThan(64);
  });

  it('says what a measurement is worth: the chance that it decides, in closed form at the ends', () => {
    // Nothing learnt: decided only where it is already.
    expect(chanceDecided({ mean: 2, deviation: 1 }, 0)).toBe(1);
    expect(chanceDecided({ mean: 1, deviation: 1 }, 0)).toBe(0);
    // Everything learnt: always decided.
    expect(chanceDecided({ mean: 0.1, deviation: 1 }, 1)).toBeCloseTo(1, 12);
    // Half learnt, mean 0: P(|N(0, 1/2)| > 1.645 sqrt(1/2)) = 10 %.
    expect(chanceDecided({ mean: 0, deviation: 1 }, 0.5)).toBeCloseTo(2 * (1 - DECIDED), 12);
  });

  it('says how far off the figure of a measurement may be for want of draws: more draws stay within it', () => {
    const runs = ['clodlet-four-knobbly', 'clodlet-single-knobbly'].map((kart): RunRequest => {
      return { verb: 'topspeed', kart, day: 'mild', surface: 'asphalt' };
    });
    const [few, many] = [study(runs, 128).result, study(runs, 1024).result];
    let compared = 0;
    for (const [v, { measuring }] of few.variance.entries())
      for (const m of measuring) {
        expect(m.narrowerError).toBeGreaterThan(0);
        const later = many.variance[v]!.measuring.find(({ path }) => path === m.path);
        if (later === undefined) continue;
        compared += 1;
        // Three standard errors of both, which are themselves known from eight blocks to a quarter.
        const off = Math.abs(later.narrower - m.narrower);
        expect(off, m.path).toBeLessThan(3 * 1.25 * Math.hypot(m.narrowerError, later.narrowerError) + 1e-3);
      }
    expect(compared).toBeGreaterThan(5);
  });

  it('the error of a figure from a share is what the figure moves by with the share, also where that is cut off', () => {
    const unknown = {
      ...planUnknowns(project, notes, { runs: [sheet('clodlet-four-asphalt')] }).unknowns[0]!,
    };
    const { spread } = achievable({ ...unknown, note: { ...unknown.note, quantity: 'mass', spread: 10 } })!;
    const heavy = { ...unknown, note: { ...unknown.note, quantity: 'mass' as const, spread: 10 } };
    const left = (share: number) => Math.sqrt(1 - share * (1 - (spread / 10) ** 2));
    const at = (first: number, firstError: number) => worthOf(heavy, { first, firstError })!;
    // In the middle as the derivative has it, to second order; at the end by the side that is left.
    expect(at(0.5, 0.001).narrowerError).toBeCloseTo((0.001 * (1 - (spread / 10) ** 2)) / (2 * left(0.5)), 6);
    expect(at(1.02, 0.08).narrower).toBeCloseTo(1 - left(1), 12);
    expect(at(1.02, 0.08).narrowerError).toBeCloseTo(left(0.92) - left(1), 12);
    expect(at(0.4, 0).narrowerError).toBe(0);
  });

  it('no input that is to blame is left out of what to measure without a reason', () => {
    const runs = ['clodlet-four-knobbly', 'clodlet-single-knobbly'].map((kart): RunRequest => {
      return { verb: 'lap', kart, day: 'mild', track: 'oval' };
    });
    const { result } = study(runs, 64);
    const reasons = result.variance.flatMap(({ shares, measuring, notMeasured }) =>
      shares
        .filter(({ paths, total }) => paths.length === 1 && total >= 0.05)
        .map(({ paths: [path] }) => {
          const why = notMeasured.find((n) => n.path === path)?.why;
          expect(
            measuring.some((m) => m.path === path),
            path,
          ).toBe(why === undefined);
          return why;
        }),
    );
    expect(reasons).toContain(undefined);
    expect(reasons).toContain('only with the grip');
    const whyOf = (quantity: QuantityName, spread: number) =>
      whyNotMeasured({
        ...planUnknowns(project, notes, { runs }).unknowns[0]!,
        note: { ...notes[0]!, quantity, value: 1, spread },
      });
    expect(whyOf('engineInertia', 0.3)).toBe('no cheap way');
    expect(whyOf('mass', 0.5)).toBe('known as well');
    expect(whyOf('gripUse', 0.03)).toBe('only with the grip');
    expect(whyOf('mass', 5)).toBe('nothing by itself');
  });

  it('names every place a shared driver is in', () => {
    const { result } = study([sheet('clodlet-four-asphalt'), sheet('clodlet-single-asphalt')], 64);
    const driver = result.unknowns.find(({ path }) => path.endsWith('.driver.mass'))!;
    expect(driver.paths).toEqual([
      'karts.clodlet-four-asphalt.driver.mass',
      'karts.clodlet-single-asphalt.driver.mass',
    ]);
  });
});
