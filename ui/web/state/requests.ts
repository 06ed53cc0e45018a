/**
 * Which runs each view asks the solver for, in the order their answers are wanted.
 *
 * In: choice and project. Out: requests by slot; a slot is one answer a view may show.
 */
import type { LineKind, Project, Request, ResultOf, RunRequest } from '../../../sim/index.ts';
import type { Choice } from './choice.ts';
import { groundOf, lineOf, otherGroundOf } from './choice.ts';
import type { View } from './views.ts';

/** The verb that answers each slot. */
const SLOT_VERBS = {
  lap: 'lap',
  /** The lap while a course is drawn: coarser, so that it follows the hand. Its figures alone, then all of it. */
  drawnTime: 'sweep',
  drawnLap: 'lap',
  run: 'accelerate',
  top: 'topspeed',
  sheet: 'sheet',
  stopHereClutch: 'brake',
  stopHereGear: 'brake',
  stopThereClutch: 'brake',
  stopThereGear: 'brake',
  /** Both axles at their grip together: the bound that tells the best share. */
  bestHereClutch: 'brake',
  bestHereGear: 'brake',
  bestThereClutch: 'brake',
  bestThereGear: 'brake',
  balanceHere: 'balance-curve',
  balanceThere: 'balance-curve',
  corner: 'corner',
  cornersHere: 'corner-curve',
  cornersThere: 'corner-curve',
} as const;

export type Slot = keyof typeof SLOT_VERBS;
/** Slots answered by a single run. */
export type RunSlot = Exclude<Slot, 'drawnTime'>;
export type SlotResults = { readonly [S in Slot]: ResultOf[(typeof SLOT_VERBS)[S]] };

export const SLOTS = Object.keys(SLOT_VERBS) as readonly Slot[];

const STOPS = [
  'stopHereClutch',
  'stopHereGear',
  'bestHereClutch',
  'bestHereGear',
  'stopThereClutch',
  'stopThereGear',
  'bestThereClutch',
  'bestThereGear',
] as const satisfies readonly Slot[];
/** What the sentences beside the brake setting need. */
const SHARES = ['sheet', 'bestHereClutch', 'bestHereGear'] as const satisfies readonly Slot[];

/** The first of each is the answer itself: it is shown before the rest is there, and alone while a hand is at work. */
export const SLOTS_OF: Readonly<Record<View, readonly Slot[]>> = {
  'how-quick': ['lap', ...SHARES],
  'off-the-line': ['run', 'top', 'sheet'],
  stop: [...STOPS, 'balanceHere', 'balanceThere', 'top', 'sheet'],
  'slide-or-tip': ['corner', 'cornersHere', 'cornersThere', 'lap', 'sheet'],
  shift: ['top', 'sheet'],
  teeth: [],
  engine: [],
  unknowns: [],
  match: [],
  rules: [],
  kart: ['sheet', 'top'],
  track: ['drawnTime', 'drawnLap'],
  day: ['sheet'],
  paper: ['lap', 'top', 'sheet', ...STOPS, 'corner'],
  evidence: [],
  project: [],
};

/** m between stations of the lap while drawing: within some milliseconds of the lap at the default spacing. */
const DRAWN_SPACING = 0.5;

export function requestFor(slot: RunSlot, choice: Choice, project: Project): RunRequest;
export function requestFor(slot: Slot, choice: Choice, project: Project): Request;
export function requestFor(slot: Slot, choice: Choice, project: Project): Request {
  const who = { kart: choice.kart, day: choice.day };
  const here = groundOf(choice, project);
  const there = otherGroundOf(choice, project);
  const surface = slot.includes('There') ? there : here;
  switch (slot) {
    case 'lap':
      return { ...who, verb: 'lap', track: choice.track, ...lineOption(choice, project) };
    case 'drawnTime':
      return { verb: 'sweep', of: requestFor('drawnLap', choice, project), variants: [[]] };
    case 'drawnLap':
      return {
        ...who,
        verb: 'lap',
        track: choice.track,
        spacing: DRAWN_SPACING,
        ...lineOption(choice, project),
      };
    case 'run':
      return { ...who, verb: 'accelerate', surface };
    case 'top':
      return { ...who, verb: 'topspeed', surface };
    case 'sheet':
      return { ...who, verb: 'sheet' };
    case 'balanceHere':
    case 'balanceThere':
      return { ...who, verb: 'balance-curve', surface };
    case 'corner':
      return { ...who, verb: 'corner', surface, options: { radius: choice.radius } };
    case 'cornersHere':
    case 'cornersThere':
      return { ...who, verb: 'corner-curve', surface };
    default: {
      const inGear = slot.endsWith('Gear');
      const ideal = slot.startsWith('best');
      return {
        ...who,
        verb: 'brake',
        surface,
        options: {
          fromSpeed: choice.stopFrom,
          brakes: ideal ? 'ideal' : 'threshold',
          engine: inGear ? 'in gear' : 'clutch in',
          ...(inGear && choice.gear > 0 ? { gear: choice.gear } : {}),
        },
      };
    }
  }
}

function lineOption(choice: Choice, project: Project): { options?: { line: LineKind } } {
  const line = lineOf(choice, project);
  return line === 'as drawn' ? {} : { options: { line } };
}
