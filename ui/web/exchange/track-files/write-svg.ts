/**
 * A track as a drawing: the ground in its true width, the line, the start, a scale. One unit is a metre; north is up.
 *
 * In: name and compiled track. Out: SVG text with nothing in it that runs or is fetched. Pure.
 */
import type { CompiledTrack } from '../../../../sim/index.ts';
import { escaped } from './write-xml.ts';

/** m round the track */
const ROOM = 8;
/** m between drawn places, at the least */
const APART = 0.5;

export function svgText(name: string, track: CompiledTrack): string {
  const stations = drawn(track);
  const edge = (side: 1 | -1): string[] =>
    stations.map((i) => {
      const out = side === 1 ? track.left[i]! : -track.right[i]!;
      const heading = track.heading[i]!;
      return at(track.x[i]! - out * Math.sin(heading), track.y[i]! + out * Math.cos(heading));
    });
  const line = stations.map((i) => at(track.x[i]!, track.y[i]!));
  const close = track.closed ? 'Z' : '';
  const [left, right] = [edge(1), edge(-1)];
  const ground = track.closed
    ? `M${left.join('L')}Z M${right.join('L')}Z`
    : `M${[...left, ...right.toReversed()].join('L')}Z`;
  const wide = track.left.reduce((a, b) => Math.max(a, b)) + track.right.reduce((a, b) => Math.max(a, b));
  const [x0, x1] = rangeOf(track.x);
  const [y0, y1] = rangeOf(track.y);
  const size = Math.max(x1 - x0, y1 - y0);
  const letter = Math.max(2, size / 40);
  const room = ROOM + wide;
  const foot = 3 * letter;
  const [width, height] = [x1 - x0 + 2 * room, y1 - y0 + 2 * room + foot];
  const bar = [1000, 500, 200, 100, 50, 20, 10, 5].find((m) => m <= width / 4) ?? 2;
  const barY = -y0 + room + foot / 3;
  const across = `M${left[0]}L${right[0]}`;
  const number = (value: number): string => value.toFixed(2);
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="${number(x0 - room)} ${number(-y1 - room)} ${number(width)} ${number(height)}" font-family="sans-serif" font-size="${number(letter)}">
  <title>${escaped(name)}</title>
  <desc>One unit is a metre, north is up. ${track.closed ? 'Closed' : 'Open'} course of ${track.length.toFixed(1)} m.</desc>
  <path d="${ground}" fill="#e4ddcf" fill-rule="evenodd" stroke="#7d776a" stroke-width="0.3"/>
  <path d="M${line.join('L')}${close}" fill="none" stroke="#22303c" stroke-width="0.4" stroke-dasharray="2 1.5"/>
  <path d="${across}" fill="none" stroke="#a33b1a" stroke-width="1"/>
  <path d="M${number(x0)} ${number(barY)}h${bar}" fill="none" stroke="#22303c" stroke-width="${number(letter / 6)}"/>
  <text x="${number(x0)}" y="${number(barY + 1.3 * letter)}" fill="#22303c">${bar} m</text>
  <text x="${number(x0 + bar + letter)}" y="${number(barY + 0.4 * letter)}" fill="#22303c">${escaped(name)}</text>
</svg>
`;
}

function drawn({ count, distance }: CompiledTrack): number[] {
  const kept: number[] = [];
  let next = 0;
  for (let i = 0; i < count; i++) {
    if (distance[i]! < next && i !== count - 1) continue;
    kept.push(i);
    next = distance[i]! + APART;
  }
  return kept;
}

function at(x: number, y: number): string {
  return `${x.toFixed(2)} ${(-y).toFixed(2)}`;
}

function rangeOf(values: Float64Array): [number, number] {
  return [values.reduce((a, b) => Math.min(a, b)), values.reduce((a, b) => Math.max(a, b))];
}
