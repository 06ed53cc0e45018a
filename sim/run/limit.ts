/** What holds the kart back at a point of a run: one word per station, shared by every run and plot. */

export const LIMITS = [
  'power',
  'front grip',
  'rear grip',
  'tip',
  'front lift',
  'rear lift',
  'rev limiter',
  'shift',
  'clutch',
  'front brakes',
  'rear brakes',
  'posted speed',
] as const;

export type Limit = (typeof LIMITS)[number];

/** Index of a limit in LIMITS, for columns of small integers. */
export const LIMIT = {
  power: 0,
  frontGrip: 1,
  rearGrip: 2,
  tip: 3,
  frontLift: 4,
  rearLift: 5,
  revLimiter: 6,
  shift: 7,
  clutch: 8,
  frontBrakes: 9,
  rearBrakes: 10,
  postedSpeed: 11,
} as const;

/** One plain sentence per limit, for tables and tooltips. */
export const LIMIT_MEANING: Readonly<Record<Limit, string>> = {
  power: 'the engine gives all it has',
  'front grip': 'the front tyres are at their limit',
  'rear grip': 'the rear tyres are at their limit',
  tip: 'the inner wheels are about to lift: the kart would roll over',
  'front lift': 'the front wheels are about to lift',
  'rear lift': 'the rear wheels are about to lift',
  'rev limiter': 'the engine is at its limiter',
  shift: 'a shift interrupts the drive',
  clutch: 'the clutch slips',
  'front brakes': 'the front wheels are about to lock at this brake balance',
  'rear brakes': 'the rear wheels are about to lock at this brake balance',
  'posted speed': 'a speed limit of the track',
};
