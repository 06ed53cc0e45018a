/**
 * Steady cornering over radius: the highest speed at each of a row of radii, and what ends it there.
 *
 * In: compiled kart, surface, radii. Out: columns over radius - speed (m/s), lateral acceleration (m/s2), the lateral
 * acceleration at which the inner wheels lift (g), what gives way first. Each point is `runCorner`; level ground.
 */
import type { CompiledKart, SurfacePair } from '../compile/kart.ts';
import type { Problem } from '../project/problem.ts';
import { isBlocking, problem } from '../project/problem.ts';
import { runCorner } from './corner.ts';
import type { Limit } from './limit.ts';
import { LIMITS } from './limit.ts';
import type { Outcome } from './outcome.ts';

export interface CornerCurveOptions {
  /** m, each positive; DEFAULT_RADII where absent */
  readonly radii?: readonly number[];
}

export interface CornerCurveResult {
  readonly kart: string;
  readonly surface: string;
  readonly radius: Float64Array;
  /** m/s; 0 where the tyres hold at any speed looked at */
  readonly speed: Float64Array;
  /** m/s2 */
  readonly lateral: Float64Array;
  /** g */
  readonly tipAt: Float64Array;
  /** Index into `limits`; `limits.length` where nothing gives way at any speed looked at */
  readonly limit: Uint8Array;
  readonly limits: readonly Limit[];
  /** Wheel loads at the limit in the middle radius, N */
  readonly loads: {
    readonly radius: number;
    readonly frontOuter: number;
    readonly frontInner: number;
    readonly rearOuter: number;
    readonly rearInner: number;
  };
}

/** m; from the tightest a small kart turns to a sweeper, closer together where speed changes fastest. */
const DEFAULT_RADII = [3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 80] as const;
const MOST_RADII = 500;

export function runCornerCurve(
  kart: CompiledKart,
  surface: SurfacePair,
  options: CornerCurveOptions = {},
): Outcome<CornerCurveResult> {
  const radii = options.radii ?? DEFAULT_RADII.filter((radius) => radius >= kart.turningRadius);
  if (radii.length === 0 || radii.length > MOST_RADII)
    return {
      status: 'problems',
      diagnostics: {},
      problems: [
        problem('radii', 'options', 'a row of radii is needed', {
          value: `${radii.length} of them`,
          limit: `1 to ${MOST_RADII}`,
        }),
      ],
    };
  const n = radii.length;
  const columns = {
    radius: Float64Array.from(radii),
    speed: new Float64Array(n),
    lateral: new Float64Array(n),
    tipAt: new Float64Array(n),
    limit: new Uint8Array(n),
  };
  const problems: Problem[] = [];
  let loads = { radius: 0, frontOuter: 0, frontInner: 0, rearOuter: 0, rearInner: 0 };
  for (const [i, radius] of radii.entries()) {
    const corner = runCorner(kart, surface, { radius });
    if (corner.result === undefined || isBlocking(corner.problems))
      return { status: corner.status, diagnostics: corner.diagnostics, problems: corner.problems };
    const { result } = corner;
    if (i === 0) problems.push(...corner.problems);
    columns.speed[i] = result.speed ?? 0;
    columns.lateral[i] = result.lateralAcceleration;
    columns.tipAt[i] = result.tipAt;
    columns.limit[i] = result.limit === null ? LIMITS.length : LIMITS.indexOf(result.limit);
    if (i === n >> 1) loads = { radius, ...result.loads };
  }
  return {
    status: 'done',
    problems,
    diagnostics: { radii: n },
    result: { kart: kart.name, surface: surface.id, ...columns, limits: LIMITS, loads },
  };
}
