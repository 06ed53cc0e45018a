/**
 * What is being looked at: kart, track, day, the ground of the straight-line runs, the stop.
 *
 * Belongs to the session: it is not part of the project and not undone. In: a project. Out: a choice that names
 * only things the project has.
 */
import type { LineKind, Project } from '../../../sim/index.ts';
import { LINE_KINDS, lineDriven } from '../../../sim/index.ts';

export interface Choice {
  readonly kart: string;
  readonly track: string;
  readonly day: string;
  /** Ground of the straight-line runs; 'track': the main surface of the track. */
  readonly ground: string;
  /** Second ground the stop is compared on; 'other': one of another kind. */
  readonly otherGround: string;
  /** Gear at the start of the stop in gear, counted from 1; 0: the one a driver would be in. */
  readonly gear: number;
  /** m/s */
  readonly stopFrom: number;
  /** Radius of the bend for sliding and tipping, m */
  readonly radius: number;
  /** Which line of the track the lap drives; one that is not kept with the track is not driven. */
  readonly line: LineKind;
}

/** 60 km/h: about what these karts reach before a hard stop. */
const STOP_FROM = 60 / 3.6;
/** m; a second-gear bend on a small track (common practice, no source). */
const RADIUS = 12;

export function firstChoice(project: Project): Choice {
  return {
    kart: Object.keys(project.karts)[0] ?? '',
    track: Object.keys(project.tracks)[0] ?? '',
    day: Object.keys(project.days)[0] ?? '',
    ground: 'track',
    otherGround: 'other',
    gear: 0,
    stopFrom: STOP_FROM,
    radius: RADIUS,
    line: 'as drawn',
  };
}

/** A choice kept from an earlier visit, as far as the project still has what it names. */
export function keptChoice(kept: unknown, project: Project): Choice {
  const first = firstChoice(project);
  if (typeof kept !== 'object' || kept === null) return first;
  const old = kept as Record<string, unknown>;
  const entry = (key: keyof Choice, among: object): string => {
    const id = old[key];
    return typeof id === 'string' && Object.hasOwn(among, id) ? id : String(first[key]);
  };
  const ground = (key: 'ground' | 'otherGround', free: string): string =>
    old[key] === free ? free : entry(key, project.surfaces);
  const number = (key: 'gear' | 'stopFrom' | 'radius', most: number): number => {
    const value = old[key];
    return typeof value === 'number' && value >= 0 && value <= most ? value : first[key];
  };
  return {
    kart: entry('kart', project.karts),
    track: entry('track', project.tracks),
    day: entry('day', project.days),
    ground: ground('ground', 'track'),
    otherGround: ground('otherGround', 'other'),
    gear: Math.round(number('gear', 12)),
    stopFrom: number('stopFrom', 100),
    radius: number('radius', 1000),
    line: LINE_KINDS.find((kind) => kind === old['line']) ?? 'as drawn',
  };
}

/** The id of the surface the straight-line runs are on. */
export function groundOf(choice: Choice, project: Project): string {
  return choice.ground === 'track' ? (project.tracks[choice.track]?.surface ?? '') : choice.ground;
}

/** The id of the surface the stop is compared on: loose against hard, hard against loose. */
export function otherGroundOf(choice: Choice, project: Project): string {
  if (choice.otherGround !== 'other') return choice.otherGround;
  const here = groundOf(choice, project);
  const isHard = (id: string) => project.surfaces[id]?.kind === 'hard';
  const others = groundsOf(choice.kart, project).filter((id) => id !== here);
  const loose = others.find((id) => project.surfaces[id]?.kind === 'loose');
  const opposite = isHard(here) ? (loose ?? others.find((id) => !isHard(id))) : others.find(isHard);
  return opposite ?? others[0] ?? here;
}

/** Surfaces for which both tyres of a kart have figures. */
export function groundsOf(kart: string, project: Project): readonly string[] {
  const tyres = project.karts[kart]?.tyres;
  if (tyres === undefined) return [];
  const front = project.tyres[tyres.front]?.grip ?? {};
  const rear = project.tyres[tyres.rear]?.grip ?? {};
  return Object.keys(project.surfaces).filter((id) => Object.hasOwn(front, id) && Object.hasOwn(rear, id));
}

/** The line the lap drives: the one chosen where the track keeps it, else the one drawn. */
export function lineOf(choice: Choice, project: Project): LineKind {
  return lineDriven(project, choice, choice.track);
}
