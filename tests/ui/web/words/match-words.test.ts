/** Does it match, in words: how sure a fitted value is, and what of. */
import { describe, expect, it } from 'vitest';
import type { FittedValue, MatchResult } from '../../../../sim/index.ts';
import { LOGGED_SPEEDS, readProjectValue, SLOPE_OF_GROUND } from '../../../../sim/index.ts';
import { demoInput } from '../../../../ui/demo/demo-project.ts';
import {
  countedSentence,
  driverSentence,
  fittedSentence,
  fittedTable,
  lapsSentence,
  leftOutSentence,
  matchSentence,
  mostFromWords,
  oldWords,
  passedOverSentence,
} from '../../../../ui/web/words/match-words.ts';
import { NB } from '../../../../ui/web/words/numbers.ts';

const project = readProjectValue(demoInput()).project!;
const drag = (
  mostFrom: FittedValue['mostFrom'],
  atBound: string | null = null,
  isBetter = true,
): FittedValue => ({
  id: 'drag area',
  factor: 1.126,
  spread: 0.0914,
  low: 0.976,
  high: 1.276,
  fromLog: {
    spread: 0.0016,
    spreadByCovariance: 0.0016,
    spreadByResampling: null,
    low: 1.1232,
    high: 1.1286,
  },
  fromInputs: [],
  mostFrom,
  places: [],
  atBound,
  isBetter,
});

const who = { kart: 'clodlet-four-asphalt', day: 'mild', surface: 'asphalt' };

describe('the headline', () => {
  it('names the kart and the ground it is of', () => {
    const result = {
      who,
      gapBefore: 1,
      gapAfter: 0.1,
      leftOut: null,
      values: [drag({ path: null, share: 1 })],
    };
    expect(matchSentence(result as unknown as MatchResult, project, 'km/h')).toBe(
      'Clodlet, four, asphalt, on asphalt: logged and estimated speeds lie 3.6 km/h apart as the file has it, 0.4 km/h with drag area fitted.',
    );
  });

  it('says of what it is once something else is in view, and nothing while that is so no more', () => {
    const say = (now: object) =>
      oldWords({ who } as MatchResult, project, { ...who, changed: false, ...now });
    expect(say({})).toBe('');
    expect(say({ kart: 'clodlet-four-knobbly', surface: 'clay' })).toBe(
      'Found for Clodlet, four, asphalt, on asphalt, not for the kart in view or the ground named here: lay the log against it again.',
    );
    expect(say({ day: 'another' })).toMatch(/^Found for Clodlet, .* \(.+\), not for the day in view:/);
    expect(say({ changed: true })).toContain('before the project was changed, not for the kart as it is');
  });
});

describe('a fitted value, place by place', () => {
  const table = (place: object, of = project) =>
    fittedTable(
      { ...drag({ path: null, share: 1 }), places: [place] } as unknown as FittedValue,
      of,
    ).rows[0]!.slice(1);
  it.each([
    // Two digits of the spread, the value to the same decimal, the unit of the quantity.
    ['dragArea', 'chassis.clodlet.aero.dragArea', 0.8, 0.90093, 0.07312, '0.8 m²', '0.901 m²', '0.073 m²'],
    ['dragArea', 'chassis.clodlet.aero.dragArea', 0.8, 0.90093, 0.0996, '0.8 m²', '0.90 m²', '0.10 m²'],
    [
      'rollingResistance',
      'tyres.asphalt-rear.grip.asphalt.rolling.coefficient',
      0.018,
      0.0181319,
      0.0000475,
      '0.018',
      '0.018132',
      '0.000048',
    ],
    ['gripFactor', 'days.mild.grip.asphalt', 1, 0.9012, 0.0213, '100 %', '90.1 %', '2.1 %'],
    ['pumpingPressure', 'donors.four.pumping', 60_000, 51_234, 3_456, '600 hPa', '512 hPa', '35 hPa'],
    ['dragArea', 'chassis.clodlet.aero.dragArea', 0.8, 0.9, 0, '0.8 m²', '0.9000 m²', '0.0000 m²'],
  ])('%s', (quantity, path, before, after, spread, ...wanted) => {
    const shown = table({ quantity, path, before, after, spread });
    expect(shown.map((cell) => String(cell).replaceAll('\u00a0', ' '))).toEqual(wanted);
  });

  it('is in the unit the project asks for; a sheet is scaled as a whole', () => {
    const inches = { ...project, units: { ...project.units, area: 'ft²' } };
    const place = { path: 'chassis.clodlet.aero.dragArea', before: 0.8, after: 0.9, spread: 0.07 };
    // 1 ft2 is 0.09290304 m2 exactly.
    expect(table({ ...place, quantity: 'dragArea' }, inches)[1]).toMatch(/^9\.69\sft²$/);
    const sheet = { path: 'donors.four.torque.points', before: 1, after: 0.9512, spread: 0.0213 };
    expect(table(sheet)).toEqual(['as it is', 'times 0.951', '0.021']);
  });
});

describe('a fitted value', () => {
  it('gives the whole range first, what leaves it open, then the log alone', () => {
    expect(fittedSentence(drag({ path: 'days.mild.wind.speed', share: 0.99 }), project)).toBe(
      'drag area: 1.13 times the file’s, nine in ten between 0.98 and 1.28, most of it from the wind of the day. ' +
        'By the log alone, were everything else in the file exact: between 1.123 and 1.129; too few runs to check that by leaving some out.',
    );
  });

  it.each([
    [null, 0.9, 'most of it from the log itself'],
    [
      'chassis.clodlet.mass',
      0.4,
      'the largest part of it from mass of the frame without its wheels (Clodlet)',
    ],
    [
      'karts.clodlet-four-asphalt.driver.mass',
      0.6,
      'most of it from driver with kit (Clodlet, four, asphalt)',
    ],
    ['a.place.without.words', 0.6, 'most of it from a.place.without.words'],
  ])('%s, %d of the variance', (path, share, words) => {
    expect(mostFromWords(drag({ path, share }), project)).toBe(words);
  });

  it('says what share of the grip the laps ask for, and how little that is worth by itself', () => {
    const laps = {
      driver: {
        path: 'karts.clodlet-four-asphalt.driver.gripUse',
        before: 0.92,
        after: 0.884,
        spread: 0.06,
        fromLaps: 0.004,
        mostFrom: { path: 'tyres.asphalt-rear.grip.asphalt.peak', share: 0.6 },
        atBound: null,
      },
    };
    expect(driverSentence({ laps } as unknown as MatchResult, project)).toBe(
      'To drive such laps the driver uses 88.4 ± 6.0 % of the grip (in the file 92.0 %), most of it from peak grip on asphalt (Asphalt, rear); by the laps alone ± 0.4. The share makes up for whatever else is not as in the file.',
    );
    expect(driverSentence({ laps: null } as MatchResult, project)).toBe('');
  });

  it('says what of the log is laps and why that is left out; what is no lap; a scatter never as nothing', () => {
    const found = {
      leftOut: { time: 311.2, way: 908.4 },
      laps: null,
      gapBefore: null,
      gapAfter: null,
      who,
    } as unknown as MatchResult;
    expect(leftOutSentence(found)).toBe(
      '311 s of the log are laps, 908 m round: left out of the runs along a straight, since their ground, its slope and how near the limit they were driven are not known; ask for the laps of a track to have them compared.',
    );
    expect(matchSentence(found, project, 'km/h')).toMatch(
      /^Clodlet, four, asphalt, on asphalt: beside its laps the log shows no run/,
    );
    const laps = {
      track: 'oval',
      logged: [14.94, 14.94],
      estimated: 14.94,
      fitted: 14.94,
      driver: null,
      remarks: ['1 lap of 3 that come round left out: 430 m long, Oval is 214 m.'],
      heldOut: { logged: 14.94, expected: 14.94, spread: 0.00041 },
    };
    expect(lapsSentence({ ...found, laps }, project)).toBe(
      '1 lap of 3 that come round left out: 430 m long, Oval is 214 m. Laps of Oval: logged 14.94, 14.94 s; estimated 14.94 s as the file has it, 14.94 s with the fitted values. The last lap was kept out of the fit: expected 14.94 s ± 0.0004, logged 14.94 s.',
    );
    expect(leftOutSentence({ ...found, laps })).not.toContain('ask for');
  });

  it('says which runs of the log were passed over, and why', () => {
    const say = (passedOver: object[], held: number[] = []): string =>
      passedOverSentence({
        passedOver,
        segments: [{ start: 3, tyresHold: false }, ...held.map((start) => ({ start, tyresHold: true }))],
      } as unknown as MatchResult).replaceAll(NB, ' ');
    const braked = { kind: 'rolling out', why: 'a brake may have been touched' };
    const soft = { kind: 'stop', why: 'short of the hardest stop' };
    expect(say([])).toBe('');
    expect(say([{ ...braked, start: 34.6 }])).toBe(
      'Rolling out at 35 s slows harder than the gentlest of this log: a brake may have been touched, or the ground rises. It is not counted.',
    );
    expect(
      say(
        [
          { ...soft, start: 80 },
          { ...braked, start: 10 },
          { ...soft, start: 120 },
        ],
        [40, 55],
      ),
    ).toBe(
      'Rolling out at 10 s slows harder than the gentlest of this log: a brake may have been touched, or the ground rises. Stops at 80 and 120 s are gentler than the hardest: short of what the tyres give. They are not counted. In the pulls at 40 and 55 s the tyres may set the pace and not the engine: shown, and not counted for its power.',
    );
    expect(say([{ ...soft, start: 80 }])).toBe(
      'The stop at 80 s is gentler than the hardest: short of what the tyres give. It is not counted.',
    );
  });

  it('says how wind and slope were taken', () => {
    const say = (
      wind: MatchResult['wind'],
      slope: MatchResult['slope'] = wind,
      slopeFound: MatchResult['slopeFound'] = null,
      speedWithin = 0.01,
    ) => countedSentence({ wind, slope, slopeFound, levelWithin: 0.005, speedWithin } as MatchResult);
    expect(say('same in every run')).toContain('one unknown, the same along every run');
    expect(say('by heading')).toContain('places tell which way each run went');
    expect(say(null)).not.toContain('unknown');
    expect(say(null, 'same in every run')).toContain('level give or take 0.5 %, the same along every run');
    expect(say(null, 'by heading')).toContain('level give or take 0.5 %, falling whichever way');
    // The slope is in doubt and not fitted: nothing is said to be told apart by the log.
    expect(say('by heading')).toContain('what it does to a run one way is cancelled');
    expect(say('same in every run')).toContain('so that no run cancels another');
    for (const how of ['by heading', 'same in every run'] as const)
      expect(say(how)).not.toContain('tell a slope from the kart');
    expect(say(null, 'by heading', { rise: -0.0119, spread: 0.000052 })).toContain(
      'the ground, taken as one plane, falls 1.19 % the way the first run went (by the log alone, in such wind as the file has, give or take 0.0052 %)',
    );
    expect(say(null, 'by heading', { rise: 0.001, spread: 0.0045 })).toContain('log some the other way');
    expect(say('by heading', null)).toContain('level beyond doubt');
    expect(say(null)).toContain('logged speeds are taken as true give or take 1 %');
    expect(say(null, null, null, 0)).toContain('logged speeds are taken as true beyond doubt');
    expect(mostFromWords(drag({ path: LOGGED_SPEEDS, share: 0.6 }), project)).toBe(
      'most of it from how true the logged speeds are',
    );
    expect(fittedSentence(drag({ path: null, share: 1 }, null, false), project)).toContain(
      'no better than the file',
    );
    expect(mostFromWords(drag({ path: SLOPE_OF_GROUND, share: 0.9 }), project)).toBe(
      'most of it from how level the ground is',
    );
  });
});
