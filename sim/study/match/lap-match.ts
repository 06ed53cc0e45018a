/**
 * Laps of a log against the estimate: as the file has it, with the fitted values, and with the driver's share fitted.
 *
 * In: the log, a track, the changes of the fit. Out: logged and estimated lap times. With two laps or more the last is held
 * out: the driver's share of the grip is found from the others (by the secant method on the lap time) and checked on it.
 * That share makes up for whatever else of kart, ground and day is not as the file has it: with t the lap time, s the share
 * and q the other inputs, fitted ones with their fitted spread, the share kept at t(s, q) = logged moves by -t_q/t_s, so
 *   u(s)^2 = u_laps(s)^2 + sum over q of (t(q + u_q) - t(q - u_q))^2 / (2 t_s)^2   (JCGM 100:2008, 5.1.2)
 * The lap held out was driven with the same kart, ground and day: what is expected of it scatters as the laps do.
 */
import type { InputChange } from '../../project/changed-inputs.ts';
import { withInputs } from '../../project/changed-inputs.ts';
import type { InputNote } from '../../project/origins.ts';
import type { Project } from '../../project/schema.ts';
import type { LapResult } from '../../run/lap.ts';
import type { Answer } from '../../run/perform.ts';
import { firstOrder, probesOf } from '../first-order.ts';
import { inputsInUse } from '../inputs-in-use.ts';
import { STUDY_LAP_SPACING } from '../study.ts';
import { deviationOf, meanOf } from '../unknowns/statistics.ts';
import type { Ask } from './ask.ts';
import type { DriveLog } from './drive-log.ts';
import type { MatchWho } from './fit-values.ts';
import { lapsOf } from './laps.ts';

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
  readonly heldOut: { readonly logged: number; readonly expected: number; readonly spread: number } | null;
}

const LEAST_SHARE = 0.3;
const ROUNDS = 12;
/** s: nearer than any clock at the track. */
const NEAR = 1e-4;

export async function matchLaps(task: {
  readonly project: Project;
  readonly notes: readonly InputNote[];
  readonly log: DriveLog;
  readonly who: MatchWho;
  readonly track: string;
  readonly changes: readonly InputChange[];
  /** Places fitted before, as they are in `changes` */
  readonly fitted: readonly { readonly path: string; readonly after: number; readonly spread: number }[];
  readonly ask: Ask;
}): Promise<LapMatch | null> {
  const { project, who, track, changes } = task;
  const logged = lapsOf(task.log).map(({ time }) => time);
  if (logged.length === 0) return null;
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
  const used = logged.length > 1 ? logged.slice(0, -1) : logged;
  const wanted = meanOf(used);
  const found = await shareFor(wanted, before, (share) => lapAt([...changes, { path, value: share }]));
  // Of one lap nothing is known of the scatter: the table's spread of a driver stands.
  const scatter = used.length > 1 ? deviationOf(used) : Math.abs(found?.slope ?? 0) * 0.01;
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
