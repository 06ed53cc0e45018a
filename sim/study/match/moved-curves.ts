/**
 * Curves with an input moved, those kept that it leaves as they are: a long roll is most of the work of a match.
 *
 * In: groups of segments, their curves at the fit, and a way to have runs answered with changes on top of the fit. Out: the
 * curves with the changes. Whatever acts on a kart that rolls with its clutch in acts at its highest speed too, so an input
 * that leaves the first metre per second of a roll as it is leaves the roll as it is. Pinned by
 * tests/sim/study/match-inputs.test.ts.
 */
import type { BrakeResult } from '../../run/brake.ts';
import type { Answer, RunRequest } from '../../run/perform.ts';
import type { Curve, CurveGroup } from './curves.ts';
import { curveOf, TOLERANCE } from './curves.ts';
import type { Move } from './from-inputs.ts';

/** Has runs answered with something moved on top of the fit, in order. */
type AskMoved = (move: Move, requests: readonly RunRequest[]) => Promise<readonly (Answer | undefined)[]>;

export function movedCurves(
  groups: readonly CurveGroup[],
  curves: readonly (Curve | undefined)[],
  ask: AskMoved,
): (move: Move) => Promise<readonly (Curve | undefined)[]> {
  const rolls = groups.flatMap((group) => {
    const request = beginningOf(group);
    return request === undefined ? [] : [{ group, request }];
  });
  const begin = (move: Move) =>
    ask(
      move,
      rolls.map(({ request }) => request),
    );
  let unmoved: ReturnType<AskMoved> | undefined;
  return async (move) => {
    unmoved ??= begin({ changes: [] });
    const [was, is] = [await unmoved, await begin(move)];
    const staying = new Set(
      rolls.filter((_, k) => beginAlike(was[k], is[k])).map(({ group }): CurveGroup => group),
    );
    const moving = groups.filter((group) => !staying.has(group));
    const answers = await ask(
      move,
      moving.map(({ request }) => request),
    );
    return groups.map((group, k) =>
      staying.has(group) ? curves[k] : curveOf(group, answers[moving.indexOf(group)]),
    );
  };
}

/** A request on ground with a slope along the run. */
export function onGrade(request: RunRequest, grade: number | undefined): RunRequest {
  if (grade === undefined) return request;
  if (request.verb === 'brake') return { ...request, options: { ...request.options, grade } };
  return request.verb === 'accelerate' ? { ...request, options: { ...request.options, grade } } : request;
}

/** Undefined for runs other than rolling out: they are short. */
export function beginningOf({ request, segments }: CurveGroup): RunRequest | undefined {
  if (segments[0]?.kind !== 'rolling out' || request.verb !== 'brake') return undefined;
  const { options } = request;
  const toSpeed = Math.max(options.toSpeed ?? 0, options.fromSpeed - 1);
  return { ...request, options: { ...options, toSpeed } };
}

/** Do two beginnings take the same time, as near as runs are computed? */
export function beginAlike(a: Answer | undefined, b: Answer | undefined): boolean {
  if (a?.result === undefined || b?.result === undefined) return false;
  const [one, other] = [(a.result as BrakeResult).time, (b.result as BrakeResult).time];
  return Math.abs(one - other) <= TOLERANCE * one;
}
