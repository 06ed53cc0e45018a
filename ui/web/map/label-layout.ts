/**
 * Puts labels beside the line where they cover neither the line nor one another. Pure.
 *
 * In: anchors by falling rank, with their text. Out: the labels that fit, with their place; the rest is dropped.
 */
import type { Fitted, Size } from './fit.ts';
import type { PlaceLabel } from './places.ts';

export interface LaidLabel extends PlaceLabel {
  /** Middle of the text, px. */
  readonly x: number;
  readonly y: number;
}

interface Box {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** px; a digit of the 12 px label font is about 7 px wide. */
const CHARACTER = 7;
const LINE = 15;
const CLEAR = 7;
const DISTANCES = [19, 27, 37];

export function layLabels(labels: readonly PlaceLabel[], line: Fitted, size: Size): LaidLabel[] {
  const crowd = crowdOf(line);
  const taken: Box[] = [];
  const laid: LaidLabel[] = [];
  for (const label of labels) {
    const found = candidates(label, line).find((place) => {
      const box = boxOf(place.x, place.y, label.text);
      return (
        box.left >= 2 &&
        box.top >= 2 &&
        box.right <= size.width - 2 &&
        box.bottom <= size.height - 2 &&
        !taken.some((other) => overlap(box, other)) &&
        !crowd(box)
      );
    });
    if (found === undefined) continue;
    taken.push(boxOf(found.x, found.y, label.text));
    laid.push({ ...label, ...found });
  }
  return laid;
}

/** Places on either side of the line, near ones first. */
function candidates(label: PlaceLabel, { x, y }: Fitted): { x: number; y: number }[] {
  const i = label.station;
  const before = Math.max(0, i - 3);
  const after = Math.min(x.length - 1, i + 3);
  const along = Math.atan2(y[after]! - y[before]!, x[after]! - x[before]!);
  const half = (label.text.length * CHARACTER) / 2;
  return DISTANCES.flatMap((distance) =>
    [90, -90, 60, -60, 120, -120].map((turn) => {
      const angle = along + (turn * Math.PI) / 180;
      // Wide texts need more room sideways than upwards.
      const away = distance + Math.abs(Math.cos(angle)) * Math.max(0, half - 6);
      return { x: x[i]! + away * Math.cos(angle), y: y[i]! + away * Math.sin(angle) };
    }),
  );
}

function boxOf(x: number, y: number, text: string): Box {
  const half = (text.length * CHARACTER) / 2;
  return { left: x - half, right: x + half, top: y - LINE / 2, bottom: y + LINE / 2 };
}

function overlap(a: Box, b: Box): boolean {
  return a.left < b.right + 3 && b.left < a.right + 3 && a.top < b.bottom + 1 && b.top < a.bottom + 1;
}

/** True where a box would cover the line; points are kept in a coarse grid. */
function crowdOf({ x, y }: Fitted): (box: Box) => boolean {
  const cell = 24;
  const grid = new Map<string, number[]>();
  for (let i = 0; i < x.length; i++) {
    const key = `${Math.floor(x[i]! / cell)},${Math.floor(y[i]! / cell)}`;
    const held = grid.get(key);
    if (held === undefined) grid.set(key, [i]);
    else held.push(i);
  }
  return (box) => {
    for (let cx = Math.floor((box.left - CLEAR) / cell); cx <= Math.floor((box.right + CLEAR) / cell); cx++)
      for (let cy = Math.floor((box.top - CLEAR) / cell); cy <= Math.floor((box.bottom + CLEAR) / cell); cy++)
        for (const i of grid.get(`${cx},${cy}`) ?? [])
          if (
            x[i]! > box.left - CLEAR &&
            x[i]! < box.right + CLEAR &&
            y[i]! > box.top - CLEAR &&
            y[i]! < box.bottom + CLEAR
          )
            return true;
    return false;
  };
}
