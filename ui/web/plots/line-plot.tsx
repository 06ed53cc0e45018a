/**
 * A plot on the page: title, key, canvas, cursor. With a cursor it is a slider for pointer, touch and arrow keys.
 *
 * The cursor is a line laid over the canvas: moving it redraws nothing.
 */
import { useEffect, useLayoutEffect, useRef } from 'preact/hooks';
import { useImmediateEffect } from '../state/immediate-effect.ts';
import type { DrawnPlot } from './chart.ts';
import { drawPlot } from './chart.ts';
import type { Plot, Series } from './plot.ts';
import type { PlotCursor } from './plot-cursor.ts';
import { cursorAfterKey, isPointing } from './plot-cursor.ts';

export interface LinePlotProps {
  readonly plot: Plot;
  /** What the picture shows, in a sentence, for those who do not see it. */
  readonly saying: string;
  readonly cursor?: PlotCursor;
}

export function LinePlot({ plot, saying, cursor }: LinePlotProps) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const line = useRef<HTMLDivElement>(null);
  const frame = useRef<HTMLDivElement>(null);
  const drawn = useRef<DrawnPlot | undefined>(undefined);
  const latest = useRef(cursor);
  latest.current = cursor;

  const placeCursor = (): void => {
    const at = latest.current?.at.peek();
    if (at === undefined || drawn.current === undefined || line.current === null) return;
    line.current.style.transform = `translateX(${drawn.current.pixelOf(at)}px)`;
  };
  useLayoutEffect(() => {
    if (canvas.current === null) return undefined;
    const made = drawPlot(canvas.current, plot, placeCursor);
    drawn.current = made;
    placeCursor();
    return () => {
      drawn.current = undefined;
      made.destroy();
    };
  }, []);
  useLayoutEffect(() => drawn.current?.show(plot), [plot]);
  useImmediateEffect(() => {
    const shared = latest.current;
    const at = shared?.at.value;
    if (shared === undefined || at === undefined) return;
    placeCursor();
    frame.current?.setAttribute('aria-valuenow', at.toFixed(0));
    frame.current?.setAttribute('aria-valuetext', shared.say(at));
  });
  useEffect(placeCursor);

  const point = (event: PointerEvent): void => {
    const box = canvas.current?.getBoundingClientRect();
    if (cursor === undefined || box === undefined || drawn.current === undefined) return;
    const at = drawn.current.valueAt(event.clientX - box.left);
    cursor.move(Math.min(cursor.max, Math.max(cursor.min, at)));
  };
  return (
    <figure class="plot">
      <figcaption>
        <span class="plot-title">{plot.title}</span>
        {plot.series.length > 1 ? (
          <span class="key">
            {plot.series.map((series) => (
              <KeyEntry key={series.name} series={series} />
            ))}
          </span>
        ) : null}
      </figcaption>
      {cursor === undefined ? (
        <div class="plot-frame" role="img" aria-label={saying}>
          <canvas ref={canvas} />
        </div>
      ) : (
        <div
          ref={frame}
          class="plot-frame with-cursor"
          role="slider"
          tabIndex={0}
          aria-label={`${plot.title}: place on the lap, m`}
          aria-valuemin={cursor.min}
          aria-valuemax={Math.round(cursor.max)}
          aria-valuenow={Math.round(cursor.at.peek() ?? cursor.min)}
          onPointerDown={point}
          onPointerMove={(event) => {
            if (isPointing(event)) point(event);
          }}
          onKeyDown={(event) => {
            const to = cursorAfterKey(cursor, event.key, event.shiftKey);
            if (to === undefined) return;
            event.preventDefault();
            cursor.move(to);
          }}
        >
          <canvas ref={canvas} />
          <div ref={line} class="plot-cursor" />
        </div>
      )}
    </figure>
  );
}

function KeyEntry({ series }: { series: Series }) {
  return (
    <span class="key-entry">
      <svg width="28" height="8" aria-hidden="true">
        <line
          x1="0"
          x2="28"
          y1="4"
          y2="4"
          stroke={series.colour}
          stroke-width={series.weight ?? 2}
          stroke-dasharray={(series.dash ?? []).join(' ')}
        />
      </svg>
      {series.name}
    </span>
  );
}
