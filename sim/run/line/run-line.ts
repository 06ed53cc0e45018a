/**
 * The lines of one kart on one track: as drawn, smoothest, fastest - found in slices of bounded work.
 *
 * In: compiled kart, track as written, options, and where an earlier slice stopped. Out: the lines so far with their
 * times, where the fastest gains, what to keep with the track, and the state to go on from. The search runs from the drawn
 * and from the smoothest line on nodes far apart, and goes on from both of what it found on nodes close together; the
 * quickest line met is the answer, so that the fastest is never slower than the other two. A mirrored track has the
 * mirrored lines to the last bit: nothing here knows left from right. Of a track turned, moved or begun elsewhere rounding,
 * or where the nodes lie, decides at which of several lines about as fast the search ends.
 */
import type { CompiledKart } from '../../compile/kart.ts';
import type { LineKind } from '../../compile/kept-line.ts';
import type { FrameStations, LineFrame } from '../../compile/line-frame.ts';
import { frameStations, lineFrame, NODE_SPACING } from '../../compile/line-frame.ts';
import type { LineTrack } from '../../compile/line-track.ts';
import { lineTrack } from '../../compile/line-track.ts';
import type { CompiledTrack } from '../../compile/track.ts';
import { compileTrack, DEFAULT_SPACING, surveyTrack } from '../../compile/track.ts';
import type { Problem } from '../../project/problem.ts';
import { isBlocking, problem } from '../../project/problem.ts';
import type { KeptLineSpec, TrackSpec } from '../../project/schema.ts';
import type { EngineBraking } from '../lap/braking-pass.ts';
import { lapProblem } from '../lap/lap-problem.ts';
import { asDriven, pairKartAndTrack } from '../lap.ts';
import type { LapSolution, LapStart } from '../lap-solver.ts';
import { solveLap } from '../lap-solver.ts';
import type { Outcome } from '../outcome.ts';
import { refused } from '../outcome.ts';
import type { Bounds } from './bounds.ts';
import { boundsOf, drawnIn } from './bounds.ts';
import type { Search, SearchEnd, TimedLine } from './fastest.ts';
import { startSearch, stepSearch } from './fastest.ts';
import type { DrivenLine, Timer } from './line-timer.ts';
import { makeTimer } from './line-timer.ts';
import { madeFor } from './made-for.ts';
import { bentInside, smoothestLine } from './smoothest.ts';

export interface LineOptions {
  /** Flying on closed tracks, standing on open ones, unless said */
  readonly start?: LapStart;
  readonly engineBraking?: EngineBraking;
  /** Kept free to each edge beside half the kart's width, m */
  readonly margin?: number;
  /** Station spacing of the times given, m */
  readonly spacing?: number;
  /** The fastest is left out */
  readonly smoothestOnly?: boolean;
  /** Ends the request after about this many stations of work, with a state to go on from; all of it where left out */
  readonly slice?: number;
  /** Where the slice before stopped */
  readonly from?: LineState;
}

/** Where a search stands; plain data. Only of use for the same kart, day, track and options. */
export interface LineState {
  readonly stage: 'far' | 'near' | 'ended';
  readonly smoothest: Float64Array;
  readonly low: Float64Array;
  readonly high: Float64Array;
  /** From the drawn and from the smoothest line; then one, on the near nodes */
  readonly searches: readonly Search[];
  /** Laps driven so far, at the search's own spacing */
  readonly laps: number;
  /** Times the bounds were drawn in where the line went over between nodes */
  readonly drawnIn: number;
}

export interface LineFound {
  readonly kind: LineKind;
  readonly time: number;
  readonly length: number;
  readonly tightest: number;
  /** Along the drawn line, m: a column of the drawn distance, and the line's offset to the left of it */
  readonly along: Float64Array;
  readonly offset: Float64Array;
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Distance along the line itself, m; time since the start, s; speed, m/s */
  readonly distance: Float64Array;
  readonly clock: Float64Array;
  readonly speed: Float64Array;
}

export interface LineResult {
  readonly track: string;
  readonly kart: string;
  readonly start: LapStart;
  readonly closed: boolean;
  /** As drawn, smoothest and - unless left out - fastest */
  readonly lines: readonly LineFound[];
  /** Time gained by the fastest on the drawn line up to each drawn distance, s */
  readonly gain: { readonly along: Float64Array; readonly seconds: Float64Array };
  /** To keep with the track: `track.lines` */
  readonly keep: readonly KeptLineSpec[];
  readonly finished: boolean;
  /** Share of the work done, about */
  readonly share: number;
  readonly state: LineState;
}

/** Stations of a lap while searching, m: a bend's time is then right to a few thousandths, alike for every line. */
const SEARCH_SPACING = 1.25;
/** A lap of the search stands for so many: with it comes a least of the model. */
const SEARCH_WORK = 4;
const FAR_NODES_PER_RADIUS = 4;
const FAR_SPACING = 2.5;
const LOOKED_SPACING = 0.4;
/** m between the nodes of the first search: few unknowns find the shape, the near ones its edges. */
const FAR_NODES = 7;
/** A tight track has its nodes closer. */
const NODES_PER_RADIUS = 2.5;
const CLOSEST_NODES = 1.25;
const MOST_DRAWN_IN = 8;
/** The searches on far nodes find the shape, roughly. */
const FAR_END: SearchEnd = { leastGain: 1e-3, mostIdle: 1, mostSteps: 24 };
/** The near ones end where steps gain 12 ms in a minute, which no clock tells; the steps are a bound, seldom reached. */
const NEAR_END: SearchEnd = { leastGain: 2e-4, mostIdle: 2, mostSteps: 60 };
/** Of the near steps, those left once the bounds were drawn in. */
const EXTRA_STEPS = 20;
/** For the share done. */
const LIKELY_FAR_STEPS = 12;
const LIKELY_NEAR_STEPS = 20;
const FAR_RHO = 0.2;
const NEAR_RHO = 1;
/** Points of the gain along the track. */
const GAIN_POINTS = 400;

export interface LineSubject {
  readonly kart: CompiledKart;
  readonly day: string;
  readonly trackId: string;
  readonly spec: TrackSpec;
}

export function runLine(subject: LineSubject, options: LineOptions = {}): Outcome<LineResult> {
  const { kart, spec, trackId } = subject;
  const path = `tracks.${trackId}`;
  const drawn = compileTrack(spec, path, options.spacing ?? DEFAULT_SPACING);
  const { survey } = surveyTrack(spec, path);
  if (drawn.track === undefined || survey === undefined || isBlocking(drawn.problems))
    return refused(drawn.problems);
  const start = options.start ?? (spec.closed ? 'flying' : 'standing');
  if (start === 'flying' && !spec.closed)
    return refused([
      problem('needs-closed-track', path, 'a flying lap needs a closed track', {
        remedy: 'start standing or rolling',
      }),
    ]);
  const paired = pairKartAndTrack(kart, drawn.track, trackId);
  const problems: Problem[] = [...drawn.problems, ...paired.problems];
  if (isBlocking(problems)) return refused(problems);
  const margin = options.margin ?? 0;
  const lapOn = (track: CompiledTrack) => {
    const pairs = track.surfaces.map((id) => paired.pairs.find((pair) => pair.id === id)!);
    const driven = asDriven(kart, track, pairs);
    const lap = lapProblem(driven.kart, track, driven.pairs);
    const solution = solveLap(lap, { start, engineBraking: options.engineBraking ?? 'as it pays' });
    const drivable =
      (solution.status === 'done' || solution.status === 'unsettled') &&
      track.tightest.radius >= Math.min(kart.turningRadius, drawn.track!.tightest.radius);
    return { lap, solution, start, time: drivable ? solution.time : Number.POSITIVE_INFINITY };
  };
  const near = lineFrame(
    survey,
    Math.max(CLOSEST_NODES, Math.min(NODE_SPACING, drawn.track.tightest.radius / NODES_PER_RADIUS)),
  );
  const work = new Work(
    near,
    lineFrame(survey, Math.max(FAR_NODES, drawn.track.tightest.radius / FAR_NODES_PER_RADIUS)),
    kart.width,
    margin,
    lapOn,
    options.spacing ?? DEFAULT_SPACING,
  );
  let state = options.from ?? work.begin(options.smoothestOnly === true);
  const most = options.slice ?? Number.POSITIVE_INFINITY;
  while (state.stage !== 'ended' && work.stations < most) state = work.goOn(state);
  const columns = described(drawn.track, {
    along: drawn.track.distance,
    offset: new Float64Array(drawn.track.count),
  });
  const drawnLap = lapOn(drawn.track);
  if (!Number.isFinite(drawnLap.time) && drawnLap.solution.status !== 'done')
    problems.push(
      problem('cannot-drive', path, 'the kart cannot drive the line as drawn', {
        remedy: 'ask for its lap: it says where',
      }),
    );
  const found: LineFound[] = [lineFound('as drawn', drawnLap, columns)];
  const fine = frameStations(near, options.spacing ?? DEFAULT_SPACING);
  /** Timed as it will be written: a line on the edge of a gear change can tell a tenth of a millimetre. */
  const onLine = (kind: LineKind, offsets: Float64Array): LineFound => {
    const { track } = lineTrack(fine, offsets.map(rounded));
    return lineFound(kind, lapOn(track), described(track, track));
  };
  const smoothest = onLine('smoothest', state.smoothest);
  found.push(smoothest);
  const kept: { kind: 'smoothest' | 'fastest'; time: number; offsets: Float64Array }[] = [
    { kind: 'smoothest', time: smoothest.time, offsets: state.smoothest },
  ];
  if (options.smoothestOnly !== true) {
    // The best so far is an answer at any time: the near search's line, or the better of the far ones.
    const searched = onLine('fastest', work.bestOf(state));
    const candidates = [
      { line: searched, offsets: work.bestOf(state) },
      { line: smoothest, offsets: state.smoothest },
      { line: found[0]!, offsets: new Float64Array(near.count) },
    ];
    let best = candidates[0]!;
    for (const other of candidates) if (other.line.time < best.line.time) best = other;
    found.push(copied(best.line, 'fastest'));
    kept.push({ kind: 'fastest', time: best.line.time, offsets: best.offsets });
  }
  if (found.some((line) => !Number.isFinite(line.time)) && isBlocking(problems))
    return { status: 'failed', problems, diagnostics: { laps: state.laps } };
  const made = madeFor(kart, spec, drawn.track.surfaces);
  const finished = state.stage === 'ended';
  return {
    status: finished ? 'done' : 'partial',
    problems,
    diagnostics: {
      laps: state.laps,
      nodes: near.count,
      stations: work.stations,
      search: endOf(state),
    },
    result: {
      track: spec.name,
      kart: kart.name,
      start,
      closed: spec.closed,
      lines: found.map((line) => ({ ...line, time: Number.isFinite(line.time) ? line.time : 0 })),
      gain: gainOf(found[0]!, found.at(-1)!),
      keep: kept
        .filter((line) => Number.isFinite(line.time))
        .map((line) => ({
          kind: line.kind,
          kart: kart.id,
          day: subject.day,
          time: line.time,
          madeFor: { ...made },
          ...written(near, line.offsets),
        })),
      finished,
      share: finished ? 1 : work.shareOf(state),
      state: copyOf(state),
    },
  };
}

/** The work of one request: frames, stations and timers made once. */
class Work {
  /** Work of this request, in stations driven */
  stations = 0;
  readonly #near: LineFrame;
  readonly #far: LineFrame;
  readonly #kartWidth: number;
  readonly #margin: number;
  readonly #lapOn: (track: LineTrack) => Omit<DrivenLine, 'track' | 'shape'>;
  readonly #spacing: number;
  #nearStations: FrameStations | undefined;
  #finestStations: FrameStations | undefined;
  #lookedStations: FrameStations | undefined;
  #farStations: FrameStations | undefined;
  #laps = 0;

  constructor(
    near: LineFrame,
    far: LineFrame,
    kartWidth: number,
    margin: number,
    lapOn: (track: LineTrack) => Omit<DrivenLine, 'track' | 'shape'>,
    spacing: number,
  ) {
    this.#near = near;
    this.#far = far;
    this.#kartWidth = kartWidth;
    this.#margin = margin;
    this.#lapOn = lapOn;
    this.#spacing = spacing;
  }

  /** Close enough together to see where a line goes over between nodes. */
  get #looked(): FrameStations {
    this.#lookedStations ??= frameStations(this.#near, LOOKED_SPACING);
    return this.#lookedStations;
  }

  get #finest(): FrameStations {
    this.#finestStations ??= frameStations(this.#near, this.#spacing);
    return this.#finestStations;
  }

  get #fine(): FrameStations {
    this.#nearStations ??= frameStations(this.#near, SEARCH_SPACING);
    return this.#nearStations;
  }

  /** The smoothest line, with bounds drawn in where it goes over between nodes; and the two starts. */
  begin(smoothestOnly: boolean): LineState {
    const near = this.#near;
    let bounds = boundsOf(near, this.#kartWidth, this.#margin);
    let smooth = smoothestLine(near, bounds).offsets;
    let times = 0;
    for (; times < MOST_DRAWN_IN; times++) {
      const { track } = lineTrack(this.#looked, smooth);
      const tighter = drawnIn(bounds, this.#looked, track, this.#kartWidth, this.#margin);
      if (tighter === undefined) break;
      bounds = tighter;
      smooth = smoothestLine(near, bounds, smooth).offsets;
    }
    const base = { smoothest: smooth, low: bounds.low, high: bounds.high, laps: 0, drawnIn: 0 };
    if (smoothestOnly) return { ...base, stage: 'ended', searches: [] };
    const timer = this.#farTimer();
    const searches = [
      startSearch(timer, new Float64Array(this.#far.count), FAR_RHO),
      startSearch(timer, onNodes(this.#far, near, smooth), FAR_RHO),
    ];
    return { ...base, stage: 'far', searches, laps: this.#laps };
  }

  goOn(state: LineState): LineState {
    return state.stage === 'far' ? this.#goOnFar(state) : this.#goOnNear(state);
  }

  #goOnFar(state: LineState): LineState {
    const next = state.searches.findIndex((search) => search.ended === 'no');
    if (next >= 0) {
      const searches = state.searches.map((search, i) =>
        i === next ? stepSearch(this.#farTimer(), search, FAR_END) : search,
      );
      return { ...state, searches, laps: state.laps + this.#takeLaps() };
    }
    const timer = this.#nearTimer(state);
    // Of two shapes about as fast the near nodes may turn the order round: both go on, the quicker first.
    const starts = state.searches
      .toSorted((a, b) => a.best.time - b.best.time)
      .map(({ best }) =>
        bentInside(
          this.#near,
          { low: state.low, high: state.high },
          onNodes(this.#near, this.#far, best.offsets),
        ),
      );
    const searches = starts.map((from) => startSearch(timer, from, NEAR_RHO));
    return { ...state, stage: 'near', searches, laps: state.laps + this.#takeLaps() };
  }

  #goOnNear(state: LineState): LineState {
    const next = state.searches.findIndex((search) => search.ended === 'no');
    if (next >= 0) {
      const timer = this.#nearTimer(state);
      const searches = state.searches.map((search, i) =>
        i === next
          ? stepSearch(timer, search, NEAR_END, next > 0 ? state.searches[0]!.best.time : undefined)
          : search,
      );
      return { ...state, searches, laps: state.laps + this.#takeLaps() };
    }
    const search = state.searches.reduce((a, b) => (this.#foundBy(b).time < this.#foundBy(a).time ? b : a));
    const found = this.#foundBy(search).offsets;
    const bounds = { low: state.low, high: state.high };
    const { track } = lineTrack(this.#looked, found);
    const tighter = drawnIn(bounds, this.#looked, track, this.#kartWidth, this.#margin);
    if (tighter === undefined || state.drawnIn >= MOST_DRAWN_IN) return { ...state, stage: 'ended' };
    const inside = { ...state, low: tighter.low, high: tighter.high };
    const again = startSearch(this.#nearTimer(inside), bentInside(this.#near, tighter, found), search.rho);
    return {
      ...inside,
      searches: [{ ...again, steps: NEAR_END.mostSteps - EXTRA_STEPS }],
      drawnIn: state.drawnIn + 1,
      laps: state.laps + this.#takeLaps(),
    };
  }

  /** The quickest line of a near search, judged as the answer is. */
  #foundBy({ judged, best }: Search): TimedLine {
    return Number.isFinite(judged.time) ? judged : { offsets: best.offsets, time: this.#judge(best.offsets) };
  }

  readonly #judge = (offsets: Float64Array): number => {
    // As it will be written: where a gear change hangs on a tenth of a millimetre, that is another time.
    const { track } = lineTrack(this.#finest, offsets.map(rounded));
    this.#laps += 1;
    this.stations += track.count;
    return this.#lapOn(track).time;
  };

  /** The offsets on the near nodes of the quickest line searched so far, inside the bounds. */
  bestOf(state: LineState): Float64Array {
    const { searches, stage } = state;
    if (!searches.some(({ best }) => Number.isFinite(best.time))) return state.smoothest;
    const timed = searches.map((search) =>
      Number.isFinite(search.judged.time) ? search.judged : search.best,
    );
    const { offsets } = timed.reduce((a, b) => (b.time < a.time ? b : a));
    return bentInside(
      this.#near,
      { low: state.low, high: state.high },
      stage === 'far' ? onNodes(this.#near, this.#far, offsets) : offsets,
    );
  }

  /** By the steps that searches usually take; it never goes back. */
  shareOf(state: LineState): number {
    const share = (likely: number) =>
      state.searches.reduce((sum, s) => sum + (s.ended === 'no' ? Math.min(1, s.steps / likely) : 1), 0) /
      Math.max(1, state.searches.length);
    if (state.stage === 'far') return 0.2 * share(LIKELY_FAR_STEPS);
    return state.drawnIn === 0 ? 0.2 + 0.7 * share(LIKELY_NEAR_STEPS) : 0.95;
  }

  #farTimer(): Timer {
    this.#farStations ??= frameStations(this.#far, FAR_SPACING);
    return this.#timer(
      this.#far,
      this.#farStations,
      boundsOf(this.#far, this.#kartWidth, this.#margin, true),
    );
  }

  #nearTimer({ low, high }: LineState): Timer {
    return this.#timer(this.#near, this.#fine, { low, high });
  }

  readonly #timers = new Map<LineFrame, Timer>();

  #timer(frame: LineFrame, stations: FrameStations, bounds: Bounds): Timer {
    const known = this.#timers.get(frame);
    if (known !== undefined) return { ...known, bounds };
    const timer = makeTimer(
      frame,
      stations,
      bounds,
      (track) => {
        this.#laps += 1;
        this.stations += SEARCH_WORK * track.count;
        return this.#lapOn(track);
      },
      frame === this.#near ? this.#judge : undefined,
    );
    this.#timers.set(frame, timer);
    return timer;
  }

  #takeLaps(): number {
    const laps = this.#laps;
    this.#laps = 0;
    return laps;
  }
}

/**
 * Offsets of a line on the nodes of another frame of the same track, read off its curve: where the drawn line goes from
 * straight to arc, smooth offsets are no smooth line.
 */
function onNodes(to: LineFrame, from: LineFrame, offsets: Float64Array): Float64Array {
  const px = from.x.map((x, i) => x + offsets[i]! * from.normalX[i]!);
  const py = from.y.map((y, i) => y + offsets[i]! * from.normalY[i]!);
  const mx = from.spline.bends(px);
  const my = from.spline.bends(py);
  const spans = from.spline.h.length;
  const whole = from.distance[spans]!;
  const at = (distance: number) => {
    const s = from.closed ? distance - whole * Math.floor(distance / whole) : distance;
    let low = 0;
    let high = spans;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (from.distance[middle]! <= s) low = middle;
      else high = middle;
    }
    const j = low + 1 < from.count ? low + 1 : 0;
    const h = from.spline.h[low]!;
    const b = (s - from.distance[low]!) / h;
    const a = 1 - b;
    const ca = (a * a * a - a) * ((h * h) / 6);
    const cb = (b * b * b - b) * ((h * h) / 6);
    return {
      x: a * px[low]! + b * px[j]! + (ca * mx[low]! + cb * mx[j]!),
      y: a * py[low]! + b * py[j]! + (ca * my[low]! + cb * my[j]!),
      dx:
        (px[j]! - px[low]!) / h +
        ((-(3 * a * a - 1) * h) / 6) * mx[low]! +
        ((3 * b * b - 1) * h * mx[j]!) / 6,
      dy:
        (py[j]! - py[low]!) / h +
        ((-(3 * a * a - 1) * h) / 6) * my[low]! +
        ((3 * b * b - 1) * h * my[j]!) / 6,
    };
  };
  return Float64Array.from({ length: to.count }, (_, k) => {
    const nx = to.normalX[k]!;
    const ny = to.normalY[k]!;
    let s = to.distance[k]!;
    let p = at(s);
    // Where the curve crosses the normal of the node, which is beside where it has the node's distance.
    for (let n = 0; n < CROSSINGS; n++) {
      const forward = p.dx * ny - p.dy * nx;
      const missed = (p.x - to.x[k]!) * ny - (p.y - to.y[k]!) * nx;
      if (!(forward > LEAST_FORWARD)) break;
      s -= missed / forward;
      if (!from.closed) s = Math.min(Math.max(s, 0), whole);
      p = at(s);
    }
    return (p.x - to.x[k]!) * nx + (p.y - to.y[k]!) * ny;
  });
}

/** Newton's steps to the crossing with a normal: it lies centimetres away. */
const CROSSINGS = 3;
const LEAST_FORWARD = 0.2;

/** How the search for the fastest stands: a bound reached is said. */
function endOf({ stage, searches }: LineState): string {
  if (stage !== 'ended') return 'goes on';
  if (searches.length === 0) return 'left out';
  if (searches.some(({ ended }) => ended === 'most steps'))
    return `stopped at its bound of ${NEAR_END.mostSteps} steps`;
  return searches.every(({ ended }) => ended === 'undrivable') ? 'undrivable' : 'converged';
}

interface Described {
  readonly track: CompiledTrack;
  readonly along: Float64Array;
  readonly offset: Float64Array;
}

const described = (
  track: CompiledTrack,
  { along, offset }: { readonly along: Float64Array; readonly offset: Float64Array },
): Described => ({ track, along, offset });

function lineFound(
  kind: LineKind,
  { time, solution }: { readonly time: number; readonly solution: LapSolution },
  { track, along, offset }: Described,
): LineFound {
  const clock = new Float64Array(track.count);
  // A flying lap is driven from its slowest bend on; its clock starts at the line.
  for (let i = 1; i < track.count; i++) clock[i] = clock[i - 1]! + solution.stepTime[i - 1]!;
  return {
    kind,
    time,
    length: track.length,
    tightest: track.tightest.radius,
    along: along.slice(),
    offset: offset.slice(),
    x: track.x.slice(),
    y: track.y.slice(),
    distance: track.distance.slice(),
    clock,
    speed: solution.squared.map(Math.sqrt),
  };
}

function copied(line: LineFound, kind: LineKind): LineFound {
  const { along, offset, x, y, distance, clock, speed } = line;
  return {
    ...line,
    kind,
    along: along.slice(),
    offset: offset.slice(),
    x: x.slice(),
    y: y.slice(),
    distance: distance.slice(),
    clock: clock.slice(),
    speed: speed.slice(),
  };
}

/** Every answer has arrays of its own: the state goes back to the caller with its memory. */
function copyOf(state: LineState): LineState {
  return {
    ...state,
    smoothest: state.smoothest.slice(),
    low: state.low.slice(),
    high: state.high.slice(),
    searches: state.searches.map((search) => ({
      ...search,
      offsets: search.offsets.slice(),
      best: { offsets: search.best.offsets.slice(), time: search.best.time },
      judged: { offsets: search.judged.offsets.slice(), time: search.judged.time },
    })),
  };
}

function gainOf(slow: LineFound, quick: LineFound): LineResult['gain'] {
  const length = slow.along.at(-1)!;
  const along = Float64Array.from({ length: GAIN_POINTS + 1 }, (_, i) => (length * i) / GAIN_POINTS);
  const seconds = along.map((s) => clockAt(slow, s) - clockAt(quick, s));
  return { along, seconds };
}

function clockAt({ along, clock }: LineFound, s: number): number {
  let low = 0;
  let high = along.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (along[middle]! <= s) low = middle;
    else high = middle;
  }
  const run = along[high]! - along[low]!;
  const part = run > 0 ? (s - along[low]!) / run : 0;
  return clock[low]! + part * (clock[high]! - clock[low]!);
}

/** To a tenth of a millimetre, alike to either side. */
const rounded = (n: number): number => (Math.sign(n) * Math.round(Math.abs(n) * 1e4)) / 1e4;

/** As it is written into a project file, the closing node given again. */
function written(frame: LineFrame, offsets: Float64Array): { distance: number[]; offset: number[] } {
  const offset = Array.from(offsets, rounded);
  if (frame.closed) offset.push(offset[0]!);
  return { distance: Array.from(frame.distance), offset };
}
