/**
 * Laps of a log against the estimate: as the file has it, with the fitted values, and with the driver's share fitted.
 *
 * In: the log, a track, the changes of the fit. Out: logged and estimated lap times. With two laps or more the last is held
 * out: the driver's share of the grip is found from the others (by the secant method on the lap time) and checked on it.
 * That share makes up for whatever else of kart, ground and day is not as the file has it: with t the lap time, s the share
 * and q the other inputs, fitted ones with their fitted spread, the share kept at t(s, q) = logged moves by -t_q/t_s, so
 *   u(s)^2 = u_laps(s)^2 + sum over q of (t(q + u_q) - t(q - u_q))^2 / (2 t_s)^2   (JCGM 100:2008, 5.1.2)
 * The lap held out was driven with the same kart, ground and day: what is expected of it scatters as the laps do. Laps do not
 * scatter less than the log can tell their times apart.
 * A lap of the track is as long as the track: its way by the speeds differs from the middle of the road by no more than the
 * line can, the room to the edge times the turning of the road summed without sign (offset curves: length L + n theta), and
 * BY_SPEEDS of the length.
 */

import { compileTrack } from '../../compile/track.ts';
import type { InputChange } from '../../project/changed-inputs.ts';
import { withInputs } from '../../project/changed-inputs.ts';
import type { InputNote } from '../../project/origins.ts';
import type { Project } from '../../project/schema.ts';
import type { LapResult } from '../../run/lap.ts';
import type { Answer } from '../../run/perform.ts';
import { firstOrder, probesOf } from '../first-order.ts';
import { inputsInUse } from '../inputs-in-use.ts';
import { STUDY_LAP_SPACING } from '../study-lap.ts';
import { deviationOf, meanOf } from '../unknowns/statistics.ts';
import type { Ask } from './ask.ts';
import type { MatchWho } from './fit-values.ts';
import type { LapsFound, LoggedLap } from './laps.ts';

export interface LapMatch {
  readonly track: string;
  /** s, in the order driven */
  readonly logged: readonly number[];
  readonly estimated: number | null;
  /** With the fitted values */
  readonly fitted: number | null;
  readonly driver: {
    readonly path: string;
    readonly before: number;
    readonly after: number;
    /** One standard deviation, laps and inputs together, and that of the laps alone */
    readonly spread: number;
    readonly fromLaps: number;
    /** Where the largest part of the spread comes from, null for the laps themselves, and its share of the variance. */
    readonly mostFrom: { readonly path: string | null; readonly share: number };
    /** Set where it ran to its limit. */
    readonly atBound: string | null;
  } | null;
  /** The lap kept out of the fit, and what was expected of it. */
  /** In sentences: what comes round in the log and is no lap of this track. */
  readonly remarks: readonly string[];
  readonly heldOut: { readonly logged: number; readonly expected: number; readonly spread: number } | null;
}

/**
 * Relative, what a way by speeds may be off: a wheel's rolling radius is known to some 2 % and slips by as much when it
 * drives; receivers lag by less (common practice, no source).
 */
const BY_SPEEDS = 0.05;
/** Stations for the turning of a road, m */
const COARSE = 1;
const LEAST_SHARE = 0.3;
const ROUNDS = 12;
/** s: nearer than any clock at the track. */
const NEAR = 1e-4;

export async function matchLaps(task: {
  readonly project: Project;
  readonly notes: readonly InputNote[];
  readonly found: LapsFound;
  readonly who: MatchWho;
  readonly track: string;
  readonly changes: readonly InputChange[];
  /** Places fitted before, as they are in `changes` */
  readonly fitted: readonly { readonly path: string; readonly after: number; readonly spread: number }[];
  readonly ask: Ask;
}): Promise<LapMatch> {
  const { project, who, track, changes } = task;
  const { laps, remarks } = lapsOfTrack(project, track, task.found);
  const logged = laps.map(({ time }) => time);
  const path = `karts.${who.kart}.driver.gripUse`;
  const before = project.karts[who.kart]!.driver.gripUse;
  const request = { verb: 'lap', kart: who.kart, day: who.day, track, spacing: STUDY_LAP_SPACING } as const;
  const timeOf = (answer: Answer | undefined) => (answer?.result as LapResult | undefined)?.time ?? null;
  const lapAt = async (all: readonly InputChange[]): Promise<number | null> => {
    const [answer] = await task.ask(withInputs(project, all), [request]);
    return timeOf(answer);
  };
  const estimated = await lapAt([]);
  const fitted = changes.length === 0 ? estimated : await lapAt(changes);
  if (logged.length === 0) return { track, logged, estimated, fitted, driver: null, remarks, heldOut: null };
  const used = logged.length > 1 ? logged.slice(0, -1) : logged;
  const wanted = meanOf(used);
  const found = await shareFor(wanted, before, (share) => lapAt([...changes, { path, value: share }]));
  // Of one lap nothing is known of the scatter: the table's spread of a driver stands.
  const scatter = Math.max(
    task.found.resolution,
    used.length > 1 ? deviationOf(used) : Math.abs(found?.slope ?? 0) * 0.01,
  );
  const driver = async (of: NonNullable<typeof found>): Promise<LapMatch['driver']> => {
    const perShare = Math.abs(of.slope);
    const fromLaps = perShare === 0 ? 0 : scatter / Math.sqrt(used.length) / perShare;
    const known = new Map(task.fitted.map((place) => [place.path, place]));
    const notes = inputsInUse(task.notes, request, project)
      .filter((note) => note.path !== path)
      .map((note) => {
        const place = known.get(note.path);
        if (place === undefined) return note;
        // A sheet is moved by a factor on what it has become.
        const isSheet = /\.(points|closedThrottle)$/.test(note.path);
        return isSheet
          ? { ...note, value: 1, spread: place.spread / place.after }
          : { ...note, value: place.after, spread: place.spread };
      });
    const probes = perShare === 0 ? [] : probesOf(notes);
    const answers = await task.ask(
      withInputs(project, [...changes, { path, value: of.share }]),
      probes.flatMap(({ less, more }) => [less, more].map((change) => ({ ...request, changes: [change] }))),
    );
    const { spread, effects } = firstOrder(
      of.time,
      probes,
      probes.map((_, i) => ({ less: timeOf(answers[2 * i]), more: timeOf(answers[2 * i + 1]) })),
    );
    const all = Math.hypot(fromLaps, perShare === 0 ? 0 : spread / perShare);
    const most = effects.toSorted((a, b) => Math.abs(b.swing) - Math.abs(a.swing))[0];
    const largest = most === undefined ? 0 : Math.abs(most.swing) / perShare;
    return {
      path,
      before,
      after: of.share,
      spread: all,
      fromLaps,
      mostFrom: {
        path: most === undefined || fromLaps >= largest ? null : most.note.path,
        share: all > 0 ? (Math.max(fromLaps, largest) / all) ** 2 : 1,
      },
      atBound: of.atBound,
    };
  };
  return {
    track,
    logged,
    estimated,
    fitted,
    driver: found === undefined ? null : await driver(found),
    remarks,
    heldOut:
      logged.length > 1 && found !== undefined
        ? {
            logged: logged.at(-1)!,
            expected: found.time,
            spread: scatter * Math.sqrt(1 + 1 / used.length),
          }
        : null,
  };
}

/** The laps found that can be laps of a track, and a sentence for what cannot. */
export function lapsOfTrack(
  project: Project,
  id: string,
  { laps, noLaps }: LapsFound,
): { laps: readonly LoggedLap[]; remarks: readonly string[] } {
  const spec = project.tracks[id]!;
  const remarks: string[] = [];
  const standing = noLaps.filter(({ why }) => why === 'stands still').length;
  if (standing > 0)
    remarks.push(`The kart stands still in ${counted(standing)} of the logger’s count: no lap.`);
  const elsewhere = noLaps.length - standing;
  if (elsewhere > 0)
    remarks.push(
      `${elsewhere === 1 ? 'One lap' : `${elsewhere} laps`} of the logger’s count ${elsewhere === 1 ? 'does' : 'do'} not come back to the place of the start, heading the same way: no lap.`,
    );
  if (laps.length === 0 && noLaps.length === 0)
    remarks.push(
      spec.closed
        ? 'Nothing in the log comes round to its place a second time without standing still: no whole lap in it.'
        : `Nothing in the log comes round, and ${spec.name} has two ends: where a run on it begins and ends, only a lap column can tell.`,
    );
  const { track } = compileTrack(spec, `tracks.${id}`, COARSE);
  if (track === undefined) return { laps, remarks };
  let room = 0;
  for (let i = 0; i + 1 < track.count; i++)
    room +=
      Math.abs(track.curvature[i]!) *
      Math.max(track.left[i]!, track.right[i]!) *
      (track.distance[i + 1]! - track.distance[i]!);
  const fits = (lap: LoggedLap) => Math.abs(lap.way - track.length) <= room + BY_SPEEDS * track.length;
  const own = laps.filter(fits);
  const others = laps.filter((lap) => !fits(lap));
  if (others.length > 0) {
    const ways = others.map(({ way }) => Math.round(way)).sort((a, b) => a - b);
    const [least, most] = [ways[0]!, ways.at(-1)!];
    const long = `${least === most ? least : `${least} to ${most}`} m long, ${spec.name} is ${Math.round(track.length)} m`;
    remarks.push(
      own.length === 0
        ? `What comes round in the log is ${long}: not this track.`
        : `${counted(others.length)} of ${laps.length} that come round left out: ${long}.`,
    );
  }
  return { laps: own, remarks };
}

function counted(laps: number): string {
  return laps === 1 ? '1 lap' : `${laps} laps`;
}

async function shareFor(
  wanted: number,
  start: number,
  timeAt: (share: number) => Promise<number | null>,
): Promise<{ share: number; time: number; slope: number; atBound: string | null } | undefined> {
  let [a, b] = [start, start > 0.9 ? start - 0.03 : start + 0.03];
  let [ta, tb] = [await timeAt(a), await timeAt(b)];
  for (let round = 0; round < ROUNDS; round++) {
    if (ta === null || tb === null || ta === tb) return undefined;
    const slope = (tb - ta) / (b - a);
    if (Math.abs(tb - wanted) < NEAR) return { share: b, time: tb, slope, atBound: null };
    const next = Math.min(1, Math.max(LEAST_SHARE, b + (wanted - tb) / slope));
    if (next === b)
      return {
        share: b,
        time: tb,
        slope,
        atBound:
          b >= 1
            ? 'the laps are quicker than all the grip in the file allows: look at the friction of the tyres, or the line'
            : 'the laps are far slower than the grip in the file allows: look at the surface and the day',
      };
    [a, ta, b] = [b, tb, next];
    tb = await timeAt(b);
  }
  return ta === null || tb === null
    ? undefined
    : { share: b, time: tb, slope: (tb - ta) / (b - a), atBound: null };
}
