/**
 * Which teeth: every sprocket pair at hand on every track, which to fit where, and which to carry.
 *
 * In: project, kart, day, tracks, owned or all, the reader's notes. Out: a study in two rounds - laps with every pair;
 * then draws of what is not known at the pairs compared. Its result holds each pair's lap and chain, the best pair,
 * its near-ties and how sure its gain is per track, the best compromise, the smallest set worth carrying, and tyre changes
 * as teeth.
 */
import { compileKart } from '../../compile/kart.ts';
import type { InputNote } from '../../project/origins.ts';
import type { Problem } from '../../project/problem.ts';
import { isBlocking, problem, warning } from '../../project/problem.ts';
import type { Project } from '../../project/schema.ts';
import type { Figures } from '../../run/named-figures.ts';
import { commonDraws, drawnDifference, drawnFigure, spreadOfLaps } from '../common-draws.ts';
import { inputsInUse } from '../inputs-in-use.ts';
import type { Answers, Planned } from '../study.ts';
import { figure, figuresAt, seriesOf } from '../study.ts';
import type { StudyLapOptions } from '../study-lap.ts';
import { studyLap } from '../study-lap.ts';
import { bestOf, comparedWith, compromiseOf, edgeOf, namedPair, rivalPair } from './choosing-pairs.ts';
import { gridOf, oneChain, pairSheets, tyresAsTeeth } from './pair-sheets.ts';
import type { Stock } from './sprocket-pairs.ts';
import { fitting, sprocketsAtHand } from './sprocket-pairs.ts';
import type { PairLap, PairSheet, TeethOnTrack, TeethResult } from './teeth-result.ts';
import { bestBoxes, worthCarrying } from './worth-carrying.ts';

export interface TeethOptions extends StudyLapOptions {
  readonly tracks: readonly string[];
  readonly stock: Stock;
  /** Laps this close cannot be told apart, s; CLOCK_NOISE where absent */
  readonly noise?: number;
  /** What a set worth carrying may lose on a track, s; the noise where absent */
  readonly cover?: number;
  /** The reader's notes: with them come spreads and probabilities */
  readonly notes?: readonly InputNote[];
}

/**
 * s. Lap after lap of one driver scatters by some tenths, so that half a tenth shows on no clock.
 * Assumed; larger hides more pairs behind near-ties.
 */
export const CLOCK_NOISE = 0.05;

export function planTeeth(project: Project, options: TeethOptions): Planned<TeethResult> {
  const { kart: id, day, tracks, stock } = options;
  const { kart, problems } = compileKart(project, { kart: id, day });
  const spec = project.karts[id];
  if (kart === undefined || spec === undefined || isBlocking(problems)) return { problems };
  const hand = sprocketsAtHand(project, id, stock);
  if (hand.pairs.length === 0)
    return {
      problems: [
        problem('no-sprockets', 'sprockets', 'there is no pair of sprockets to try', {
          remedy: stock === 'owned' ? 'mark some as owned, or look at all' : 'list front and rear sprockets',
        }),
      ],
    };
  const told: Problem[] = hand.suggested
    ? [
        ...problems,
        warning(
          'no-sprockets',
          'sprockets',
          'the file lists no sprockets: those around the fitted pair are tried',
          {
            remedy: 'list the sprockets owned and those that can be bought',
          },
        ),
      ]
    : [...problems];
  const lap = (track: string) => studyLap(project, options, track);
  const notesOn = tracks.map((track) => inputsInUse(options.notes ?? [], lap(track), project));
  const drawnOf = commonDraws(options.notes ?? []);
  const variants = notesOn.map((notes) => drawnOf(notes));
  const { requests, series } = seriesOf(
    tracks.map((track) => ({
      of: lap(track),
      variants: hand.pairs.map((pair) => [fitting(id, pair)]),
    })),
  );
  const sheets = pairSheets(project, options, hand);
  const still = {
    kart: id,
    day,
    noise: options.noise ?? CLOCK_NOISE,
    cover: options.cover ?? options.noise ?? CLOCK_NOISE,
    fronts: hand.front.map((s) => s.teeth),
    rears: hand.rear.map((s) => s.teeth),
    gears: kart.drivetrain.gears.map((gear) => gear.name),
    pairs: sheets,
    grid: gridOf(hand),
    fitted: hand.pairs.findIndex((p) => p.front === spec.sprockets?.front && p.rear === spec.sprockets.rear),
    tyres: tyresAsTeeth(project, options),
    total: tracks.length * hand.pairs.length,
  };
  const lapsOf = (answers: Answers) =>
    tracks.map((track, t) => {
      const laps = sheets.map((pair, i) => lapOf(figuresAt(answers, series[t]!, i), pair));
      const best = bestOf(laps, still.noise);
      const named = namedPair(sheets, best, still.fitted);
      const rival = rivalPair(laps, best.ties, named, still.fitted);
      return { track, laps, ...best, named, rival, edge: edgeOf(sheets, best) };
    });
  const lossesOf = (found: ReturnType<typeof lapsOf>) =>
    found.map(({ laps, best }) =>
      laps.map((lap) => (lap == null || best < 0 ? null : lap.time - laps[best]!.time)),
    );

  /** Draws of what is not known, the same at all the pairs that are compared; undefined while these are not known. */
  const drawing = (answers: Answers) => {
    const found = lapsOf(answers);
    if (found.some(({ laps }) => laps.includes(undefined))) return undefined;
    const compromise = compromiseOf(found, lossesOf(found), sheets, still)?.pair ?? -1;
    const tried = found.flatMap(({ track, best, named, rival }, t) =>
      [...new Set([best, named, rival, compromise])]
        .filter((pair) => pair >= 0)
        .map((pair) => ({ t, pair, track })),
    );
    const { requests: asked, series: at } = seriesOf(
      tried.map(({ t, pair, track }) => ({
        of: { ...lap(track), changes: [fitting(id, hand.pairs[pair]!)] },
        variants: variants[t]!,
      })),
      requests.length,
    );
    const drawn = (t: number, pair: number): Float64Array | null => {
      const k = tried.findIndex((one) => one.t === t && one.pair === pair);
      return k < 0 ? null : drawnFigure(answers, at[k]!, 'lap time');
    };
    return { requests: asked, drawn };
  };

  // Follows from the first round alone, and is asked for again with every answer of the second.
  let boxes: ReturnType<typeof bestBoxes> | undefined;
  const combine = (answers: Answers): TeethResult => {
    const found = lapsOf(answers);
    const losses = lossesOf(found);
    const drawn = drawing(answers)?.drawn ?? (() => null);
    const between = (t: number, a: number, b: number) => drawnDifference(drawn(t, a), drawn(t, b));
    const done = found.reduce((n, t) => n + t.laps.filter((one) => one !== undefined).length, 0);
    const carried = done === still.total ? worthCarrying(hand, losses, still.cover, still.fitted) : null;
    const compromise = compromiseOf(found, losses, sheets, still);
    if (done === still.total && tracks.length > 1)
      boxes ??= bestBoxes(hand, losses, still.noise, still.fitted);
    return {
      ...still,
      tracks: found.map(
        ({ rival, ...on }, t): TeethOnTrack => ({
          ...on,
          spread: spreadOfLaps(drawn(t, on.named)),
          rival:
            rival < 0
              ? null
              : comparedWith(
                  rival,
                  on.laps[rival]!.time - on.laps[on.named]!.time,
                  between(t, on.named, rival),
                  still.noise,
                ),
        }),
      ),
      compromise:
        compromise === null
          ? null
          : {
              ...compromise,
              spreads: found.map(({ best }, t) => between(t, best, compromise.pair)?.spread ?? null),
              againstFitted:
                still.fitted < 0 || still.fitted === compromise.pair
                  ? null
                  : found.map(({ laps }, t) => {
                      const [own, other] = [laps[compromise.pair], laps[still.fitted]];
                      return own == null || other == null
                        ? null
                        : comparedWith(
                            still.fitted,
                            other.time - own.time,
                            between(t, compromise.pair, still.fitted),
                            still.noise,
                          );
                    }),
            },
      carry: carried === null ? null : { ...carried, ...oneChain(sheets, carried.pairs) },
      boxes: boxes?.boxes ?? [],
      boxesUpTo: boxes?.upTo ?? 0,
      done,
    };
  };
  return {
    study: {
      requests,
      more: (answers) => (answers.length > requests.length ? [] : (drawing(answers)?.requests ?? [])),
      combine,
    },
    problems: told,
  };
}

function lapOf(figures: Figures | null | undefined, { chain }: PairSheet): PairLap | null | undefined {
  if (figures === undefined || figures === null) return figures;
  const topSpeed = figure(figures, 'top speed') ?? 0;
  return {
    time: figure(figures, 'lap time') ?? 0,
    topSpeed,
    shifts: figure(figures, 'shifts'),
    limiterTime: figure(figures, 'time on the limiter') ?? 0,
    limiterBeforeBraking: figure(figures, 'limiter before braking') ?? 0,
    chainSpeed: topSpeed * chain.speedPerRoadSpeed,
  };
}
