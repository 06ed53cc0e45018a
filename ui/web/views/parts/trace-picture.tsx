/** The picture being traced, its marks and points laid over it: tapped, dragged, and moved by the arrow keys. */
import type { Signal } from '@preact/signals';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Selected, Trace, TraceMark } from '../../forms/trace.ts';
import { keyed, MARKS, moved, pixelOf, tapped } from '../../forms/trace.ts';
import type { Pixel } from '../../forms/trace-scale.ts';

/** Largest magnification. */
const CLOSEST = 8;
/** Radii on the screen, px: of what is seen and of what a finger hits. */
const SEEN = 6;
const HIT = 16;

const WAYS = [
  { key: 'ArrowLeft', text: '←', word: 'left' },
  { key: 'ArrowUp', text: '↑', word: 'up' },
  { key: 'ArrowDown', text: '↓', word: 'down' },
  { key: 'ArrowRight', text: '→', word: 'right' },
] as const;

export function TracePicture({ trace }: { trace: Signal<Trace> }) {
  const sheet = useRef<HTMLDivElement>(null);
  const [width, setWidth] = useState(600);
  const drag = useRef<Selected>(undefined);
  const now = trace.value;
  useEffect(() => {
    if (sheet.current === null) return undefined;
    const watch = new ResizeObserver(([entry]) => {
      if (entry !== undefined && entry.contentRect.width > 0) setWidth(entry.contentRect.width);
    });
    watch.observe(sheet.current);
    return () => watch.disconnect();
  }, []);
  const { picture } = now;
  if (picture === undefined) return null;
  const { size } = picture;
  const perScreen = size.x / width;
  const pixelUnder = (event: MouseEvent): Pixel | undefined => {
    const box = sheet.current?.getBoundingClientRect();
    if (box === undefined || box.width === 0) return undefined;
    return {
      x: ((event.clientX - box.left) / box.width) * size.x,
      y: ((event.clientY - box.top) / box.height) * size.y,
    };
  };
  const key = (name: string, far: boolean): boolean => {
    const next = keyed(trace.value, name, far);
    if (next !== undefined) trace.value = next;
    return next !== undefined;
  };
  const handle = (what: Exclude<Selected, undefined>) => {
    const at = pixelOf(now, what);
    if (at === undefined) return null;
    const isChosen = now.selected === what;
    const isMark = typeof what !== 'number';
    const faint = isMark && !now.marks[what].placed;
    // Two marks often share a place, and a tap near one must still set another: only what is being set can be dragged.
    const isHeld = isMark ? now.active === what && !faint : now.active === 'curve';
    if (faint && now.active !== what) return null;
    return (
      // biome-ignore lint/a11y/noStaticElementInteractions: keys reach it through the picture, which has the focus
      <g
        key={what}
        class={`trace-handle${isChosen ? ' chosen' : ''}${faint ? ' faint' : ''}${isHeld ? ' held' : ''}`}
        onPointerDown={(event) => {
          if (event.button !== 0) return;
          (event.currentTarget as Element).setPointerCapture(event.pointerId);
          drag.current = what;
          trace.value = { ...trace.value, selected: what };
          sheet.current?.focus({ preventScroll: true });
          event.preventDefault();
        }}
        onPointerMove={(event) => {
          const to = drag.current === what ? pixelUnder(event) : undefined;
          if (to !== undefined) trace.value = moved(trace.value, what, to);
        }}
        onPointerUp={() => {
          drag.current = undefined;
        }}
        onPointerCancel={() => {
          drag.current = undefined;
        }}
        onClick={(event) => event.stopPropagation()}
      >
        <circle class="trace-hit" cx={at.x} cy={at.y} r={HIT * perScreen} />
        <circle class="trace-dot" cx={at.x} cy={at.y} r={(isChosen ? SEEN + 2 : SEEN) * perScreen} />
        <path
          class="trace-cross"
          d={`M${at.x - HIT * perScreen} ${at.y}h${2 * HIT * perScreen}M${at.x} ${at.y - HIT * perScreen}v${2 * HIT * perScreen}`}
        />
        {isMark ? (
          <text
            x={at.x + (isAcross(what) ? 8 : -8) * perScreen}
            text-anchor={isAcross(what) ? 'start' : 'end'}
            y={at.y - 8 * perScreen}
            font-size={16 * perScreen}
            stroke-width={4 * perScreen}
          >
            {what}
          </text>
        ) : null}
      </g>
    );
  };
  const order = now.points.toSorted((a, b) => a.pixel.x - b.pixel.x);
  return (
    <div class="trace-main">
      <div class="trace-frame">
        <div
          ref={sheet}
          class="trace-sheet"
          role="application"
          aria-label={`Picture to trace. ${sayingOf(now)} Arrow keys move it by a pixel, with Shift by ten; Enter adds a point beside the chosen one, Delete takes it away.`}
          // biome-ignore lint/a11y/noNoninteractiveTabindex: the arrow keys move the chosen mark here
          tabIndex={0}
          style={{ width: `${100 * now.zoom}%` }}
          onClick={(event) => {
            const at = pixelUnder(event);
            if (at !== undefined) trace.value = tapped(trace.value, at);
          }}
          onKeyDown={(event) => {
            if (event.ctrlKey || event.metaKey || event.altKey) return;
            if (key(event.key, event.shiftKey)) {
              event.preventDefault();
              event.stopPropagation();
            }
          }}
        >
          <img src={picture.url} alt="" draggable={false} />
          <svg viewBox={`0 0 ${size.x} ${size.y}`} aria-hidden="true">
            <polyline
              class="trace-line"
              points={order.map(({ pixel }) => `${pixel.x},${pixel.y}`).join(' ')}
            />
            {now.points.map(({ id }) => handle(id))}
            {MARKS.map(({ mark }) => handle(mark))}
          </svg>
        </div>
      </div>
      <div class="trace-tools">
        <span class="nudge">
          {WAYS.map(({ key: name, text, word }) => (
            <button
              key={name}
              type="button"
              aria-label={`One pixel ${word}`}
              disabled={now.selected === undefined}
              onClick={() => key(name, false)}
            >
              {text}
            </button>
          ))}
        </span>
        <span class="zoom">
          <button
            type="button"
            disabled={now.zoom >= CLOSEST}
            onClick={() => {
              trace.value = { ...now, zoom: now.zoom * 2 };
            }}
          >
            Closer
          </button>
          <button
            type="button"
            disabled={now.zoom <= 1}
            onClick={() => {
              trace.value = { ...now, zoom: now.zoom / 2 };
            }}
          >
            Wider
          </button>
        </span>
        <p class="field-says">{sayingOf(now)}</p>
      </div>
    </div>
  );
}

/** Marks of the two axes often share the origin: their letters stand to either side. */
function isAcross(mark: TraceMark): boolean {
  return mark === 'A' || mark === 'B';
}

function sayingOf({ active, selected, points }: Trace): string {
  const next =
    active === 'curve' ? 'The next tap adds a point of the curve.' : `The next tap places mark ${active}.`;
  if (selected === undefined) return next;
  const place = points.findIndex(({ id }) => id === selected);
  return `${next} Chosen: ${typeof selected === 'number' ? `point tapped as number ${place + 1}` : `mark ${selected}`}.`;
}
