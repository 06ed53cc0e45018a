/**
 * Cautions that the answers themselves give cause for, and the ones that always stand.
 *
 * In: results as shown. Out: sentences. Pure.
 */
import type { BrakeResult, LapResult, Problem, Project } from '../../../sim/index.ts';
import { capital } from '../../words/capital.ts';
import { ownerName } from './field-words.ts';
import { list } from './lap-words.ts';
import { metres, percent, seconds } from './numbers.ts';
import { leftInGear } from './stop-words.ts';

/** Tip margin under which a rut or kerb could take the rest (common practice: 10-20 %, no source). */
const THIN_MARGIN = 0.2;

export function lapCautions(lap: LapResult): string[] {
  const tipping = lap.timeAtLimit[lap.limits.indexOf('tip')] ?? 0;
  if (tipping > 0)
    return [
      `It tips before it slides: for ${seconds(tipping)} only the lifting inner wheels hold the speed down. Ruts and kerbs tip it sooner still.`,
    ];
  if (lap.tipMargin < THIN_MARGIN)
    return [
      `Only ${percent(Math.max(0, lap.tipMargin))} in hand before the inner wheels lift, ${metres(lap.tipMarginAt)} from the start; ruts and kerbs are not in that.`,
    ];
  return [];
}

export function stopCautions(stops: readonly { stop: BrakeResult; ground: string }[]): string[] {
  return (['clutch in', 'in gear'] as const).flatMap((engine) => {
    const rear = stops.filter(({ stop }) => stop.engine === engine && stop.firstToLock === 'rear');
    const [first] = rear;
    if (first === undefined) return [];
    const grounds = rear.map(({ ground }) => `on ${ground.toLowerCase()}`);
    const how = engine === 'clutch in' ? 'With the clutch in' : leftInGear(first.stop);
    return [`${how}, the rear wheels lock first ${list(grounds)}: it wants to swap ends.`];
  });
}

/** Warnings that the cautions above say in their own words. */
const SAID_BY_THEMSELVES: readonly string[] = ['tips', 'rear-locks-first'];

/** Of what the engine gives at full throttle: nothing to a stop or a bend at the limit of its tyres. */
const OF_FULL_THROTTLE: readonly string[] = ['sheet-ends-early', 'beyond-correction'];

/**
 * What a run or study has to say of itself though it has an answer, each thing once whatever it is said of; `driven`: the
 * engine drives in it.
 */
export function warningsOf(problems: readonly Problem[], driven: boolean, project: Project): string[] {
  const left = driven ? SAID_BY_THEMSELVES : [...SAID_BY_THEMSELVES, ...OF_FULL_THROTTLE];
  const warnings = problems.filter(({ severity, code }) => severity === 'warning' && !left.includes(code));
  return [...new Set(warnings.map(({ message }) => message))].map((message) => {
    const alike = warnings.filter((one) => one.message === message);
    const [{ limit, remedy }] = alike as [Problem];
    const values = alike.map(({ path, value }) => {
      const owner = alike.length > 1 ? ownerName(path, project) : '';
      return value === undefined ? owner : [owner, value].filter((part) => part !== '').join(': ');
    });
    const figures = [...values, limit].filter((part) => part !== undefined && part !== '').join('; ');
    const what = `${capital(message)}${figures === '' ? '' : ` (${figures})`}.`;
    return remedy === undefined ? what : `${what} ${capital(remedy)}.`;
  });
}

export const STANDING_CAUTION =
  'An estimate, for a closed course with leave to use it. Class rules and the inspector’s word stand over any number here.';

export const LEFT_OUT =
  'One line, driven alike every lap; flat ground unless heights were given; no ruts, kerbs, traffic or tyre warm-up.';

export const ENGINE_CAUTION =
  'Engine braking is not a brake, and no limiter saves an engine from a downshift made too fast.';

export const BELT_ENGINE_CAUTION =
  'Engine braking is not a brake: at low speed the belt lets go, and then nothing of it is left.';

export const TIP_CAUTION =
  'The tip margin knows level, smooth ground only: a rut, a kerb or a caught tyre tips a kart well below it.';

export const OVER_REV_CAUTION =
  'No limiter saves an engine from a downshift made too fast: the wheels drive it. Guard the chain before any of this is tried.';
export const BELT_CAUTION = 'Guard belt and chain before any of this is tried.';
