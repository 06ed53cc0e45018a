/**
 * Common rules of the trade, put to the test for one kart: when each holds here, when it reverses, and by how much.
 *
 * In: project, kart, day, tracks. Out: the runs to ask for, and what they amount to, rule by rule, as plain numbers. The
 * rules are common practice, no source; nothing here says which way they ought to come out.
 */
import type { InputChange } from '../project/changed-inputs.ts';
import type { Project } from '../project/schema.ts';
import type { BrakeResult } from '../run/brake.ts';
import type { Figures, SweepResult } from '../run/figures.ts';
import type { KartSheet } from '../run/kart-sheet.ts';
import type { Answer, Request, RunRequest } from '../run/perform.ts';

export interface RulesOptions {
  readonly kart: string;
  readonly day: string;
  readonly tracks: readonly string[];
  /** m/s, of the stops */
  readonly stopFrom: number;
}

/** One donor in this chassis, at the best of the rear sprockets tried; null where it could not run so. */
export interface DonorHere {
  readonly donor: string;
  /** N·m at the crank on the day */
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
  /** Factor beyond which more grip no longer makes the lap quicker; null where it always does */
  readonly turnsAt: number | null;
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

export interface RulesPlan {
  readonly requests: readonly Request[];
  /** Of all answers; undefined until every one is there. */
  combine(answers: readonly (Answer | undefined)[]): RulesResult | undefined;
}

/** m; a thousandth of a second is known at this spacing. */
const SPACING = 0.5;
const TENTH = 1.1;
const GRIP_FACTORS = [0.7, 0.85, 1, 1.15, 1.3, 1.5, 1.75, 2, 2.3] as const;
/** Both axles at their limit: read at the start of the stop. */
const FIRST_PART = 0.97;

export function planRules(project: Project, options: RulesOptions): RulesPlan {
  const { kart, day, tracks, stopFrom } = options;
  const spec = project.karts[kart];
  const donors = Object.keys(project.donors);
  const rears = rearTeeth(project, kart);
  const lap = (track: string): RunRequest => ({ verb: 'lap', kart, day, track, spacing: SPACING });
  const donorPath = `karts.${kart}.donor`;
  const rearPath = `karts.${kart}.sprockets.rear`;
  const withRears = (changes: readonly InputChange[]): InputChange[][] =>
    rears.length === 0
      ? [[...changes]]
      : rears.map((teeth) => [...changes, { path: rearPath, value: teeth }]);
  const requests: Request[] = [];
  /** Asks and tells where the answer will be. */
  const ask = (request: Request): number => requests.push(request) - 1;

  const sheets = donors.map((donor) =>
    ask({ verb: 'sheet', kart: kartWith(project, kart, donor) ?? kart, day }),
  );
  const donorLaps = donors.map((donor) =>
    tracks.map((track) =>
      ask({ verb: 'sweep', of: lap(track), variants: withRears([{ path: donorPath, value: donor }]) }),
    ),
  );
  const own = spec === undefined ? undefined : project.donors[spec.donor];
  const base = `donors.${spec?.donor}`;
  const tenths = tracks.map((track) => ({
    now: ask({ verb: 'sweep', of: lap(track), variants: withRears([]) }),
    limiter: ask({
      verb: 'sweep',
      of: lap(track),
      variants: withRears([
        { path: `${base}.revLimit`, value: (own?.revLimit ?? 0) * TENTH },
        { path: `${base}.safeRev`, value: (own?.safeRev ?? 0) * TENTH },
      ]),
    }),
    torque: ask({
      verb: 'sweep',
      of: lap(track),
      variants: withRears([{ path: `${base}.torque.points`, value: TENTH }]),
    }),
  }));
  const grips = tracks.map((track) =>
    ask({
      verb: 'sweep',
      of: lap(track),
      variants: GRIP_FACTORS.map((factor) =>
        surfacesOf(project, track).map((id) => ({
          path: `days.${day}.grip.${id}`,
          value: factor * (project.days[day]?.grip[id] ?? 1),
        })),
      ),
    }),
  );
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
          ...(brakes === 'ideal' ? { toSpeed: FIRST_PART * stopFrom } : {}),
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

  return {
    requests,
    combine(answers) {
      if (answers.length < requests.length || answers.some((answer) => answer === undefined))
        return undefined;
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
              share: suitingShare(stop(found.ideal)),
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
          return { track, factors: GRIP_FACTORS, times, turnsAt: turningPoint(GRIP_FACTORS, times) };
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

/** A kart of the project with this donor, for its engine's figures. */
function kartWith(project: Project, like: string, donor: string): string | undefined {
  if (project.karts[like]?.donor === donor) return like;
  return Object.keys(project.karts).find((id) => project.karts[id]?.donor === donor);
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

function suitingShare(ideal: BrakeResult | undefined): number | null {
  const front = ideal?.columns.frontForce[0];
  const rear = ideal?.columns.rearForce[0];
  return front === undefined || rear === undefined || front + rear <= 0 ? null : front / (front + rear);
}

/** The factor of the quickest lap where a later one is slower by more than rounding; null where none is. */
function turningPoint(factors: readonly number[], times: readonly (number | null)[]): number | null {
  let best: { factor: number; time: number } | undefined;
  let last: number | null = null;
  for (const [i, time] of times.entries()) {
    if (time === null) continue;
    if (best === undefined || time < best.time - 1e-6) best = { factor: factors[i]!, time };
    last = factors[i]!;
  }
  return best === undefined || best.factor === last ? null : best.factor;
}
