/** Sentences follow the result: change the result and the words change with it. */
import { describe, expect, test } from 'vitest';
import type { BrakeResult, LapResult, ThrustResult } from '../../../../sim/index.ts';
import { bestFrontShare, perform, performStudy, planBalance, planUnknowns } from '../../../../sim/index.ts';
import { readDemo } from '../../../../ui/demo/demo-project.ts';
import { budgetPlot, budgetTable } from '../../../../ui/web/plots/brake-plots.ts';
import { lapEnginePlot, lapTimeTable } from '../../../../ui/web/plots/lap-plots.ts';
import { runEnginePlot, runPlot } from '../../../../ui/web/plots/run-plots.ts';
import {
  downshiftTable,
  shiftTable,
  speedsInGearsTable,
  thrustPlot,
} from '../../../../ui/web/plots/thrust-plots.ts';
import { lapCautions, stopCautions, warningsOf } from '../../../../ui/web/words/cautions.ts';
import { effectWords, rangeSentence } from '../../../../ui/web/words/figure-words.ts';
import { originSentence } from '../../../../ui/web/words/inputs-words.ts';
import {
  changeSentence,
  gearSentence,
  lapHeadline,
  limitSentence,
  limitShares,
  paceSentence,
} from '../../../../ui/web/words/lap-words.ts';
import { engineSpeed, percent, seconds, speed } from '../../../../ui/web/words/numbers.ts';
import { clutchSentence, topSpeedSentence } from '../../../../ui/web/words/run-words.ts';
import { beltOverRevSentence, dropSentence, shiftSentence } from '../../../../ui/web/words/shift-words.ts';
import {
  engineSentence,
  frontFirstFrom,
  gearShareSentence,
  shareSentence,
  triedSettings,
} from '../../../../ui/web/words/stop-words.ts';
import { demoWith } from '../../../sim/demo-project.ts';

const read = readDemo();
const project = read.project!;
const who = { kart: 'clodlet-four-knobbly', day: 'mild' };
const lap = perform(project, { ...who, verb: 'lap', track: 'brindlequag-works' }).result as LapResult;
const plain = (text: string): string => text.replaceAll('\u00a0', ' ');

describe('numbers', () => {
  test.each([
    [66.5432, '66.5 s'],
    [119.96, '2 min 0.0 s'],
    [0.04, '0.0 s'],
  ])('%s s is said as %s', (time, text) => expect(plain(seconds(time))).toBe(text));
  test('speeds whole, in the unit asked for', () => {
    expect(plain(speed(10, 'km/h'))).toBe('36 km/h');
    expect(plain(speed(10, 'mph'))).toBe('22 mph');
  });
  test('a share that is there is never said to be 0 %', () =>
    expect(plain(percent(0.001))).toBe('under 1 %'));
});

describe('lap', () => {
  test('headline gives the time to 0.1 s and how it starts', () => {
    expect(plain(lapHeadline({ ...lap, time: 64.3441 }))).toBe(
      'Round Brindlequag Works: 64.3 s for a flying lap.',
    );
    expect(plain(lapHeadline({ ...lap, time: 64.3441 }, 'fastest'))).toBe(
      'Round Brindlequag Works: 64.3 s for a flying lap on the fastest line.',
    );
    expect(plain(lapHeadline({ ...lap, start: 'standing', time: 37.25 }))).toMatch(
      /^Along .* from standing\.$/,
    );
  });

  test('the first limit named is the one with most time', () => {
    const shares = limitShares(lap);
    const most = Math.max(...lap.timeAtLimit);
    expect(shares[0]?.limit).toBe(lap.limits[lap.timeAtLimit.indexOf(most)]);
    expect(shares.reduce((sum, s) => sum + s.share, 0)).toBeGreaterThan(0.97);
    const turned = { ...lap, timeAtLimit: lap.limits.map((l) => (l === 'power' ? lap.time : 0)) };
    expect(plain(limitSentence(turned))).toBe(
      'What holds it back most is power, 100 % of the time: the engine gives all it has.',
    );
  });

  test('speeds and places are those of the result', () => {
    const text = plain(
      paceSentence({ ...lap, topSpeed: 20, topSpeedAt: 250, lowestSpeed: 5, lowestSpeedAt: 100 }, 'km/h'),
    );
    expect(text).toMatch(/^Fastest 72 km\/h at 250 m, slowest 18 km\/h at 100 m;/);
  });

  test('shifts, limiter and gears not used', () => {
    const one = { ...lap, shifts: 1, timeAtLimiter: 0, gearNames: ['1', '2', '3'], timeInGear: [5, 5, 0] };
    expect(plain(gearSentence(one))).toBe('One gear change, never on the limiter. Not used: gear 3.');
    expect(plain(gearSentence({ ...one, shifts: 12, timeAtLimiter: 1.23, timeInGear: [5, 0, 0] }))).toBe(
      '12 gear changes, 1.2 s on the limiter. Not used: gears 2 and 3.',
    );
  });

  test('two gears used and none changed: no upshifts, not no gear changes', () => {
    const held = { ...lap, shifts: 0, timeAtLimiter: 0, gearNames: ['1', '2', '3'], timeInGear: [9, 1, 0] };
    expect(plain(gearSentence(held))).toBe('No upshifts, never on the limiter. Not used: gear 3.');
    expect(plain(gearSentence({ ...held, timeInGear: [10, 0, 0] }))).toMatch(/^No gear changes,/);
  });

  test('what a step did: quicker, slower, or nothing a clock would show', () => {
    expect(plain(changeSentence('rear sprocket 45', 66.5, 66.1))).toBe(
      'Rear sprocket 45: 0.40 s quicker, everything else equal.',
    );
    expect(plain(changeSentence('rear sprocket 45', 66.5, 68.9))).toMatch(/2\.4 s slower/);
    expect(changeSentence('rear sprocket 45', 66.5, 66.49)).toMatch(/no difference/);
  });
});

describe('a belt', () => {
  const onBelt = {
    ...project,
    karts: { ...project.karts, [who.kart]: { ...project.karts[who.kart]!, donor: 'twin' } },
  };

  test('is no gearbox: no advice to shift, but the engine speed it holds and between which road speeds', () => {
    const top = perform(onBelt, { ...who, verb: 'topspeed', surface: 'asphalt' }).result as ThrustResult;
    const [low, held] = top.gears;
    const says = plain(shiftSentence(top, 'km/h'));
    expect(says).toContain(
      plain(`from ${speed(low!.upshiftSpeed!, 'km/h')} to ${speed(held!.upshiftSpeed!, 'km/h')} it holds`),
    );
    const holds = project.donors['twin']!.belt!.shiftsOut;
    expect(says).toContain(plain(`at ${engineSpeed(holds)}`));
    expect(says).not.toMatch(/shift|gear/i);
    expect(dropSentence(top)).toBe('');
    expect(shiftTable(top, 'km/h').heads.join()).not.toMatch(/shift|gear/);
    const rows = shiftTable(top, 'km/h').rows;
    expect(rows.map((row) => row[4] === 'never')).toEqual([true, true, false]);
    expect(rows[1]![1]).toBe(`${rows[0]![1]} to ${rows[2]![1]}`);
    expect(downshiftTable(top, 'km/h').rows).toEqual([]);
    expect(plain(beltOverRevSentence(top, 'km/h'))).toContain(
      plain(`above ${speed(top.gears[2]!.safeDownshiftSpeed, 'km/h')}`),
    );
    // Each part is drawn where the belt is in it, one after the other.
    const drawn = thrustPlot(top, 'km/h')
      .series.slice(0, 3)
      .map(({ x, y }) => ({ x: Array.from(x), y: Array.from(y) }));
    expect(drawn[0]!.x.at(-1)!).toBeLessThan(drawn[1]!.x[0]!);
    expect(drawn[1]!.x.at(-1)!).toBeLessThan(drawn[2]!.x[0]!);
    for (const { y } of drawn) expect(Math.min(...y)).toBeGreaterThan(0);
    // While the belt holds the engine, road speed does not follow engine speed.
    expect(speedsInGearsTable(top, 800, 'km/h').heads).toHaveLength(3);
    expect(thrustPlot(top, 'km/h').marks.map(({ word }) => word)).toEqual([
      'belt begins to change',
      'highest ratio',
    ]);
    expect(topSpeedSentence(top, 'asphalt', 'km/h')).toMatch(
      /in the highest ratio of the belt; |the belt changing/,
    );
  });

  test('from standing it marks where its ratio begins to change and ends to, and shows no gears', () => {
    const run = perform(onBelt, { ...who, verb: 'accelerate', surface: 'asphalt' }).result!;
    expect(runPlot(run, 'km/h').marks.map(({ word }) => word)).toEqual([
      'belt begins to change',
      'highest ratio',
    ]);
    const engine = runEnginePlot(run, 800);
    expect([engine.series.map(({ name }) => name), engine.right]).toEqual([['engine speed'], undefined]);
    // A start too short for the belt to change is a belt's all the same.
    const short = { toDistance: 2 };
    const start = perform(onBelt, { ...who, verb: 'accelerate', surface: 'asphalt', options: short }).result!;
    expect(clutchSentence({ ...start, clutchLocksAt: 3 })).toBe('');
  });

  test('a stop names no gears: the throttle shut, it drags in its highest ratio', () => {
    const top = perform(onBelt, { ...who, verb: 'topspeed', surface: 'asphalt' }).result!;
    const best = perform(onBelt, {
      ...who,
      verb: 'brake',
      surface: 'asphalt',
      options: { fromSpeed: 16, brakes: 'ideal' },
    }).result!;
    const budgets = [{ ground: 'asphalt', best }];
    expect(budgetTable(top, budgets, 16, 'km/h').rows.map(([name]) => name)).toEqual(['highest ratio']);
    expect(budgetPlot(top, budgets, 'km/h')!.series.map(({ name }) => name)).toEqual(['highest ratio']);
  });

  test('shifts by itself on a lap', () => {
    const round = perform(onBelt, { ...who, verb: 'lap', track: 'brindlequag-works' }).result as LapResult;
    expect(round.shifts).toBeNull();
    expect(plain(gearSentence(round))).toMatch(/^The belt shifts by itself, /);
    expect(
      lapTimeTable(round)
        .rows.map(([where]) => where)
        .join(),
    ).not.toMatch(/gear/);
    const naming = { speedUnit: 'km/h', surfaces: {}, revLimit: 800 };
    expect(lapEnginePlot(round, naming).series).toHaveLength(1);
    expect(gearSentence({ ...round, timeInGear: [1, 9, 0] })).toMatch(/The highest ratio is not used\.$/);
  });
});

describe('cautions', () => {
  test('what a run warns of is said, once, and of the full throttle only where the engine drives', () => {
    const lap = perform(demoWith(), {
      verb: 'lap',
      kart: 'clodlet-four-knobbly',
      day: 'high-heat',
      track: 'oval',
    });
    expect(lap.problems.map(({ code }) => code)).toEqual(['beyond-correction']);
    const project = demoWith();
    expect(warningsOf(lap.problems, true, project)).toEqual([
      expect.stringMatching(
        /^The air of the day .* \(78 % of the sheet; .*\)\. Take the torque as a guess.*\.$/,
      ),
    ]);
    expect(warningsOf(lap.problems, false, project)).toEqual([]);
    const tips = { severity: 'warning', code: 'tips', path: '', message: 'it tips' } as const;
    const stopped = { severity: 'problem', code: 'stalls', path: '', message: 'it stalls' } as const;
    const bare = {
      severity: 'warning',
      code: 'overlap',
      path: 'tracks.x',
      message: 'it meets itself',
    } as const;
    expect(warningsOf([tips, stopped, bare], true, project)).toEqual(['It meets itself.']);
    const thin = (donor: string, value: string) =>
      ({ ...bare, path: `donors.${donor}.torque`, message: 'thin air', value, remedy: 'guess' }) as const;
    expect(warningsOf([thin('four', '78 %'), thin('single', '79 %')], true, project)).toEqual([
      'Thin air (Four (four cylinders): 78 %; Single (one cylinder): 79 %). Guess.',
    ]);
  });

  test('tipping before sliding, and a thin margin, are said; a wide one is not', () => {
    const at = (tip: number, tipMargin: number): LapResult => ({
      ...lap,
      tipMargin,
      timeAtLimit: lap.limits.map((l, i) => (l === 'tip' ? tip : lap.timeAtLimit[i]!)),
    });
    expect(lapCautions(at(2.5, 0))[0]).toMatch(/tips before it slides/);
    expect(plain(lapCautions(at(0, 0.08))[0] ?? '')).toMatch(/8 % in hand/);
    expect(lapCautions(at(0, 0.5))).toEqual([]);
  });

  test('a rear axle that locks first is said per engine and ground', () => {
    const stop = (engine: 'clutch in' | 'in gear', firstToLock: 'front' | 'rear') =>
      ({
        engine,
        firstToLock,
        gearNames: ['1', '2'],
        columns: { gear: Uint8Array.of(2, 2, 0) },
      }) as unknown as BrakeResult;
    expect(
      stopCautions([
        { stop: stop('clutch in', 'front'), ground: 'Asphalt' },
        { stop: stop('in gear', 'rear'), ground: 'Asphalt' },
        { stop: stop('in gear', 'rear'), ground: 'Grass' },
      ]),
    ).toEqual(['Left in gear 2, the rear wheels lock first on asphalt and on grass: it wants to swap ends.']);
  });
});

test('the best share is, to two points, where a fixed balance makes both axles reach their grip together', () => {
  const stop = (at: typeof project, brakes: 'ideal' | 'threshold') =>
    perform(at, {
      ...who,
      verb: 'brake',
      surface: 'asphalt',
      options: { fromSpeed: 15, toSpeed: 14.5, brakes },
    }).result as BrakeResult;
  const best = bestFrontShare(stop(project, 'ideal'))!;
  const withShare = (frontShare: number): typeof project => ({
    ...project,
    karts: { ...project.karts, [who.kart]: { ...project.karts[who.kart]!, brakes: 'plain' } },
    brakes: { ...project.brakes, plain: { ...project.brakes['plain']!, frontShare } },
  });
  let [low, high] = [0.2, 0.95];
  for (let i = 0; i < 30; i++) {
    const middle = (low + high) / 2;
    if (stop(withShare(middle), 'threshold').firstToLock === 'rear') low = middle;
    else high = middle;
  }
  // 0.02: spinning four wheels down takes 5 % of the brakes' work here, unlike front and rear (see bestFrontShare).
  expect(Math.abs(best - low)).toBeLessThan(0.02);
  expect(shareSentence({ share: best }, best, 'asphalt')).toMatch(/which is what you have/);
  expect(shareSentence({ share: best - 0.05 }, best, 'asphalt')).toMatch(/5 points further forward/);
  expect(shareSentence({ share: 0.5 }, 1, 'asphalt')).toMatch(/no share would suit/);
});

test('in gear: from the share named on the front comes first all the way, a little below it does not', () => {
  const options = { fromSpeed: 60 / 3.6, engine: 'in gear' } as const;
  const best = perform(project, {
    ...who,
    verb: 'brake',
    surface: 'asphalt',
    options: { ...options, brakes: 'ideal' },
  }).result!;
  const from = frontFirstFrom(best)!;
  const first = (share: number) => {
    const set = demoWith((raw) => {
      const { hydraulics, ...rest } = raw.brakes[raw.karts[who.kart].brakes];
      raw.brakes[raw.karts[who.kart].brakes] = { ...rest, frontShare: share };
    });
    return perform(set, { ...who, verb: 'brake', surface: 'asphalt', options }).result!.firstToLock;
  };
  expect([first(from - 0.01), first(from + 0.01)]).toEqual(['rear', 'front']);
  expect(plain(gearShareSentence({ share: 0.6 }, best, 'asphalt'))).toMatch(
    /^in gear, on asphalt: about \d+ % is what both axles would take on average over the stop .*; from about \d+ % on the front comes first all the way\.$/,
  );
});

test('once every setting has been tried, what is said beside the brakes is what was found then', () => {
  const surface = 'asphalt';
  const fromSpeed = 60 / 3.6;
  const options = { fromSpeed, engine: 'in gear', brakes: 'ideal' } as const;
  const best = perform(project, { ...who, verb: 'brake', surface, options }).result!;
  const { study } = planBalance(project, {
    ...who,
    loose: 'loose-clay',
    hard: surface,
    fromSpeed,
    tracks: [],
  });
  const result = performStudy(study!, (request) => perform(project, request))!;
  const made = { result, key: '7 stop', isOld: false, state: 'done' };
  const stop = { ...who, fromSpeed, surface, gear: 0 };
  const tried = triedSettings(made, 7, stop)!;
  const row = result.on.find((o) => o.surface === surface && o.gear === result.driverGear)!;
  expect(plain(gearShareSentence({ share: 0.6 }, best, surface, tried))).toBe(
    `in gear ${result.gearNames[result.driverGear - 1]}, on asphalt: ${(100 * row.band!.best).toFixed(0)} % stops shortest of all settings tried; from ${(100 * row.frontFirstFrom).toFixed(0)} % on the front comes first.`,
  );
  const clutch = triedSettings(made, 7, { ...stop, gear: null })!;
  const clutchBest = result.on.find((o) => o.surface === surface && o.gear === null)!.band!.best;
  expect(plain(shareSentence({ share: 0.3 }, 0.5, surface, clutch))).toContain(
    `${(100 * clutchBest).toFixed(0)} % stops shortest of all settings tried`,
  );
  // Of another state of the project, of another stop, or not made to its end: not taken.
  expect(triedSettings(made, 8, stop)).toBeUndefined();
  expect(triedSettings({ ...made, isOld: true }, 7, stop)).toBeUndefined();
  expect(triedSettings({ ...made, state: 'stopped' }, 7, stop)).toBeUndefined();
  expect(triedSettings(made, 7, { ...stop, fromSpeed: 15 })).toBeUndefined();
  expect(triedSettings(made, 7, { ...stop, surface: 'packed-earth' })).toBeUndefined();
});

test('a stop left in gear beside one with the clutch in: both to the same decimals', () => {
  const stop = (distance: number) =>
    ({
      distance,
      firstToLock: 'rear',
      gearNames: ['1'],
      columns: { gear: Uint8Array.of(1) },
    }) as unknown as BrakeResult;
  expect(plain(engineSentence(stop(29.6), stop(27.4)))).toMatch(
    /^Left in gear 1 the same stop is 27 m instead of 30 m, and rear first/,
  );
  expect(plain(engineSentence(stop(10.4), stop(9.8)))).toContain('9.8 m instead of 10.4 m');
  expect(plain(engineSentence(stop(20.2), stop(19.8)))).toContain('about as long');
});

test('with a balance bar the advice is the bar setting that gives that share of the force', () => {
  const bars = project.karts[who.kart]!;
  const spec = project.brakes[bars.brakes]!;
  const now = perform(project, { ...who, verb: 'sheet' }).result!.brakeFrontShare;
  const bar = spec.hydraulics!.barFrontShare!;
  const wanted = 0.56;
  const said = /bar at about (\d+) %/.exec(plain(shareSentence({ share: now, bar }, wanted, 'clay')))![1]!;
  const set = demoWith((raw) => {
    raw.brakes[bars.brakes].hydraulics.barFrontShare = Number(said) / 100;
  });
  // Said to the whole per cent of the bar, which is up to 0.6 points of the force.
  expect(Math.abs(perform(set, { ...who, verb: 'sheet' }).result!.brakeFrontShare - wanted)).toBeLessThan(
    0.006,
  );
});

test('what an answer rests on is counted over what can move it, and how many of those are in doubt', () => {
  const of = { verb: 'lap', kart: who.kart, day: 'mild', track: 'oval' } as const;
  const text = originSentence(read.notes, of, project);
  const counted =
    /^It rests on (\d+) numbers besides the course itself: (.*?)\. (\d+) of them are inputs in doubt/.exec(
      text,
    )!;
  const parts = [...counted[2]!.matchAll(/(\d+) /g)].map((m) => Number(m[1]));
  expect(parts.reduce((a, b) => a + b, 0)).toBe(Number(counted[1]));
  expect(Number(counted[1])).toBeGreaterThan(20);
  // The same count as the study of unknowns draws, and as what the answer rests on tries out.
  const { unknowns } = planUnknowns(project, read.notes, { runs: [of] });
  expect(Number(counted[3])).toBe(unknowns.length);
});

describe('shifting', () => {
  const top = perform(project, {
    verb: 'topspeed',
    kart: 'clodlet-four-asphalt',
    day: 'mild',
    surface: 'asphalt',
  }).result!;
  const held = (share: number) => ({
    ...top,
    gears: top.gears.map((gear) => ({
      ...gear,
      upshiftSpeed: gear.upshiftSpeed === null ? null : share * gear.limitSpeed,
      upshiftEngineSpeed: gear.upshiftEngineSpeed === null ? null : share * 1000,
    })),
  });

  test('gears held to the limiter and gears shifted before it are told apart, near misses said as such', () => {
    const early = top.gears.filter((g) => g.upshiftSpeed !== null && g.upshiftSpeed < 0.985 * g.limitSpeed);
    const says = plain(shiftSentence(top, 'km/h'));
    for (const gear of early) expect(says).toContain(`${gear.name} at `);
    expect(says).toMatch(/Hold gears .* to the limiter or just short of it\.$/);
    expect(plain(shiftSentence(held(1), 'km/h'))).toMatch(/^Hold every gear to the limiter: at /);
    expect(plain(shiftSentence(held(0.9), 'km/h'))).not.toContain('limiter');
  });

  test('one gear has nothing to shift', () => {
    const one = { ...top, gears: [{ ...top.gears[0]!, upshiftSpeed: null, upshiftEngineSpeed: null }] };
    expect(shiftSentence(one, 'km/h')).toBe('One gear: nothing to shift.');
  });
});

describe('range', () => {
  const time = { slot: 'lap', name: 'lap time', words: 'time', kind: 'time', better: 'less' } as const;
  const found = (below: number, above: number) => ({
    base: 67,
    spread: (below + above) / 2,
    below,
    above,
    effects: [],
    leftOut: 0,
  });
  test('alike both ways it is one number, else each way has its own', () => {
    expect(plain(rangeSentence(found(6, 6.4), time, 'km/h'))).toMatch(
      /^Time: give or take 6\.2 s, one standard deviation, /,
    );
    const stop = { ...time, kind: 'distance', words: 'stop' } as const;
    expect(plain(rangeSentence({ ...found(4.6, 4.7), base: 29.6 }, stop, 'km/h'))).toMatch(
      /^Stop: give or take 5 m, /,
    );
    expect(plain(rangeSentence({ ...found(1.2, 1.2), base: 8.4 }, stop, 'km/h'))).toMatch(
      /^Stop: give or take 1\.2 m, /,
    );
    expect(plain(rangeSentence(found(5, 7.6), time, 'km/h'))).toMatch(
      /^Time: 5\.0 s quicker to 7\.6 s slower, one standard deviation each way, /,
    );
    expect(plain(rangeSentence(found(0.001, 7.6), time, 'km/h'))).toMatch(/^Time: up to 7\.6 s slower, /);
  });

  test('one input reads as all of them do', () => {
    const note = {
      path: 'x',
      value: 1,
      spread: 1,
      quantity: 'share',
      origin: 'assumed',
      spreadAssumed: true,
    } as const;
    const says = (less: number, more: number) =>
      plain(effectWords({ note, less, more, swing: (more - less) / 2 }, 'time', 'km/h'));
    expect(says(0.3, -0.31)).toBe('give or take 0.30 s');
    expect(says(-0.2, 0.51)).toBe('0.20 s quicker to 0.51 s slower');
    expect(says(0.51, -0.2)).toBe('0.20 s quicker to 0.51 s slower');
    expect(says(0.1, 0.51)).toBe('up to 0.51 s slower');
    expect(says(-0.4, 0)).toBe('up to 0.40 s quicker');
  });
});

describe('off the line', () => {
  const start = (launchSpeed: number) =>
    perform(
      demoWith((raw) => {
        raw.donors.four.clutch.launchSpeed = `${launchSpeed} rpm`;
      }),
      { ...who, verb: 'accelerate', surface: 'loose-clay', options: { toDistance: 100 } },
    ).result!;

  test('a long slip on loose ground is put down to the launch speed, and a lower one costs nothing, as it says', () => {
    const [high, low] = [start(8000), start(3500)];
    expect(clutchSentence(high)).toMatch(/only because the engine is held at its launch speed/);
    expect(low.clutchLocksAt!).toBeLessThan(high.clutchLocksAt! / 2);
    expect(Math.abs(low.time - high.time)).toBeLessThan(0.005 * high.time);
  });

  test('of a belt, which nobody holds, nothing is said', () => {
    const run = perform(project, {
      verb: 'accelerate',
      kart: 'clodlet-twin-knobbly',
      day: 'mild',
      surface: 'loose-clay',
    }).result!;
    expect(clutchSentence({ ...run, clutchLocksAt: 4 })).toBe('');
  });

  test('a short slip needs no word', () => {
    expect(clutchSentence({ ...start(8000), clutchLocksAt: 0.8 })).toBe('');
  });
});
