/** A stop in sentences: how far, which axle reaches its grip first, what share would suit. Pure. */
import type { BalanceResult, BrakeResult } from '../../../sim/index.ts';
import { bestFrontShare, isBeltDrive } from '../../../sim/index.ts';
import { wayWords } from '../../words/brake-balance-words.ts';
import { lengthOf, percent, speed, stopMetres } from './numbers.ts';

export function axleWord(stop: BrakeResult): string {
  if (stop.firstToLock === 'both') return 'both together';
  return stop.firstToLock === 'none' ? 'neither' : `${stop.firstToLock} first`;
}

/** Front share from which on the front reaches its grip first all through the stop; undefined where no share does that. */
export function frontFirstFrom({ columns: { frontBrake, rearBrake } }: BrakeResult): number | undefined {
  let most = 0;
  for (let i = 0; i < frontBrake.length; i++) {
    if (!(rearBrake[i]! > 0)) return undefined;
    most = Math.max(most, frontBrake[i]! / (frontBrake[i]! + rearBrake[i]!));
  }
  return most;
}

export function stopSentence(clutch: BrakeResult, from: number, ground: string, unit: string): string {
  const axle =
    clutch.firstToLock === 'both'
      ? 'both axles reach their grip together'
      : `the ${clutch.firstToLock} axle reaches its grip first`;
  return `From ${speed(from, unit)} on ${ground}, clutch in, braking just short of locking: ${stopMetres(clutch.distance)}; ${axle}.`;
}

/** "Left in gear 2"; of a belt there is nothing to name. */
export function leftInGear({ columns, gearNames }: BrakeResult): string {
  const gear = columns.gear.find((g) => g > 0);
  return gear === undefined || isBeltDrive(gearNames)
    ? 'Left in gear'
    : `Left in gear ${gearNames[gear - 1]}`;
}

/** Both distances to the same decimals, and no difference beside them that rounding sets at odds with them. */
export function engineSentence(clutch: BrakeResult, gear: BrakeResult): string {
  const decimals = Math.min(clutch.distance, gear.distance) < 10 ? 1 : 0;
  const [now, left] = [clutch, gear].map(({ distance }) => lengthOf(distance, decimals));
  const change = now === left ? 'about as long' : `${left} instead of ${now}`;
  return `${leftInGear(gear)} the same stop is ${change}, and ${axleWord(gear)}: the engine brakes the rear only.`;
}

/** False where the engine alone takes all the rear tyres have: then no share of the brakes suits. */
export function isUsable(best: number | undefined): best is number {
  return best !== undefined && best < 0.995;
}

/**
 * The bar's share b that gives a front share of the force, from where both stand now: phi/(1 - phi) goes with b/(1 - b).
 */
function barFor(wanted: number, now: { readonly bar: number; readonly share: number }): number {
  const odds = (part: number): number => part / (1 - part);
  const b = (odds(wanted) * odds(now.bar)) / odds(now.share);
  return b / (1 + b);
}

/** Where the brakes are set: the front share of the force, and of the bar where there is one to set. */
export interface BrakeSetting {
  readonly share: number;
  readonly bar?: number | undefined;
}

/** What the study of every setting found for the same stop. */
export interface TriedSettings {
  readonly best: number;
  /** Undefined where the rear is ahead at any setting. */
  readonly frontFirstFrom: number | undefined;
  /** "clutch in", "in gear 1". */
  readonly way: string;
}

/** The study of every setting as the page holds it. */
export interface SettingsStudy {
  readonly result?: BalanceResult;
  readonly key?: string;
  readonly isOld: boolean;
  readonly state: string;
}

/** What was found: undefined where it has not been made, is not whole, or is of another question or project. */
export function settingsTried(
  study: SettingsStudy,
  revision: number,
  stop: Pick<BalanceResult, 'kart' | 'day' | 'fromSpeed'>,
): BalanceResult | undefined {
  const { result: r } = study;
  if (r === undefined || study.isOld || study.state !== 'done') return undefined;
  if (study.key?.startsWith(`${revision} `) !== true) return undefined;
  return r.kart === stop.kart && r.day === stop.day && r.fromSpeed === stop.fromSpeed ? r : undefined;
}

/** The study's row for a stop: undefined where there is none of that stop. */
export function triedSettings(
  study: SettingsStudy,
  revision: number,
  stop: Parameters<typeof settingsTried>[2] & {
    readonly surface: string;
    /** From 1, 0 for the one a driver would be in; null with the clutch in. */
    readonly gear: number | null;
  },
): TriedSettings | undefined {
  const r = settingsTried(study, revision, stop);
  if (r === undefined) return undefined;
  const gear = stop.gear === 0 ? r.driverGear : stop.gear;
  const on = r.on.find((o) => o.surface === stop.surface && o.gear === gear);
  if (on === undefined || on.band === null) return undefined;
  return {
    best: on.band.best,
    frontFirstFrom: on.frontFirstFrom >= 1 ? undefined : on.frontFirstFrom,
    way: wayWords(gear, r),
  };
}

/** How the brakes are set: the share, and where the bar stands, which is what the knob turns. */
export function setSentence(share: number, bar: number | undefined): string {
  const at = bar === undefined ? '' : `, the balance bar at ${percent(bar)}`;
  return `Set: ${percent(share)} of the braking force in front${at}.`;
}

/**
 * Where the present share stands against the best one with the clutch in; in the bar's own scale where there is a bar.
 * Where every setting has been tried, what was found then.
 */
export function shareSentence(
  set: BrakeSetting,
  best: number | undefined,
  ground: string,
  tried?: TriedSettings,
): string {
  const place = `clutch in, on ${ground}`;
  const wanted = tried?.best ?? best;
  if (!isUsable(wanted)) return `${place}: no share would suit.`;
  const { suits, now, words } = asSet(set, wanted, tried === undefined);
  const does = tried === undefined ? 'would use both axles fully' : 'stops shortest of all settings tried';
  const points = Math.round((suits - now) * 100);
  if (Math.abs(points) <= 1) return `${place}: ${words} ${does}, which is what you have.`;
  const move = `${Math.abs(points)} points ${points > 0 ? 'further forward' : 'further back'}`;
  return `${place}: ${words} ${does}, ${move}.`;
}

/**
 * The same with the engine left in gear. Before every setting has been tried: the share both axles would take on average
 * over the stop, which no one setting follows; after it, the setting that stopped shortest.
 */
export function gearShareSentence(
  set: BrakeSetting,
  best: BrakeResult,
  ground: string,
  tried?: TriedSettings,
): string {
  const place = `${tried?.way ?? 'in gear'}, on ${ground}`;
  if (tried !== undefined) {
    const first =
      tried.frontFirstFrom === undefined
        ? 'the rear comes first at any setting'
        : `from ${asSet(set, tried.frontFirstFrom, false).words} on the front comes first`;
    return `${place}: ${asSet(set, tried.best, false).words} stops shortest of all settings tried; ${first}.`;
  }
  const average = bestFrontShare(best);
  if (!isUsable(average))
    return `${place}: no share would suit; the engine alone takes all the rear tyres have.`;
  const from = frontFirstFrom(best);
  const first = isUsable(from)
    ? `from ${asSet(set, from).words} on the front comes first all the way`
    : 'at first the rear is ahead at any setting';
  return `${place}: ${asSet(set, average).words} is what both axles would take on average over the stop (trying every setting finds which stops shortest); ${first}.`;
}

function asSet(
  { share, bar }: BrakeSetting,
  wanted: number,
  isAbout = true,
): { readonly suits: number; readonly now: number; readonly words: string } {
  const about = isAbout ? 'about ' : '';
  if (bar === undefined || !(bar > 0 && bar < 1 && share > 0 && share < 1))
    return { suits: wanted, now: share, words: `${about}${percent(wanted)}` };
  const suits = barFor(wanted, { bar, share });
  return { suits, now: bar, words: `the bar at ${about}${percent(suits)} (${percent(wanted)} of the force)` };
}
