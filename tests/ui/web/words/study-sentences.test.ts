/** What studies say, from results of the solver: names, verdicts, no number that is not there. */
import { describe, expect, test } from 'vitest';
import type { TeethOnTrack } from '../../../../sim/index.ts';
import {
  perform,
  performStudy,
  planBalance,
  planDonors,
  planTeeth,
  readProjectValue,
  studyUnknowns,
  verdictOn,
} from '../../../../sim/index.ts';
import { demoInput } from '../../../../ui/demo/demo-project.ts';
import {
  balanceInBend,
  balanceSentences,
  balanceTable,
  knobSentence,
  marksOnPaper,
  setNowSentence,
  stableSentence,
} from '../../../../ui/web/words/balance-words.ts';
import {
  donorsSaid,
  donorsSentence,
  donorsTable,
  whatIfNotes,
  whatIfTable,
  whereTable,
} from '../../../../ui/web/words/donors-words.ts';
import { setSentence } from '../../../../ui/web/words/stop-words.ts';
import {
  carrySentence,
  gridTable,
  onTrackSentence,
  pairName,
  pairTable,
  teethSentence,
} from '../../../../ui/web/words/teeth-words.ts';
import {
  belowHeadline,
  headline,
  intervalTable,
  measuringTable,
  notMeasuredSaid,
  shareTable,
} from '../../../../ui/web/words/unknowns-words.ts';
import type { BalanceSay } from '../../../../ui/words/brake-balance-words.ts';
import { bothSentence, marksDoubtSentence } from '../../../../ui/words/brake-balance-words.ts';
import { aboutWords } from '../../../../ui/words/doubt-words.ts';
import { whereItArises } from '../../../../ui/words/where-it-arises.ts';

const SAY: BalanceSay = {
  speed: (v) => `${v} m/s`,
  percent: (share) => `${(100 * share).toFixed(0)} %`,
  length: (metres, decimals) => `${metres.toFixed(decimals)} m`,
  lengthNumber: (metres) => metres,
  acceleration: (value) => `${(value / 9.80665).toFixed(2)} g`,
  ground: (id) => id,
};

const { project, notes } = readProjectValue(demoInput());
if (project === undefined) throw new Error('the demo cannot be read');
const kart = 'clodlet-four-asphalt';
const ask = (request: Parameters<typeof perform>[1]) => perform(project, request);
const nothingOdd = (text: string): void => expect(text).not.toMatch(/NaN|undefined|Infinity|null/);

describe('which teeth', () => {
  const found = performStudy(
    planTeeth(project, { kart, day: 'mild', tracks: ['oval', 'circle'], stock: 'all' }).study!,
    ask,
  )!;
  test('one track: the pair of the least lap; all tracks: the compromise and what it costs', () => {
    const one = { ...found, tracks: [found.tracks[0]!] };
    const named = found.tracks[0]!.named;
    const pair = found.pairs[named]!;
    // Never one that a clock tells from the best.
    expect(found.tracks[0]!.ties).toContain(named);
    expect(teethSentence(one, project)).toMatch(new RegExp(`(fit|keep) ${pair.front}/${pair.rear}`));
    expect(teethSentence(found, project)).toMatch(/^For all 2 tracks at once fit \d+\/\d+/);
    nothingOdd(teethSentence(found, project) + carrySentence(found, project));
  });
  test('the range of the lap and what the pair gains, with how sure that is', () => {
    const sure = performStudy(
      planTeeth(project, { kart, day: 'mild', tracks: ['brindlequag-works'], stock: 'all', notes }).study!,
      ask,
    )!;
    const says = teethSentence(sure, project);
    expect(says).toMatch(/give or take [\d.]+ s[;.]/);
    expect(says).toMatch(
      /[\d.]+\ss.*\(nine in ten −?[\d.]+ to −?[\d.]+; (decided|likely|too close to call)\)/,
    );
    nothingOdd(says);
  });
  test('for all tracks the pair fitted is kept where no track tells another from it', () => {
    const against = (difference: number, verdict: 'likely' | 'too close to call') => ({
      ...found,
      compromise: {
        pair: found.pairs.findIndex((_, i) => i !== found.fitted),
        losses: [0, 0.01],
        spreads: [0.01, 0.01],
        againstFitted: [0.02, difference].map((d) => ({
          pair: found.fitted,
          difference: d,
          spread: 0.1,
          low: d - 0.2,
          high: d + 0.2,
          probability: 0.8,
          verdict: d === difference ? verdict : ('too close to call' as const),
        })),
      },
    });
    const fitted = pairName(found.pairs[found.fitted]!);
    expect(teethSentence(against(0.04, 'too close to call'), project)).toMatch(
      new RegExp(`keep ${fitted}, which is fitted: .* quicker by 0\\.04\\ss at most.*no clock would show`),
    );
    expect(teethSentence(against(0.3, 'too close to call'), project)).toContain(
      'what is not known outweighs',
    );
    expect(teethSentence(against(0.3, 'likely'), project)).toMatch(
      /fit \d+\/\d+.*gains most on .*0\.30\ss \(.*likely\)/,
    );
  });
  test('a pair no better known to be quicker than the one fitted is no reason to change it', () => {
    const on = found.tracks[0]!;
    const other = found.pairs.findIndex((_, i) => i !== found.fitted && on.laps[i] != null);
    const says = (verdict: 'decided' | 'too close to call') =>
      onTrackSentence(found, project, {
        ...on,
        named: other,
        rival: { pair: found.fitted, difference: -0.09, low: -0.32, high: 0.28, verdict },
      } as TeethOnTrack);
    const [fitted, named] = [found.fitted, other].map((i) => pairName(found.pairs[i]!));
    expect(says('decided')).toContain(`fit ${named}`);
    expect(says('too close to call')).toContain(`keep ${fitted}, which is fitted`);
    expect(says('too close to call')).toContain(named);
  });
  test('the grid has every pair once, the best marked, and the table is sorted by lap', () => {
    const grid = gridTable(found, 0);
    expect(grid.rows).toHaveLength(found.fronts.length);
    expect(grid.rows.flat().filter((cell) => cell.includes('best'))).toHaveLength(1);
    const times = pairTable(found, 0, 'km/h').rows.map((row) => Number.parseFloat(row[2]!));
    expect(times).toEqual([...times].sort((a, b) => a - b));
    nothingOdd(JSON.stringify([grid, pairTable(found, 0, 'km/h')]));
  });
});

describe('which engine', () => {
  const found = performStudy(
    planDonors(project, {
      kart,
      day: 'mild',
      donors: Object.keys(project.donors),
      tracks: ['oval'],
      stock: 'all',
      notes,
    }).study!,
    ask,
  )!;
  test('every other donor is placed against the one fitted, with a verdict', () => {
    const says = donorsSentence(found, project);
    expect(says).toMatch(/^Against Four/);
    expect(says).toMatch(/Single .* is /);
    nothingOdd(says + JSON.stringify([donorsTable(found, 'km/h', 0), whatIfTable(found, project)]));
  });
  test('what part of a difference the sprockets are is said where a clock shows it', () => {
    const [first] = found.comparisons;
    const at = (difference: number, ofSprockets: number | null) =>
      donorsSentence({ ...found, comparisons: [{ ...first!, difference, ofSprockets }] }, project);
    expect(at(0.5, 0.2)).toMatch(/slower on Oval \(0\.50.*; 0\.20 s of it for want of a better sprocket\)/);
    expect(at(0.5, 0.8)).toMatch(/slower on .*; each at the ratio it wants it would be 0\.30 s quicker\)/);
    expect(at(-0.5, 0.2)).toMatch(/quicker on .*; each at the ratio it wants it would be 0\.70 s quicker\)/);
    for (const says of [at(0.5, 0), at(0.5, null)]) expect(says).not.toMatch(/want/);
    expect(at(0.5, 0)).toMatch(/each at the best of the sprockets listed/);
  });
  test('on many tracks: how many are which, then each; none is left out', () => {
    const [first] = found.comparisons;
    const ways = [-0.4, -0.3, 0.3, 0.2, 0] as const;
    const tracks = Object.keys(project.tracks).slice(0, ways.length);
    const many = {
      ...found,
      tracks,
      comparisons: ways.map((difference, i) => ({
        ...first!,
        track: tracks[i]!,
        difference,
        ofSprockets: null,
        verdict: difference === 0.2 ? ('too close to call' as const) : ('likely' as const),
      })),
      donors: found.donors.filter(({ donor }) => [found.reference, first!.donor].includes(donor)),
    };
    expect(donorsSentence(many, project)).toMatch(
      /is quicker on 2 of 5 tracks, slower on 1, too close to call on 1 and no different on any clock on 1, and costs 600 less\.$/,
    );
    const said = donorsSaid(many, project);
    expect(said).toHaveLength(1);
    for (const id of tracks) expect(said[0]).toContain(project.tracks[id]!.name);
    expect(donorsSaid(found, project)).toEqual([]);
  });
  test('where it arises adds up to the difference', () => {
    for (const { donor, track, along, difference } of found.comparisons) {
      const { parts, rest, whole } = whereItArises(along!, 3);
      expect(parts.length).toBeLessThanOrEqual(3);
      expect(parts.reduce((sum, { seconds }) => sum + seconds, rest)).toBeCloseTo(whole, 12);
      expect(whole).toBeCloseTo(difference, 9);
      const rows = whereTable(found, donor, track)!.rows;
      if (rows.length > 0) expect(rows.at(-1)![0]).toBe('in all');
    }
  });
  test('a belt has no count of shifts and nothing to gain from quicker ones', () => {
    const { heads, rows } = donorsTable(found, 'km/h', 0);
    const shifts = heads.indexOf('shifts');
    for (const [i, { donor }] of found.donors.entries())
      expect(rows[i]![shifts]).toMatch(project.donors[donor]!.belt === undefined ? /^\d+$/ : /^belt$/);
    const twin = found.donors.find(({ donor }) => donor === 'twin')!;
    expect(twin.whatIfs.map(({ name }) => name).join()).not.toMatch(/shift/);
  });
  test('weight is said to come off the frame, and that its place matters', () => {
    expect(whatIfTable(found, project).rows[0]![0]).toBe('10 kg off the frame');
    expect(whatIfNotes(found)[0]).toMatch(/^10 kg off the frame: where it comes off matters.*driven wheels/);
  });
});

describe('every setting', () => {
  const found = performStudy(
    planBalance(project, {
      kart,
      day: 'mild',
      loose: 'loose-clay',
      hard: 'asphalt',
      fromSpeed: 60 / 3.6,
      tracks: [],
      notes,
    }).study!,
    ask,
  )!;
  test('the stop as set now with its range on both grounds', () => {
    expect(setNowSentence(found, project)).toMatch(
      /^As set now \(\d+\s% in front, give or take \d+ points\) it stops in [\d.]+\sm, give or take [\d.]+\sm, on loose clay and [\d.]+\sm, give or take [\d.]+\sm, on asphalt\. Beware: so set, the rear locks first in gears 1 and 2 on loose clay, and in gear 1 on asphalt, and the kart may swap ends\.$/,
    );
  });
  test('one setting for both grounds with its cost, clutch in and in the gear one would be in', () => {
    expect(balanceSentences(found, project).join(' ')).toMatch(
      // The same to a per cent with the clutch in alone: said once.
      /^One setting, clutch in or in gear \d, on loose clay and asphalt: .* gives away .*\sm on loose clay, clutch in; .*\sm on asphalt, in gear \d\./,
    );
    const apart = {
      ...found,
      clutchIn: { ...found.clutchIn!, frontShare: found.clutchIn!.frontShare - 0.02 },
    };
    expect(balanceSentences(apart, project)).toHaveLength(2);
    // Each says where the rear comes first at it, from the same shares as the table.
    for (const both of [found.clutchIn, found.either]) {
      const says = bothSentence(both, found, SAY);
      const rear = found.on.filter(
        ({ band, frontFirstFrom }) => band !== null && frontFirstFrom > both!.frontShare,
      );
      const clutch = rear.filter(({ gear }) => gear === null);
      expect(rear.length).toBeGreaterThan(0);
      expect(says).toContain('Beware: so set, the rear locks first');
      expect(says.includes('the rear locks first with the clutch in')).toBe(clutch.length > 0);
      if (rear.length - clutch.length === found.on.filter(({ gear }) => gear !== null).length)
        expect(says).toContain('in every gear tried');
    }
    const all = { ...found.clutchIn!, frontShare: 1 };
    expect(bothSentence(all, found, SAY)).not.toContain('Beware');
    expect(stableSentence(found, project)).toMatch(/^(From \d+|At no setting)/);
  });
  test('marks say which way of stopping they are for, what they do in gear, how unsure they are and how to find them', () => {
    const says = knobSentence(found, project);
    expect(says).toMatch(
      /^Two marks for .*good for stops with the clutch in only: \d+\s% .*, give or take \d+ points, for loose clay;/,
    );
    const rear = found.on.some(({ rearFirstIn }) => rearFirstIn.length > 0);
    expect(rear).toBe(true);
    expect(says).toMatch(
      /Beware: left in gear the rear locks first at them.*swap ends; (from \d+\s% in front|no setting)/,
    );
    const doubt = marksDoubtSentence(found);
    expect(doubt).toMatch(/leave the share at a bar setting open, give or take \d+ point/);
    expect(doubt).toMatch(/leave the best share with the clutch in open, give or take \d+ point/);
    expect(doubt).toMatch(/found by braking tests from walking pace up, not by the figure\.$/);
    if (found.frontFirstButLowest !== null)
      expect(says).toMatch(
        /from \d+\s% in front .*in every gear but 1 on both grounds.*; from \d+\s% .* on in gear 1 too/,
      );
    const never = { ...found, frontFirstInAll: null, frontFirstButLowest: null };
    expect(knobSentence(never, project)).toMatch(
      /no setting has the front first in every gear on both grounds: dip/,
    );
    const safe = { ...found, on: found.on.map((on) => ({ ...on, rearFirstIn: [] })) };
    expect(knobSentence(safe, project)).not.toMatch(/Beware/);
    nothingOdd(says + doubt);
  });
  test('on paper: the marks with their catch, for the grounds in view only', () => {
    const grounds = [found.loose, found.hard];
    const says = marksOnPaper(found, grounds, project)!;
    expect(says).toMatch(
      /^Marks for the knob, at the bar, clutch in only: \d+\s% ± \d+ for loose clay, \d+\s% ± \d+ for asphalt\. Beware: left in gear the rear locks first so set, and the kart may swap ends\.$/,
    );
    // The same marks as where there is room to say more.
    for (const [share] of says.matchAll(/\d+\s%/g))
      expect(knobSentence(found, project)).toContain(`${share} at the bar`);
    expect(marksOnPaper(undefined, grounds, project)).toBeUndefined();
    expect(marksOnPaper(found, [found.loose, 'packed-earth'], project)).toBeUndefined();
    expect(setSentence(0.7, 0.6)).toBe(
      'Set: 70\u00a0% of the braking force in front, the balance bar at 60\u00a0%.',
    );
    expect(setSentence(0.7, undefined)).toBe('Set: 70\u00a0% of the braking force in front.');
  });
  test('distances that are compared have the same decimals, as few as their give or take bears', () => {
    const { heads, rows } = balanceTable(found, project);
    const decimals = (cell: string) => /\d(?:\.(\d+))?\sm/.exec(cell)?.[1]?.length ?? 0;
    const shown = rows.flatMap((row) => [
      row[heads.indexOf('stop there')]!,
      row[heads.indexOf('as set now')]!,
    ]);
    expect(new Set(shown.map(decimals)).size).toBe(1);
    const whole = {
      ...found,
      on: found.on.map((on) => ({ ...on, spread: on.spread === null ? null : 4.6 })),
    };
    for (const row of balanceTable(whole, project).rows)
      expect(row[heads.indexOf('stop there')]).toMatch(/^\d+\sm$/);
    expect(balanceTable(whole, project).rows[0]![heads.indexOf('as set now')]).toMatch(/^\d+\sm ± 5\sm$/);
  });
  test('a bend in which no share does better: any share, and the clutch', () => {
    const { table, notes } = balanceInBend(found, project, 'mph');
    expect(table.rows).toHaveLength(found.corner.length);
    for (const [i, c] of found.corner.entries()) {
      expect(table.rows[i]!.join(' ').includes('any share')).toBe(
        c.best.frontShare === null || c.straightBest.frontShare === null,
      );
      expect(table.rows[i]!.at(-1)!.startsWith('dip the clutch')).toBe(c.clutchInBetter !== null);
    }
    expect(notes[0]).toMatch(/slows most at 37\smph/);
    expect(notes.length > 1).toBe(found.corner.some(({ filledByEngine }) => filledByEngine !== null));
    nothingOdd(JSON.stringify(table) + notes.join());
  });
  test('the table has no hole', () => {
    nothingOdd(JSON.stringify(balanceTable(found, project)));
  });
});

describe('what is not known', () => {
  const runs = [kart, 'clodlet-single-asphalt'].map((id) => ({
    verb: 'topspeed' as const,
    kart: id,
    day: 'mild',
    surface: 'asphalt',
  }));
  const found = performStudy(studyUnknowns(project, notes, { runs, draws: 64 }).study!, ask)!;
  const at = found.variance.findIndex(({ against }) => against !== undefined);
  const changed = (change: Partial<(typeof found.decisions)[number]>) => ({
    ...found,
    decisions: found.decisions.map((d) => ({ ...d, ...change })),
  });
  test('one word for how sure a comparison is, the same as which engine has', () => {
    const says = (secondBetter: number) =>
      headline(changed({ secondBetter, sureness: verdictOn(1, secondBetter) }), project, 'km/h');
    expect(says(0.97)).toMatch(/ beats .* in 97.% of the draws, .*: decided\./);
    expect(says(0.8)).toMatch(/ is ahead of .* in 80.% of the draws, .*: likely\./);
    expect(says(0.4)).toMatch(/ is ahead of .* in 60.% of the draws, .*: too close to call\./);
    expect(says(1)).toMatch(/in over 99.% of the draws/);
    for (const d of found.decisions) expect(d.sureness).toBe(verdictOn(d.difference.p50, d.secondBetter));
  });
  test('intervals: from and to in one cell, the kart named only where there are two', () => {
    const both = intervalTable(found, project, 'km/h');
    expect(both.heads[0]).toBe('kart');
    const one = intervalTable({ ...found, karts: found.karts.slice(0, 1) }, project, 'km/h');
    expect(one.heads[0]).toBe('figure');
    expect(one.rows[0]!.at(-1)).toMatch(/^\d+.km\/h to \d+.km\/h$/);
    for (const { heads, rows } of [both, one]) {
      expect(new Set(heads).size).toBe(heads.length);
      for (const row of rows) expect(row).toHaveLength(heads.length);
    }
  });
  test('what settles a comparison is asked only where it is open', () => {
    expect(at).toBeGreaterThanOrEqual(0);
    const settles = 'chance it settles the comparison';
    const open = measuringTable(changed({ verdict: 'open' }), at, project);
    expect(open.heads).toContain(settles);
    const decided = measuringTable(changed({ verdict: 'first' }), at, project);
    expect(decided.heads).not.toContain(settles);
    for (const { heads, rows } of [open, decided])
      for (const row of rows) expect(row).toHaveLength(heads.length);
    expect(measuringTable(found, 0, project).heads).not.toContain(settles);
  });

  /** As if one measurement of the difference had a chance of settling it. */
  const withChance = (settles: number, change = {}) => ({
    ...changed({ verdict: 'open', sureness: 'likely', ...change }),
    variance: found.variance.map((v, i) =>
      i !== at
        ? v
        : {
            ...v,
            measuring: [
              {
                ...found.variance[0]!.measuring[0]!,
                narrower: 0.07,
                narrowerError: 0.01,
                settles,
                settlesError: 0.004,
              },
              {
                ...found.variance[0]!.measuring[0]!,
                path: 'donors.four.shift.up',
                narrower: 0.01,
                narrowerError: 0.001,
                settles: 0.001,
                settlesError: 0,
              },
            ],
          },
    ),
  });
  test('a comparison is answered as one: who is ahead, by how much, how sure, and what would settle it', () => {
    const says = headline(withChance(0.31), project, 'km/h');
    expect(says).toMatch(
      /^Clodlet, \w+, asphalt (is ahead of|beats) Clodlet, \w+, asphalt in .*% of the draws, by [\d.]+.km\/h in the middle \(nine in ten between .* (ahead|behind)\): likely\. Most likely to settle it: measuring .*, with a chance of 31.%\.$/,
    );
    expect(says).not.toMatch(/nine times in ten/);
    const below = belowHeadline(found, project, 'km/h');
    expect(below.match(/nine times in ten/g)).toHaveLength(2);
    expect(below).toContain(`64 draws of all ${found.unknowns.length} inputs in doubt at once`);
    nothingOdd(says + below);
  });
  test('where no measurement has a chance of settling it, that is said, and what narrows it most', () => {
    const none = withChance(0.009);
    expect(headline(none, project, 'km/h')).toMatch(
      /No measurement listed here would settle it \(a chance of under 1.% at best\)\.$/,
    );
    expect(belowHeadline(none, project, 'km/h')).toMatch(
      /^What narrows the difference most: .* \(.*; (minutes|an outing|a day)\), by 7.%.±.1\. /,
    );
    expect(belowHeadline(withChance(0.31), project, 'km/h')).toMatch(/^To measure: .* \(.*; .*\)\. /);
    expect(headline(withChance(0.009, { verdict: 'first', sureness: 'decided' }), project, 'km/h')).toMatch(
      /: decided\. Nothing need be measured to settle it\.$/,
    );
    const same = headline(withChance(0, { sureness: 'no difference' }), project, 'km/h');
    expect(same).toMatch(/come out the same\.$/);
  });
  test('nine in ten is said from the one that is ahead, whichever figure is better', () => {
    const d = found.decisions[0]!;
    const difference = { ...d.difference, p5: -0.2, p50: 0.3, p95: 0.9 };
    const says = (better: 'less' | 'more', secondBetter: number) =>
      headline(changed({ better, secondBetter, difference, figure: d.figure }), project, 'm/s');
    // The second has 0.3 more: ahead where more is better, and behind where less is.
    expect(says('more', 0.8)).toMatch(/^Clodlet, single.*between .* behind and .* ahead\)/);
    expect(says('less', 0.2)).toMatch(/^Clodlet, four.*between .* behind and .* ahead\)/);
  });
  test('one kart: the interval, and what to measure with how far off that figure may be', () => {
    const one = {
      ...found,
      decisions: [],
      karts: found.karts.slice(0, 1),
      variance: found.variance.slice(0, 1),
    };
    expect(headline(one, project, 'km/h')).toMatch(
      /^Clodlet, four, asphalt: nine times in ten the top speed/,
    );
    expect(belowHeadline(one, project, 'km/h')).toMatch(/It would narrow the answer by \d+.%.±.\d+\./);
  });
  test('a figure from few draws is rounded to what they bear', () => {
    expect(aboutWords(0.733, 0.11)).toBe('75 % ± 10');
    expect(aboutWords(0.567, 0.02)).toBe('57 % ± 2');
    expect(aboutWords(0.013, 0.03)).toBe('under 5 %');
    expect(aboutWords(0.013, 0.06)).toBe('under 10 %');
    expect(aboutWords(0.004, 0.012)).toBe('under 2 %');
    expect(aboutWords(0.573, 0.001)).toBe('57 %');
    expect(aboutWords(0.999, 0)).toBe('over 99 %');
  });
  test('what is to blame and not to be measured has its reason; a driver both karts share is nobody’s alone', () => {
    const drivers = found.unknowns.filter(({ path }) => path.includes('.driver.'));
    expect(drivers.length).toBeGreaterThan(0);
    const blamed = (path: string, why: 'no cheap way' | 'only with the grip') => ({
      ...found,
      variance: [
        {
          ...found.variance[0]!,
          shares: [{ paths: [path], first: 0.2, total: 0.25, firstError: 0.03, totalError: 0.03 }],
          notMeasured: [{ path, total: 0.25, why }],
        },
      ],
    });
    const inertia = blamed('donors.four.inertia', 'no cheap way');
    expect(notMeasuredSaid(inertia, 0, project)[0]).toMatch(
      /^Four.*: engine inertia at the crank \(25.%.±.5 of the doubt\): no cheap way to measure it is known\.$/,
    );
    const driver = blamed(drivers[0]!.path, 'only with the grip');
    expect(notMeasuredSaid(driver, 0, project)[0]).toMatch(/^the driver of both karts: /);
    expect(shareTable(driver, 0, project).rows[0]![0]).toMatch(/^the driver of both karts: /);
    expect(shareTable(driver, 0, project).heads.slice(-2)).toEqual([
      'of the doubt, by itself',
      'of the doubt, with whatever it acts together with',
    ]);
  });
});
