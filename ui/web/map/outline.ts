/**
 * A course as path data of SVG: its line and the ground on both sides of it, in no more points than the eye needs.
 *
 * In: a course fitted into a picture (px), its edges (m). Out: path data to a tenth of a pixel. Pure.
 */
import type { Fitted } from './fit.ts';

/** From the line to the edges of the ground at each station, m. */
export interface Edges {
  readonly left: ArrayLike<number>;
  readonly right: ArrayLike<number>;
}

/** px the ground is drawn wide at the least: the line and its labels stand on it. */
const LEAST_WIDTH = 12;
/** px a chord may leave the course, its outer edge included: what the tenths of the path data leave anyway. */
const UNSEEN = 0.1;
/** px between the points of a path at most, so that edges that come together or part are followed. */
const LONGEST_CHORD = 15;

/**
 * The stations from one to another, both included, whose chords cannot be told from the course itself.
 *
 * An arc of length L that turns by A leaves its chord by L A / 8, and by L A / 4 at the most where all of the turn is
 * in one place; of the outer edge L is longer by A times its distance. Stations at one place, where the ground changes,
 * are kept both.
 */
export function stationsShown({ x, y, scale }: Fitted, edges: Edges, from: number, to: number): number[] {
  const shown = [from];
  let length = 0;
  let turned = 0;
  for (let i = from + 1; i < to; i++) {
    const [ax, ay] = [x[i]! - x[i - 1]!, y[i]! - y[i - 1]!];
    const [bx, by] = [x[i + 1]! - x[i]!, y[i + 1]! - y[i]!];
    const before = Math.sqrt(ax * ax + ay * ay);
    const after = Math.sqrt(bx * bx + by * by);
    const isJump = before === 0 || after === 0;
    const turn = isJump ? 0 : Math.abs(Math.atan2(ax * by - ay * bx, ax * bx + ay * by));
    const reach = scale * Math.max(edges.left[i]!, edges.right[i]!);
    length += before;
    turned += turn;
    const whole = length + after + reach * turned;
    if (!isJump && (whole * turned) / 4 < UNSEEN && whole < LONGEST_CHORD) continue;
    shown.push(i);
    length = 0;
    turned = turn;
  }
  if (to > from) shown.push(to);
  return shown;
}

/** The line through stations. */
export function linePath({ x, y }: Fitted, stations: readonly number[], closed: boolean): string {
  let path = '';
  for (const i of stations) path += `${path === '' ? 'M' : 'L'}${tenths(x[i]!)} ${tenths(y[i]!)}`;
  return closed ? `${path}Z` : path;
}

/** The ground along stations, as wide as it is to each side: left edge there, right edge back. */
export function groundOutline({ x, y, scale }: Fitted, edges: Edges, stations: readonly number[]): string {
  let there = '';
  let back = '';
  const last = x.length - 1;
  for (const i of stations) {
    const before = Math.max(0, i - 1);
    const after = Math.min(last, i + 1);
    const dx = x[after]! - x[before]!;
    const dy = y[after]! - y[before]!;
    const along = Math.sqrt(dx * dx + dy * dy) || 1;
    const wide = scale * (edges.left[i]! + edges.right[i]!);
    const perMetre = scale * Math.max(1, LEAST_WIDTH / Math.max(wide, 1e-9));
    const [l, r] = [(perMetre * edges.left[i]!) / along, (perMetre * edges.right[i]!) / along];
    there += `${there === '' ? 'M' : 'L'}${tenths(x[i]! + l * dy)} ${tenths(y[i]! - l * dx)}`;
    back = `L${tenths(x[i]! - r * dy)} ${tenths(y[i]! + r * dx)}${back}`;
  }
  return `${there}${back}Z`;
}

/** To a tenth of a pixel; by whole numbers, which are written twice as fast as `toFixed` writes. */
function tenths(pixels: number): string {
  const n = Math.round(10 * pixels);
  if (!(Math.abs(n) < 1e9)) return pixels.toFixed(1);
  const whole = Math.trunc(n / 10);
  const tenth = Math.abs(n % 10);
  return n < 0 && whole === 0 ? `-0.${tenth}` : `${whole}.${tenth}`;
}
