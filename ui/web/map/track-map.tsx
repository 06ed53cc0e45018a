/**
 * The course as a picture: ground below by pattern, the line above by speed, gear or limit, with words.
 *
 * In: lap result, ground names, cursor. Pointing at the line moves the cursor. Draws plain SVG; all arithmetic is in
 * the pure files beside this one.
 */
import { useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { CompiledTrack, LapResult, Project } from '../../../sim/index.ts';
import type { GroundColumns } from '../plots/lap-plots.ts';
import { groundStretches } from '../plots/lap-plots.ts';
import type { PlotCursor } from '../plots/plot-cursor.ts';
import { isPointing } from '../plots/plot-cursor.ts';
import { stationAt } from '../plots/station.ts';
import { useImmediateEffect } from '../state/immediate-effect.ts';
import type { Fitted } from './fit.ts';
import { fitTrack, fittedAlike, fittingHeight, nearestPoint } from './fit.ts';
import { layLabels } from './label-layout.ts';
import { groundOutline, stationsShown } from './outline.ts';
import { placeLabels } from './places.ts';
import type { Shade, Strands } from './strands.ts';
import { strandPaths } from './strands.ts';

export interface TrackMapProps {
  readonly lap: LapResult;
  readonly closed: boolean;
  readonly surfaces: Project['surfaces'];
  readonly shade: Shade;
  readonly strands: Strands;
  readonly unit: string;
  readonly saying: string;
  readonly cursor: PlotCursor;
  /** The course as drawn, where the lap is driven on another line of it. */
  readonly road?: CompiledTrack;
}

/** px left free round the line for its labels. */
const ROOM = 36;
const TALLEST = 430;
const ARROWS = 6;

export function TrackMap({
  lap,
  closed,
  surfaces,
  shade,
  strands,
  unit,
  saying,
  cursor,
  road,
}: TrackMapProps) {
  const frame = useRef<HTMLDivElement>(null);
  const dot = useRef<SVGGElement>(null);
  const [width, setWidth] = useState(0);
  useLayoutEffect(() => {
    const element = frame.current;
    if (element === null) return undefined;
    setWidth(element.clientWidth);
    const watcher = new ResizeObserver(() => setWidth(element.clientWidth));
    watcher.observe(element);
    return () => watcher.disconnect();
  }, []);

  const { x, y, distance } = lap.columns;
  // Every answer brings new arrays for the same course: told apart by a few of its figures.
  const course = [
    road?.name,
    lap.track,
    lap.length,
    x.length,
    x[x.length >> 1],
    y[y.length >> 2],
    groundSum(lap),
    width,
  ].join();
  const { size, fitted, ground } = useMemo(() => {
    const over = road ?? { x, y };
    const height = fittingHeight(over.x, over.y, Math.max(width, 200), ROOM, TALLEST);
    const picture = { width: Math.max(width, 200), height };
    const whole = fitTrack(over.x, over.y, picture, ROOM);
    return {
      size: picture,
      fitted: road === undefined ? whole : fittedAlike({ x: road.x, y: road.y, fitted: whole }, x, y),
      ground: groundPaths(road === undefined ? lap : columnsOf(road), surfaces, whole),
    };
  }, [course, road, surfaces, lap.surfaces.join()]);
  const paths = useMemo(() => strandPaths(strands, fitted, closed), [strands, fitted, closed]);
  const labels = useMemo(
    () => layLabels(placeLabels(lap, shade, unit, closed), fitted, size),
    [lap, shade, unit, closed, fitted, size],
  );
  const arrows = useMemo(() => arrowsAlong(fitted), [fitted]);

  const latest = useRef({ fitted, distance });
  latest.current = { fitted, distance };
  const placeDot = (): void => {
    const at = cursor.at.value;
    if (dot.current === null) return;
    dot.current.style.visibility = at === undefined ? 'hidden' : 'visible';
    if (at === undefined) return;
    const now = latest.current;
    const i = stationAt(now.distance, at);
    dot.current.setAttribute(
      'transform',
      `translate(${now.fitted.x[i]!.toFixed(1)} ${now.fitted.y[i]!.toFixed(1)})`,
    );
  };
  useImmediateEffect(placeDot);
  useLayoutEffect(placeDot);

  const point = (event: PointerEvent): void => {
    const box = frame.current?.getBoundingClientRect();
    if (box === undefined) return;
    const i = nearestPoint(fitted, event.clientX - box.left, event.clientY - box.top);
    cursor.move(distance[i]!);
  };
  return (
    <div
      ref={frame}
      class="map-frame"
      onPointerDown={point}
      onPointerMove={(event) => {
        if (isPointing(event)) point(event);
      }}
    >
      <svg
        width={size.width}
        height={size.height}
        viewBox={`0 0 ${size.width} ${size.height}`}
        role="img"
        aria-label={saying}
      >
        <GroundPatterns />
        {ground.map(({ key, d, pattern }) => (
          <g key={key}>
            <path class="map-shoulder" d={d} />
            <path class="map-ground" d={d} fill={`url(#ground-${pattern})`} />
          </g>
        ))}
        {paths.map((d, i) =>
          d === '' ? null : (
            <path
              key={strands.strands[i]!.word}
              class="map-line"
              d={d}
              stroke={strands.strands[i]!.colour}
              stroke-width={strands.strands[i]!.weight}
              stroke-dasharray={strands.strands[i]!.dash}
            />
          ),
        )}
        {arrows.map((arrow) => (
          <path key={arrow} class="map-arrow" d="M-4 -4.5 L5 0 L-4 4.5 Z" transform={arrow} />
        ))}
        <path class="map-start" d="M0 -13 V13" transform={acrossAt(fitted, 0)} />
        {closed ? null : (
          <path class="map-start" d="M0 -13 V13" transform={acrossAt(fitted, fitted.x.length - 1)} />
        )}
        {labels.map((label) => (
          <g key={`${label.station} ${label.text}`} class={`map-label ${label.tone}`}>
            <line x1={fitted.x[label.station]} y1={fitted.y[label.station]} x2={label.x} y2={label.y} />
            <text x={label.x} y={label.y}>
              {label.text}
            </text>
          </g>
        ))}
        <g ref={dot} class="map-dot">
          <circle r="8" />
          <circle r="2.5" />
        </g>
      </svg>
    </div>
  );
}

/** What the looks of the line and the ground mean. */
export function MapKey(props: Pick<TrackMapProps, 'lap' | 'surfaces' | 'shade' | 'strands' | 'unit'>) {
  const { lap, surfaces, shade, unit } = props;
  const { strands, of } = props.strands;
  const used = new Set(of);
  const grounds = new Map(groundStretches(lap, surfaces).map((g) => [g.word, g.pattern]));
  return (
    <ul class="map-key">
      {strands.map((strand, i) =>
        used.has(i) ? (
          <li key={strand.word}>
            <svg width="30" height="10" aria-hidden="true">
              <line
                x1="0"
                x2="30"
                y1="5"
                y2="5"
                stroke={strand.colour}
                stroke-width={strand.weight}
                stroke-dasharray={strand.dash}
              />
            </svg>
            {shade === 'speed' ? `${strand.word} ${unit}` : strand.word}
          </li>
        ) : null,
      )}
      {[...grounds].map(([word, pattern]) => (
        <li key={word}>
          <svg width="30" height="14" aria-hidden="true">
            <rect width="30" height="14" class="map-swatch" />
            <rect width="30" height="14" fill={`url(#ground-${pattern})`} />
          </svg>
          {word}
        </li>
      ))}
    </ul>
  );
}

function GroundPatterns() {
  const tile = { width: 7, height: 7, patternUnits: 'userSpaceOnUse' } as const;
  return (
    <defs>
      <pattern id="ground-plain" {...tile}>
        <rect width="7" height="7" fill="none" />
      </pattern>
      <pattern id="ground-dots" {...tile}>
        <circle class="map-grain" cx="2" cy="2" r="1.1" />
        <circle class="map-grain" cx="5.5" cy="5.5" r="1.1" />
      </pattern>
      <pattern id="ground-hatch" {...tile}>
        <path class="map-grain-line" d="M0 7L7 0M-1 1L1 -1M6 8L8 6" />
      </pattern>
      <pattern id="ground-cross" {...tile}>
        <path class="map-grain-line" d="M0 7L7 0M0 0L7 7" />
      </pattern>
    </defs>
  );
}

/** One figure that changes with edges and surfaces wherever they change. */
function groundSum({ columns: { left, right, surface } }: GroundColumns): number {
  let sum = 0;
  for (let i = 0; i < surface.length; i++)
    sum += (1 + (i % 97)) * (left[i]! + 3 * right[i]! + 7 * surface[i]!);
  return sum;
}

function groundPaths(lap: GroundColumns, surfaces: Project['surfaces'], fitted: Fitted) {
  const { distance } = lap.columns;
  const last = distance.length - 1;
  return groundStretches(lap, surfaces).map(({ from, to, pattern }) => {
    const end = to >= lap.length ? last : stationAt(distance, to);
    const start = from === 0 ? 0 : stationAt(distance, from);
    const stations = stationsShown(fitted, lap.columns, start, end);
    return { key: from, pattern, d: groundOutline(fitted, lap.columns, stations) };
  });
}

function columnsOf(road: CompiledTrack): GroundColumns {
  const { length, surfaces, distance, surface, left, right } = road;
  return { length, surfaces, columns: { distance, surface, left, right } };
}

/** Arrows of direction, evenly along the line. */
function arrowsAlong(fitted: Fitted): string[] {
  const n = fitted.x.length;
  return Array.from({ length: ARROWS }, (_, k) => acrossAt(fitted, Math.floor(((k + 0.5) * n) / ARROWS)));
}

/** Moves to a station and turns to the direction of travel there. */
function acrossAt({ x, y }: Fitted, i: number): string {
  const before = Math.max(0, i - 2);
  const after = Math.min(x.length - 1, i + 2);
  const angle = (Math.atan2(y[after]! - y[before]!, x[after]! - x[before]!) * 180) / Math.PI;
  return `translate(${x[i]!.toFixed(1)} ${y[i]!.toFixed(1)}) rotate(${angle.toFixed(0)})`;
}
