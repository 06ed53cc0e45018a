/**
 * Which questions one state of the page asks the solver, in the order their answers are wanted.
 *
 * In: choice and project. Out: requests by slot; a slot is one place on the page that shows an answer.
 */
import type {
  AccelerationResult,
  BrakeResult,
  KartSheet,
  LapResult,
  Project,
  Request,
  ThrustResult,
} from '../../../sim/index.ts';
import type { Choice } from './choice.ts';
import { groundOf, otherGroundOf } from './choice.ts';

export interface SlotResults {
  readonly lap: LapResult;
  readonly run: AccelerationResult;
  readonly top: ThrustResult;
  readonly sheet: KartSheet;
  readonly stopHereClutch: BrakeResult;
  readonly stopHereGear: BrakeResult;
  readonly stopThereClutch: BrakeResult;
  readonly stopThereGear: BrakeResult;
  /** Both axles at their grip together: the bound that tells the best share. */
  readonly bestHereClutch: BrakeResult;
  readonly bestHereGear: BrakeResult;
  readonly bestThereClutch: BrakeResult;
  readonly bestThereGear: BrakeResult;
}

export type Slot = keyof SlotResults;

export const SLOTS = [
  'lap',
  'run',
  'stopHereClutch',
  'stopHereGear',
  'bestHereClutch',
  'bestHereGear',
  'stopThereClutch',
  'stopThereGear',
  'bestThereClutch',
  'bestThereGear',
  'top',
  'sheet',
] as const satisfies readonly Slot[];

/** The best share is read at the start of the stop: this part of it is enough. */
const FIRST_PART = 0.97;

/** One request per slot, in the order of SLOTS. */
export function requestsFor(choice: Choice, project: Project): Request[] {
  const who = { kart: choice.kart, day: choice.day };
  const here = groundOf(choice, project);
  const there = otherGroundOf(choice, project);
  const stop = (
    surface: string,
    engine: 'clutch in' | 'in gear',
    brakes: 'threshold' | 'ideal',
  ): Request => ({
    ...who,
    verb: 'brake',
    surface,
    options: {
      fromSpeed: choice.stopFrom,
      brakes,
      engine,
      ...(engine === 'in gear' && choice.gear > 0 ? { gear: choice.gear } : {}),
      ...(brakes === 'ideal' ? { toSpeed: FIRST_PART * choice.stopFrom } : {}),
    },
  });
  const bySlot: Record<Slot, Request> = {
    lap: { ...who, verb: 'lap', track: choice.track },
    run: { ...who, verb: 'accelerate', surface: here },
    top: { ...who, verb: 'topspeed', surface: here },
    sheet: { ...who, verb: 'sheet' },
    stopHereClutch: stop(here, 'clutch in', 'threshold'),
    stopHereGear: stop(here, 'in gear', 'threshold'),
    stopThereClutch: stop(there, 'clutch in', 'threshold'),
    stopThereGear: stop(there, 'in gear', 'threshold'),
    bestHereClutch: stop(here, 'clutch in', 'ideal'),
    bestHereGear: stop(here, 'in gear', 'ideal'),
    bestThereClutch: stop(there, 'clutch in', 'ideal'),
    bestThereGear: stop(there, 'in gear', 'ideal'),
  };
  return SLOTS.map((slot) => bySlot[slot]);
}
