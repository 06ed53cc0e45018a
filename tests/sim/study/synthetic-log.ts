/** Logs of a kart whose truth is known: runs through the public path, sampled, with noise from a seed. */
import type {
  AccelerationResult,
  BrakeResult,
  DriveLog,
  LapResult,
  Project,
  Request,
} from '../../../sim/index.ts';
import { perform } from '../../../sim/index.ts';
import { normalQuantile } from '../../../sim/numerics/normal.ts';
import { hash } from '../../../sim/numerics/sobol.ts';

export interface Outing {
  readonly kart: string;
  readonly day: string;
  readonly surface: string;
  readonly pulls?: number;
  readonly rolls?: number;
  readonly stops?: number;
  /** In gear, throttle closed */
  readonly engineBraking?: number;
  readonly laps?: { readonly track: string; readonly count: number };
  /** m/s */
  readonly top?: number;
  readonly rollTo?: number;
  /** Of the ground along every roll, rise over run */
  readonly grade?: number;
}

interface Piece {
  readonly time: ArrayLike<number>;
  readonly speed: ArrayLike<number>;
  readonly engineSpeed: ArrayLike<number>;
  readonly x?: ArrayLike<number>;
  readonly y?: ArrayLike<number>;
  readonly lap?: number;
}

/** `rate` samples a second, speeds off by `noise` m/s (one standard deviation). */
export function syntheticLog(
  truth: Project,
  outing: Outing,
  {
    rate = 10,
    noise = 0.1,
    seed = 1,
  }: { readonly rate?: number; readonly noise?: number; readonly seed?: number } = {},
): DriveLog {
  const time: number[] = [];
  const speed: number[] = [];
  const engineSpeed: number[] = [];
  const x: number[] = [];
  const y: number[] = [];
  const lap: number[] = [];
  let start = 0;
  for (const piece of piecesOf(truth, outing)) {
    const last = piece.time.length - 1;
    const duration = piece.time[last]!;
    // Clocks of loggers know nothing of when a run begins.
    for (let k = Math.ceil(start * rate); k / rate < start + duration; k++) {
      const t = k / rate;
      const at = (column: ArrayLike<number>) => between(piece.time, column, t - start);
      time.push(t);
      const error = noise === 0 ? 0 : noise * normalQuantile((hash(seed, k) + 0.5) / 2 ** 32);
      speed.push(Math.max(0, at(piece.speed) + error));
      engineSpeed.push(at(piece.engineSpeed));
      x.push(piece.x === undefined ? 0 : at(piece.x));
      y.push(piece.y === undefined ? 0 : at(piece.y));
      lap.push(piece.lap ?? 0);
    }
    start += duration;
  }
  const log = {
    time: Float64Array.from(time, (t) => t - time[0]!),
    speed: Float64Array.from(speed),
    engineSpeed: Float64Array.from(engineSpeed),
  };
  return outing.laps === undefined ? log : { ...log, lap: Float64Array.from(lap) };
}

function piecesOf(truth: Project, outing: Outing): Piece[] {
  const { kart, day, surface, top = 25, rollTo = 2 } = outing;
  const who = { kart, day, surface };
  const idle = truth.donors[truth.karts[kart]!.donor]!.idle;
  const rest: Piece = { time: [0, 2], speed: [0, 0], engineSpeed: [idle, idle] };
  const pull = (toSpeed: number): Piece => {
    const { columns } = run<AccelerationResult>(truth, { ...who, verb: 'accelerate', options: { toSpeed } });
    return columns;
  };
  const slow = (options: Extract<Request, { verb: 'brake' }>['options']): Piece => {
    const { columns } = run<BrakeResult>(truth, { ...who, verb: 'brake', options });
    return options.engine === 'in gear' ? columns : { ...columns, engineSpeed: columns.time.map(() => idle) };
  };
  const times = <T>(count: number | undefined, make: (k: number) => readonly T[]): T[] =>
    Array.from({ length: count ?? 0 }, (_, k) => make(k)).flat();
  return [
    ...times(outing.pulls, (k) => [
      rest,
      pull(top),
      slow({ fromSpeed: top, toSpeed: 1, brakes: 'held', brakeForce: 600 + 50 * k }),
    ]),
    ...times(outing.rolls, (k) => [
      rest,
      pull(top - k * 0.7),
      slow({ fromSpeed: top - k * 0.7, toSpeed: rollTo, brakes: 'none', grade: outing.grade ?? 0 }),
    ]),
    ...times(outing.stops, (k) => [rest, pull(top - k), slow({ fromSpeed: top - k, brakes: 'threshold' })]),
    ...times(outing.engineBraking, (k) => [
      rest,
      pull(top - 8 - k),
      slow({ fromSpeed: top - 8 - k, toSpeed: 4, brakes: 'none', engine: 'in gear', gear: 2 }),
    ]),
    ...times(outing.laps?.count, (k) => {
      const lap = run<LapResult>(truth, { verb: 'lap', kart, day, track: outing.laps!.track });
      return [{ ...lap.columns, lap: k + 1 }];
    }),
    rest,
  ];
}

function run<R>(project: Project, request: Request): R {
  const answer = perform(project, request);
  if (answer.result === undefined) throw new Error(answer.problems.map((p) => p.message).join('; '));
  return answer.result as R;
}

function between(time: ArrayLike<number>, column: ArrayLike<number>, t: number): number {
  let low = 0;
  let high = time.length - 1;
  if (t >= time[high]!) return column[high]!;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (time[middle]! <= t) low = middle;
    else high = middle;
  }
  const h = time[high]! - time[low]!;
  return column[low]! + (h > 0 ? ((column[high]! - column[low]!) * (t - time[low]!)) / h : 0);
}
