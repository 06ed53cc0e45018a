/**
 * The one public path from a project to a number: follow the references, compile, run.
 *
 * In: a validated project and a plain request. Out: an answer that is plain data. Terminal, workers,
 * evidence and tests all come this way. Pure: same project and request, same bits.
 */
import type { CompiledKart, SurfacePair } from '../compile/kart.ts';
import { compileKart, surfaceOf } from '../compile/kart.ts';
import { compileLine } from '../compile/kept-line.ts';
import type { InputChange, KnownPaths } from '../project/changed-inputs.ts';
import { withInputs } from '../project/changed-inputs.ts';
import type { Problem } from '../project/problem.ts';
import { isBlocking, problem } from '../project/problem.ts';
import type { Project } from '../project/schema.ts';
import type { AccelerationOptions, AccelerationResult } from './accelerate.ts';
import { runAcceleration } from './accelerate.ts';
import type { BalanceCurveOptions, BalanceCurveResult } from './balance-curve.ts';
import { runBalanceCurve } from './balance-curve.ts';
import type { BrakeResult } from './brake.ts';
import { runBrake } from './brake.ts';
import type { BrakeInCornerOptions, BrakeInCornerResult } from './brake-in-corner.ts';
import { runBrakeInCorner } from './brake-in-corner.ts';
import type { BrakeOptions } from './braking/brake-options.ts';
import type { ChainOptions, ChainSheet } from './chain-sheet.ts';
import { runChainSheet } from './chain-sheet.ts';
import type { CornerOptions, CornerResult } from './corner.ts';
import { runCorner } from './corner.ts';
import type { CornerCurveOptions, CornerCurveResult } from './corner-curve.ts';
import { runCornerCurve } from './corner-curve.ts';
import {
  accelerationFigures,
  brakeFigures,
  cornerFigures,
  lapFigures,
  sheetFigures,
  thrustFigures,
} from './figures.ts';
import type { KartSheet } from './kart-sheet.ts';
import { runKartSheet } from './kart-sheet.ts';
import { figuresOfLap } from './lap/lap-figures.ts';
import type { LapOptions, LapResult } from './lap.ts';
import { driveLap, runLap } from './lap.ts';
import type { LineOptions, LineResult, runLine } from './line/run-line.ts';
import type { Figures, SweepResult } from './named-figures.ts';
import type { Outcome } from './outcome.ts';
import { refused } from './outcome.ts';
import type { ThrustOptions, ThrustResult } from './thrust.ts';
import { runThrust } from './thrust.ts';

interface Who {
  readonly kart: string;
  readonly day: string;
  /** The run is made as if the file said so. */
  readonly changes?: readonly InputChange[];
}

/** What stands on its own; `figures` asks for the few numbers of one of these. */
export type RunRequest =
  | (Who & { readonly verb: 'sheet' })
  | (Who & { readonly verb: 'chain'; readonly options?: ChainOptions })
  | (Who & { readonly verb: 'accelerate'; readonly surface: string; readonly options?: AccelerationOptions })
  | (Who & { readonly verb: 'topspeed'; readonly surface: string; readonly options?: ThrustOptions })
  | (Who & { readonly verb: 'brake'; readonly surface: string; readonly options: BrakeOptions })
  | (Who & {
      readonly verb: 'balance-curve';
      readonly surface: string;
      readonly options?: BalanceCurveOptions;
    })
  | (Who & {
      readonly verb: 'brake-in-corner';
      readonly surface: string;
      readonly options: BrakeInCornerOptions;
    })
  | (Who & { readonly verb: 'corner'; readonly surface: string; readonly options: CornerOptions })
  | (Who & {
      readonly verb: 'corner-curve';
      readonly surface: string;
      readonly options?: CornerCurveOptions;
    })
  | (Who & {
      readonly verb: 'lap';
      readonly track: string;
      readonly spacing?: number;
      readonly options?: LapOptions;
    })
  | (Who & { readonly verb: 'line'; readonly track: string; readonly options?: LineOptions });

/**
 * The figures of a run under each of a row of changes: many of these make a study. A track that none of them changes is
 * compiled once for all.
 */
export interface SweepRequest {
  readonly verb: 'sweep';
  readonly of: RunRequest;
  readonly variants: readonly (readonly InputChange[])[];
}

export type Request = RunRequest | SweepRequest;

export interface ResultOf {
  readonly sheet: KartSheet;
  readonly chain: ChainSheet;
  readonly accelerate: AccelerationResult;
  readonly topspeed: ThrustResult;
  readonly brake: BrakeResult;
  readonly 'balance-curve': BalanceCurveResult;
  readonly 'brake-in-corner': BrakeInCornerResult;
  readonly corner: CornerResult;
  readonly 'corner-curve': CornerCurveResult;
  readonly lap: LapResult;
  readonly line: LineResult;
  readonly sweep: SweepResult;
}

export type Verb = Request['verb'];
export type AnswerTo<V extends Verb> = Outcome<ResultOf[V]>;
export type Answer = Outcome<ResultOf[Verb]>;

/**
 * A `perform` that remembers the last tracks it compiled, for a caller that asks many laps of the same few, and the last
 * kart whose figures were asked for, for a hand that draws a track: the same answers to the last bit. A track is known by
 * everything written of it, a kart by the objects it is made from. Keeps its own memory.
 */
export function createPerformerWith(lines: LineRunner): (project: Project, request: Request) => Answer {
  const memory = new Map<string, TrackCompiled>();
  const compiled = (project: Project, request: LapRequest): TrackCompiled => {
    const spec = Object.hasOwn(project.tracks, request.track) ? project.tracks[request.track] : undefined;
    const { kart, day, options } = request;
    const line = options?.line === undefined ? '' : JSON.stringify([options.line, kart, day]);
    const key = `${request.track} ${request.spacing} ${line} ${JSON.stringify(spec)}`;
    const known = memory.get(key);
    if (known !== undefined) return known;
    const made = compiledTrackOf(project, request);
    memory.set(key, made);
    for (const oldest of memory.keys()) {
      if (memory.size <= REMEMBERED_TRACKS) break;
      memory.delete(oldest);
    }
    return made;
  };
  const kartOf = lastKart();
  return (project, request) => {
    if (request.verb === 'sweep') return sweep(project, request, lines, compiled, kartOf);
    if (request.verb !== 'lap') return performWith(lines, project, request);
    const asked = asAsked(project, request);
    const answer = runOn(asked, request, lines, compiled(asked, request)) as Outcome<LapResult>;
    return answer.result === undefined ? answer : { ...answer, result: withColumnsOfItsOwn(answer.result) };
  };
}

/** `compileKart`, but for the kart of the call before where nothing but tracks has changed since. */
function lastKart(): typeof compileKart {
  let last: { readonly project: Project; readonly kart: string; readonly day: string } | undefined;
  let made: ReturnType<typeof compileKart> | undefined;
  return (project, { kart, day }) => {
    const isKnown =
      last?.kart === kart &&
      last.day === day &&
      (Object.keys(project) as (keyof Project)[]).every(
        (part) => part === 'tracks' || project[part] === last?.project[part],
      );
    if (made === undefined || !isKnown) made = compileKart(project, { kart, day });
    last = { project, kart, day };
    return made;
  };
}

/** Looks for the lines of a track: much code that few requests need, so that a page can fetch it when one does. */
export type LineRunner = typeof runLine;

/** A track of a kilometre at the default spacing holds about 1 MB. */
const REMEMBERED_TRACKS = 4;

/** An answer is handed over with its memory: what it shares with the compiled track it takes a copy of. */
function withColumnsOfItsOwn(lap: LapResult): LapResult {
  const { distance, x, y, height, width, left, right, surface } = lap.columns;
  return {
    ...lap,
    columns: {
      ...lap.columns,
      distance: distance.slice(),
      x: x.slice(),
      y: y.slice(),
      height: height.slice(),
      width: width.slice(),
      left: left.slice(),
      right: right.slice(),
      surface: surface.slice(),
    },
  };
}

/** Answers a request; never throws for anything a builder may enter. */
export function performWith(lines: LineRunner, project: Project, request: Request): Answer {
  if (request.verb === 'sweep') return sweep(project, request, lines);
  return runOn(asAsked(project, request), request, lines);
}

function asAsked(project: Project, { changes = [] }: RunRequest): Project {
  return changes.length === 0 ? project : withInputs(project, changes);
}

/** `shared`: the track of a lap where it has been compiled already. */
function runOn(project: Project, request: RunRequest, lines: LineRunner, shared?: TrackCompiled): Answer {
  const { kart, problems } = compileKart(project, request);
  if (kart === undefined || isBlocking(problems)) return refused(problems);
  const answer = run(project, kart, request, lines, shared);
  return problems.length === 0 ? answer : { ...answer, problems: [...problems, ...answer.problems] };
}

/** The figures of a run; a lap's without describing it. `shared`: its track where it has been compiled already. */
function figuresOn(
  project: Project,
  request: RunRequest,
  lines: LineRunner,
  shared: TrackCompiled | undefined,
  kartOf: typeof compileKart,
): Outcome<Figures> {
  if (request.verb !== 'lap') {
    const answer = runOn(project, request, lines);
    const { result, ...rest } = answer;
    return result === undefined ? rest : { ...rest, result: figuresOf(request.verb, result as never) };
  }
  const { kart, problems } = kartOf(project, request);
  if (kart === undefined || isBlocking(problems)) return refused(problems);
  const { track, problems: trackProblems } = shared ?? compiledTrackOf(project, request);
  if (track === undefined || isBlocking(trackProblems)) return refused(trackProblems);
  const driven = driveLap(kart, track, request.track, request.options);
  if ('status' in driven) return driven;
  const { diagnostics, lap, solution } = driven;
  return { status: 'done', problems: driven.problems, diagnostics, result: figuresOfLap(lap, solution) };
}

function sweep(
  project: Project,
  { of, variants }: SweepRequest,
  lines: LineRunner,
  compiled: (project: Project, request: LapRequest) => TrackCompiled = compiledTrackOf,
  kartOf = compileKart,
): Outcome<SweepResult> {
  const base = asAsked(project, of);
  const shared = of.verb === 'lap' && !variants.some(changesTracks) ? compiled(base, of) : undefined;
  const figures: (Figures | null)[] = [];
  const refusals: string[] = [];
  const paths: KnownPaths = new Map();
  for (const changes of variants) {
    const { result, problems } = figuresOn(withInputs(base, changes, paths), of, lines, shared, kartOf);
    figures.push(result ?? null);
    refusals.push(
      result === undefined ? (problems.find((p) => p.severity === 'problem')?.message ?? 'failed') : '',
    );
  }
  return {
    status: 'done',
    problems: [],
    diagnostics: { variants: variants.length },
    result: { figures, refusals },
  };
}

function changesTracks(changes: readonly InputChange[]): boolean {
  return changes.some(({ path }) => path.startsWith('tracks.') || path.startsWith('surfaces.'));
}

/** The few numbers a builder compares, out of a run's result. */
export function figuresOf<V extends RunRequest['verb']>(verb: V, result: ResultOf[V]): Figures {
  return FIGURES[verb](result);
}

const FIGURES: { readonly [V in RunRequest['verb']]: (result: ResultOf[V]) => Figures } = {
  sheet: sheetFigures,
  chain: () => ({}),
  accelerate: accelerationFigures,
  topspeed: thrustFigures,
  brake: brakeFigures,
  'balance-curve': () => ({}),
  'brake-in-corner': () => ({}),
  corner: cornerFigures,
  'corner-curve': () => ({}),
  lap: lapFigures,
  line: () => ({}),
};

function run(
  project: Project,
  kart: CompiledKart,
  request: RunRequest,
  lines: LineRunner,
  shared?: TrackCompiled,
): Answer {
  switch (request.verb) {
    case 'sheet':
      return runKartSheet(kart);
    case 'chain':
      return runChainSheet(project, kart, request.options);
    case 'line':
      return lineOf(project, kart, request, lines);
    case 'lap':
      return lapOf(kart, request, shared ?? compiledTrackOf(project, request));
    case 'accelerate':
      return onSurface(kart, request.surface, (s) => runAcceleration(kart, s, request.options));
    case 'topspeed':
      return onSurface(kart, request.surface, (s) => runThrust(kart, s, request.options));
    case 'brake':
      return onSurface(kart, request.surface, (s) => runBrake(kart, s, request.options));
    case 'balance-curve':
      return onSurface(kart, request.surface, (s) => runBalanceCurve(kart, s, request.options));
    case 'brake-in-corner':
      return onSurface(kart, request.surface, (s) => runBrakeInCorner(kart, s, request.options));
    case 'corner':
      return onSurface(kart, request.surface, (s) => runCorner(kart, s, request.options));
    case 'corner-curve':
      return onSurface(kart, request.surface, (s) => runCornerCurve(kart, s, request.options));
  }
}

function onSurface<R>(kart: CompiledKart, id: string, run: (surface: SurfacePair) => Outcome<R>): Outcome<R> {
  const found = surfaceOf(kart, id);
  return 'severity' in found ? refused([found]) : run(found);
}

type LapRequest = Extract<RunRequest, { verb: 'lap' }>;
type TrackCompiled = ReturnType<typeof compileLine>;

function compiledTrackOf(project: Project, request: LapRequest): TrackCompiled {
  const { track: id, spacing, options } = request;
  const spec = Object.hasOwn(project.tracks, id) ? project.tracks[id] : undefined;
  if (spec === undefined) return { problems: [missingTrack(project, id)] };
  return compileLine(spec, `tracks.${id}`, spacing, options?.line ?? 'as drawn', request);
}

function lapOf(
  kart: CompiledKart,
  request: LapRequest,
  { track, problems }: TrackCompiled,
): Outcome<LapResult> {
  if (track === undefined || isBlocking(problems)) return refused(problems);
  const answer = runLap(kart, track, request.track, request.options);
  return problems.length === 0 ? answer : { ...answer, problems: [...problems, ...answer.problems] };
}

function lineOf(
  project: Project,
  kart: CompiledKart,
  { track: id, day, options }: Extract<RunRequest, { verb: 'line' }>,
  lines: LineRunner,
): Outcome<LineResult> {
  const spec = Object.hasOwn(project.tracks, id) ? project.tracks[id] : undefined;
  if (spec === undefined) return refused([missingTrack(project, id)]);
  return lines({ kart, day, trackId: id, spec }, options);
}

function missingTrack(project: Project, id: string): Problem {
  return problem('missing-reference', 'tracks', `there is no track '${id}'`, {
    value: `'${id}'`,
    limit: Object.keys(project.tracks).slice(0, 12).join(', ') || 'none there',
    remedy: 'name one that is there',
  });
}
