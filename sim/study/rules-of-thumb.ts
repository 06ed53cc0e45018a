/**
 * Common rules of the trade, put to the test for one kart: when each holds here, when it reverses, and by how much.
 *
 * In: project, kart, day, tracks. Out: the runs to ask for, and what they amount to, rule by rule, as plain numbers. The
 * rules are common practice, no source; nothing here says which way they ought to come out.
 */
import type { InputChange } from '../project/changed-inputs.ts';
import type { Project } from '../project/schema.ts';
import { bestFrontShare } from '../run/best-share.ts';
import type { BrakeResult } from '../run/brake.ts';
import type { KartSheet } from '../run/kart-sheet.ts';
import type { Figures, SweepResult } from '../run/named-figures.ts';
import type { Request, RunRequest } from '../run/perform.ts';
import { limiterRaisedBy, withDonor } from './donors/donor-changes.ts';
import type { Answers, Study } from './study.ts';
import type { StudyLapOptions } from './study-lap.ts';
import { studyLap } from './study-lap.ts';

export interface RulesOptions extends StudyLapOptions {
  readonly tracks: readonly string[];
  /** m/s, of the stops */
  readonly stopFrom: number;
}

/** One donor in this chassis, at the best of the rear sprockets tried; null where it could not run so. */
export interface DonorHere {
  readonly donor: string;
  /** N·m at the crank on the day, from sheets taken at the wheel too */
  readonly peakTorque: number | null;
  /** s, by track in the order of `tracks` */
  readonly lapTimes: readonly (number | null)[];
}

export interface StopHere {
  readonly surface: string;
  /** m: brakes alone, engine alone shifting down, both */
  readonly brakes: number | null;
  readonly engine: number | null;
  readonly both: number | null;
  /** Front share that suits both axles, clutch in; null where none does */
  readonly share: number | null;
}

export interface GripHere {
  readonly track: string;
  /** Factors on the grip of every ground of the track, and the lap time under each */
  readonly factors: readonly number[];
  readonly times: readonly (number | null)[];
  /** Where more grip stops making the lap quicker; null where it never does */
  readonly turns: GripTurn | null;
}

export interface GripTurn {
  /** Factors between which it lies */
  readonly from: number;
  readonly to: number;
  /** Whether the kart has no margin left against tipping there */
  readonly tips: boolean;
}

export interface RulesResult {
  readonly tracks: readonly string[];
  /** "The donor with the higher torque is quicker." */
  readonly donors: readonly DonorHere[];
  /** "One front tooth is worth three to four rear teeth": rear teeth that do what one front tooth less does. */
  readonly frontTooth: { readonly front: number; readonly rear: number; readonly worth: number } | null;
  /** "Loose ground wants the balance rearward"; "downshifting can stand in for the brakes". */
  readonly loose: StopHere | null;
  readonly hard: StopHere | null;
  /** "A higher limiter is worth as much as more torque": s off the lap for 10 % of each, by track. */
  readonly tenPercent: {
    readonly limiter: readonly (number | null)[];
    readonly torque: readonly (number | null)[];
  };
  /** "A grippier tyre is always faster." */
  readonly grip: readonly GripHere[];
}

/** A study whose result is undefined until every answer of the first round is there. */
export type RulesPlan = Study<RulesResult>;

const TENTH = 1.1;
const RPM = Math.PI / 30;
/** Rounds that close in on where more grip stops helping, and laps in each: two bring any turn within 0.02. */
const GRIP_ROUNDS = 2;
const GRIP_BETWEEN = 9;
/** s; a step of grip that gains less gains nothing: rounding and the spacing of the stations. */
const NO_GAIN = 1e-4;
/** Margin against tipping that counts as none. */
const NO_MARGIN = 0.005;
const GRIP_FACTORS = [0.7, 0.85, 1, 1.15, 1.3, 1.5, 1.75, 2, 2.3] as const;

export function planRules(project: Project, options: RulesOptions): RulesPlan {
  const { kart, day, tracks, stopFrom } = options;
  const spec = project.karts[kart];
  const donors = Object.keys(project.donors);
  const rears = rearTeeth(project, kart);
  const lap = (track: string): RunRequest => studyLap(project, options, track);
  const inKart = (donor: string): InputChange[] =>
    spec === undefined ? [] : withDonor(project, kart, donor);
  const rearPath = `karts.${kart}.sprockets.rear`;
  const withRears = (changes: readonly InputChange[]): InputChange[][] =>
    rears.length === 0
      ? [[...changes]]
      : rears.map((teeth) => [...changes, { path: rearPath, value: teeth }]);
  const requests: Request[] = [];
  /** Asks and tells where the answer will be. */
  const ask = (request: Request): number => requests.push(request) - 1;

  const sheets = donors.map((donor) => ask({ verb: 'sheet', kart, day, changes: inKart(donor) }));
  const donorLaps = donors.map((donor) =>
    tracks.map((track) => ask({ verb: 'sweep', of: lap(track), variants: withRears(inKart(donor)) })),
  );
  const own = spec === undefined ? undefined : project.donors[spec.donor];
  const base = `donors.${spec?.donor}`;
  const tenths = tracks.map((track) => ({
    now: ask({ verb: 'sweep', of: lap(track), variants: withRears([]) }),
    limiter: ask({
      verb: 'sweep',
      of: lap(track),
      variants: withRears(
        spec === undefined || own === undefined
          ? []
          : limiterRaisedBy(project, spec.donor, ((TENTH - 1) * own.revLimit) / RPM),
      ),
    }),
    torque: ask({
      verb: 'sweep',
      of: lap(track),
      variants: withRears([{ path: `${base}.torque.points`, value: TENTH }]),
    }),
  }));
  const gripSweep = (track: string, factors: readonly number[]): Request => ({
    verb: 'sweep',
    of: lap(track),
    variants: factors.map((factor) =>
      surfacesOf(project, track).map((id) => ({
        path: `days.${day}.grip.${id}`,
        value: factor * (project.days[day]?.grip[id] ?? 1),
      })),
    ),
  });
  const grips = tracks.map((track) => ask(gripSweep(track, GRIP_FACTORS)));
  const stops = [groundOf(project, kart, 'loose'), groundOf(project, kart, 'hard')].map((surface) => {
    if (surface === undefined) return undefined;
    const brake = (brakes: 'threshold' | 'none' | 'ideal', engine: 'clutch in' | 'shifting down'): number =>
      ask({
        verb: 'brake',
        kart,
        day,
        surface,
        options: {
          fromSpeed: stopFrom,
          brakes,
          engine,
        },
      });
    return {
      surface,
      brakes: brake('threshold', 'clutch in'),
      engine: brake('none', 'shifting down'),
      both: brake('threshold', 'shifting down'),
      ideal: brake('ideal', 'clutch in'),
    };
  });

  const triedAt = (answers: Answers, at: number, factors: readonly number[]): Tried[] =>
    factors.map((factor, i) => {
      const figures = (answers[at]?.result as SweepResult | undefined)?.figures[i];
      return { factor, time: figures?.['lap time'] ?? null, margin: figures?.['tip margin'] ?? null };
    });
  /** Laps under grip as far as they are answered, and what to ask next to close in on the turns. */
  const closingIn = (answers: Answers): { tried: Tried[][]; ask: Request[] } => {
    const tried = tracks.map((_, i) => triedAt(answers, grips[i]!, GRIP_FACTORS));
    let at = requests.length;
    for (let round = 0; round < GRIP_ROUNDS; round++) {
      const wanted = tried.flatMap((laps, i) => {
        const turn = turnOf(laps);
        return turn === null ? [] : [{ i, factors: between(turn.below, turn.above) }];
      });
      const next = at + wanted.length;
      if (answers.length < next || answers.slice(at, next).includes(undefined))
        return {
          tried,
          ask: answers.length > at ? [] : wanted.map(({ i, factors }) => gripSweep(tracks[i]!, factors)),
        };
      for (const [k, { i, factors }] of wanted.entries())
        tried[i] = [...tried[i]!, ...triedAt(answers, at + k, factors)].sort((a, b) => a.factor - b.factor);
      at = next;
    }
    return { tried, ask: [] };
  };

  return {
    requests,
    more: (answers) => closingIn(answers).ask,
    combine(answers) {
      if (answers.length < requests.length || answers.slice(0, requests.length).includes(undefined))
        return undefined;
      const { tried } = closingIn(answers);
      const sweep = (at: number): readonly (Figures | null)[] =>
        (answers[at]?.result as SweepResult | undefined)?.figures ?? [];
      const best = (at: number): number | null => {
        const times = sweep(at).flatMap((figures) => figures?.['lap time'] ?? []);
        return times.length === 0 ? null : Math.min(...times);
      };
      const stop = (at: number): BrakeResult | undefined => answers[at]?.result as BrakeResult | undefined;
      const [loose, hard] = stops.map((found): StopHere | null =>
        found === undefined
          ? null
          : {
              surface: found.surface,
              brakes: stop(found.brakes)?.distance ?? null,
              engine: stoppingDistance(stop(found.engine)),
              both: stop(found.both)?.distance ?? null,
              share: shareOf(stop(found.ideal)),
            },
      );
      const saved = (now: number, then: number): number | null => {
        const [before, after] = [best(now), best(then)];
        return before === null || after === null ? null : before - after;
      };
      return {
        tracks,
        donors: donors.map((donor, i) => ({
          donor,
          peakTorque: (answers[sheets[i]!]?.result as KartSheet | undefined)?.peakTorque ?? null,
          lapTimes: donorLaps[i]!.map(best),
        })),
        frontTooth: frontToothOf(spec),
        loose: loose ?? null,
        hard: hard ?? null,
        tenPercent: {
          limiter: tenths.map(({ now, limiter }) => saved(now, limiter)),
          torque: tenths.map(({ now, torque }) => saved(now, torque)),
        },
        grip: tracks.map((track, i) => {
          const times = sweep(grips[i]!).map((figures) => figures?.['lap time'] ?? null);
          const turn = turnOf(tried[i]!);
          const turns = turn === null ? null : { from: turn.below, to: turn.to, tips: turn.tips };
          return { track, factors: GRIP_FACTORS, times, turns };
        }),
      };
    },
  };
}

/**
 * Rear teeth that lengthen the drive as much as one front tooth less: z_r/(z_f - 1) = (z_r + n)/z_f gives
 * n = z_r/(z_f - 1).
 */
export function frontToothWorth(front: number, rear: number): number {
  return rear / (front - 1);
}

function frontToothOf(spec: Project['karts'][string] | undefined): RulesResult['frontTooth'] {
  const teeth = spec?.sprockets;
  return teeth === undefined || teeth.front < 2
    ? null
    : { front: teeth.front, rear: teeth.rear, worth: frontToothWorth(teeth.front, teeth.rear) };
}

/** The rear sprockets at hand, owned or not, and the one fitted. */
function rearTeeth(project: Project, kart: string): number[] {
  const fitted = project.karts[kart]?.sprockets?.rear;
  if (fitted === undefined) return [];
  return [...new Set([...project.sprockets.rear.map(({ teeth }) => teeth), fitted])].sort((a, b) => a - b);
}

function surfacesOf(project: Project, id: string): string[] {
  const track = project.tracks[id];
  if (track === undefined) return [];
  const laid = [...(track.points ?? []), ...(track.stretches ?? []), ...track.sections];
  return [...new Set([track.surface, ...laid.flatMap((part) => part.surface ?? [])])];
}

/** A ground of a kind that both tyres of the kart have figures for. */
function groundOf(project: Project, kart: string, kind: 'loose' | 'hard'): string | undefined {
  const tyres = project.karts[kart]?.tyres;
  if (tyres === undefined) return undefined;
  return Object.keys(project.surfaces).find(
    (id) =>
      project.surfaces[id]?.kind === kind &&
      project.tyres[tyres.front]?.grip[id] !== undefined &&
      project.tyres[tyres.rear]?.grip[id] !== undefined,
  );
}

/** The engine alone may never stop the kart: null where it did not come below walking pace. */
function stoppingDistance(stop: BrakeResult | undefined): number | null {
  const WALKING = 2;
  return stop === undefined || stop.endSpeed > WALKING ? null : stop.distance;
}

function shareOf(ideal: BrakeResult | undefined): number | null {
  return ideal === undefined ? null : (bestFrontShare(ideal) ?? null);
}

/** A lap under so many times the grip. */
interface Tried {
  readonly factor: number;
  readonly time: number | null;
  readonly margin: number | null;
}

/**
 * Where more grip stops helping, of laps in order of grip: it lies between `below` and `to`, and a finer look goes from
 * `below` to `above`. Null where the last lap is the quickest.
 */
function turnOf(laps: readonly Tried[]): { below: number; to: number; above: number; tips: boolean } | null {
  const known = laps.flatMap(({ factor, time, margin }) => (time === null ? [] : [{ factor, time, margin }]));
  let best = 0;
  for (let i = 1; i < known.length; i++) if (known[i]!.time < known[best]!.time - NO_GAIN) best = i;
  const [here, after] = [known[best], known[best + 1]];
  if (here === undefined || after === undefined) return null;
  const slowerAfter = after.time > here.time + NO_GAIN;
  return {
    below: known[best - 1]?.factor ?? here.factor,
    to: slowerAfter ? after.factor : here.factor,
    above: after.factor,
    tips: here.margin !== null && here.margin < NO_MARGIN,
  };
}

function between(low: number, high: number): number[] {
  return Array.from({ length: GRIP_BETWEEN }, (_, i) => low + ((high - low) * (i + 1)) / (GRIP_BETWEEN + 1));
}
