/**
 * A plot on the page: title, key, canvas, cursor, zoom, the numbers behind it. The plot is a slider for pointer, touch
 * and arrow keys; + and - zoom round the cursor.
 *
 * In: a plot, what it says in a sentence, and a cursor where several plots share one. The cursor is a line laid over
 * the canvas: moving it redraws nothing.
 */
import type { Signal } from '@preact/signals';
import { useSignal } from '@preact/signals';
import { useEffect, useLayoutEffect, useMemo, useRef } from 'preact/hooks';
import { saveBlob } from '../exchange/save-file.ts';
import { PALETTES } from '../look/palette.ts';
import { useWorkbench } from '../state/context.ts';
import { useImmediateEffect } from '../state/immediate-effect.ts';
import type { DrawnPlot } from './chart.ts';
import { drawPlot } from './chart.ts';
import { DataTable } from './data-table.tsx';
import type { Plot, PlotTable, Series } from './plot.ts';
import type { PlotCursor } from './plot-cursor.ts';
import { cursorAfterKey, isPointing } from './plot-cursor.ts';
import { readingAt, spanOf, tidy } from './plot-reading.ts';
import { plotTable } from './plot-table.ts';
import type { Range } from './zoom.ts';
import { along, closer, wider, zoomed } from './zoom.ts';

export interface LinePlotProps {
  readonly plot: Plot;
  /** What the picture shows, in a sentence, for those who do not see it. */
  readonly saying: string;
  /** Shared with other plots; a cursor of its own where absent. */
  readonly cursor?: PlotCursor;
  /** Shared with other plots; a range of its own where absent. */
  readonly range?: Signal<Range | undefined>;
  /** A better table than the lines themselves give. */
  readonly table?: (most: number) => PlotTable;
}

export function LinePlot(props: LinePlotProps) {
  const { saying } = props;
  const palette = PALETTES[useWorkbench().theme.value];
  const ownRange = useSignal<Range | undefined>(undefined);
  const range = props.range ?? ownRange;
  const whole = useMemo(() => spanOf(props.plot), [props.plot]);
  const plot = useMemo(() => zoomed(props.plot, range.value), [props.plot, range.value]);
  const ownCursor = useOwnCursor(props.plot, whole);
  const cursor = props.cursor ?? ownCursor;
  const canvas = useRef<HTMLCanvasElement>(null);
  const line = useRef<HTMLDivElement>(null);
  const frame = useRef<HTMLDivElement>(null);
  const drawn = useRef<DrawnPlot | undefined>(undefined);
  const latest = useRef(cursor);
  latest.current = cursor;

  const placeCursor = (): void => {
    const at = latest.current.at.peek();
    if (drawn.current === undefined || line.current === null) return;
    const pixel = at === undefined ? -9 : drawn.current.pixelOf(at);
    const { left, right } = drawn.current.area();
    line.current.style.visibility = pixel < left - 1 || pixel > right + 1 ? 'hidden' : 'visible';
    line.current.style.transform = `translateX(${pixel}px)`;
  };
  useLayoutEffect(() => {
    if (canvas.current === null) return undefined;
    const made = drawPlot(canvas.current, plot, palette, placeCursor);
    drawn.current = made;
    placeCursor();
    return () => {
      drawn.current = undefined;
      made.destroy();
    };
  }, []);
  useLayoutEffect(() => drawn.current?.show(plot, palette), [plot, palette]);
  useImmediateEffect(() => {
    const at = latest.current.at.value;
    placeCursor();
    if (at === undefined) return;
    frame.current?.setAttribute('aria-valuenow', tidy(at));
    frame.current?.setAttribute('aria-valuetext', latest.current.say(at));
  });
  useEffect(placeCursor);

  const point = (event: PointerEvent): void => {
    const box = canvas.current?.getBoundingClientRect();
    if (box === undefined || drawn.current === undefined) return;
    const at = drawn.current.valueAt(event.clientX - box.left);
    cursor.move(Math.min(cursor.max, Math.max(cursor.min, at)));
  };
  const zoomIn = (): void => {
    const middle =
      range.value === undefined ? (whole.from + whole.to) / 2 : (range.value.from + range.value.to) / 2;
    range.value = closer(range.value, whole, cursor.at.peek() ?? middle);
  };
  const zoomOut = (): void => {
    range.value = wider(range.value, whole);
  };
  return (
    <figure class={plot.tall === true ? 'plot tall' : 'plot'}>
      <figcaption>
        <span class="plot-title">{plot.title}</span>
        {plot.series.length > 1 ? (
          <span class="key">
            {plot.series.map((series) => (
              <KeyEntry key={series.name} series={series} weight={palette.weight} />
            ))}
          </span>
        ) : null}
      </figcaption>
      <div
        ref={frame}
        class="plot-frame with-cursor"
        role="slider"
        tabIndex={0}
        aria-label={`${plot.title}: ${plot.x.title}. ${saying}`}
        aria-valuemin={Math.round(cursor.min)}
        aria-valuemax={Math.round(cursor.max)}
        aria-valuenow={Math.round(cursor.at.peek() ?? cursor.min)}
        onPointerDown={point}
        onPointerMove={(event) => {
          if (isPointing(event)) point(event);
        }}
        onKeyDown={(event) => {
          if (event.ctrlKey || event.metaKey || event.altKey) return;
          if (event.key === '+' || event.key === '=') zoomIn();
          else if (event.key === '-') zoomOut();
          else {
            const to = cursorAfterKey(cursor, event.key, event.shiftKey);
            if (to === undefined) return;
            cursor.move(to);
          }
          event.preventDefault();
        }}
      >
        <canvas ref={canvas} />
        <div ref={line} class="plot-cursor" />
      </div>
      <div class="plot-foot">
        {props.cursor === undefined ? <Reading plot={props.plot} cursor={cursor} /> : null}
        <Zoom range={range} whole={whole} onCloser={zoomIn} onWider={zoomOut} title={plot.title} />
      </div>
      <DataTable
        caption={plot.title}
        table={props.table ?? ((most) => plotTable(props.plot, most))}
        fileName={`${fileStem(plot.title)}.csv`}
        onPicture={() => {
          drawn.current?.picture().toBlob((blob) => {
            if (blob !== null) saveBlob(`${fileStem(plot.title)}.png`, blob);
          });
        }}
      />
    </figure>
  );
}

/** A cursor for a plot that shares none, in the middle until it is moved. */
function useOwnCursor(plot: Plot, { from, to }: Range): PlotCursor {
  const at = useSignal<number | undefined>(undefined);
  return useMemo(
    () => ({
      at,
      min: from,
      max: to,
      step: (to - from) / 100,
      say: (x) =>
        `${tidy(x)}: ${readingAt(plot, x)
          .map(({ name, text }) => `${name} ${text}`)
          .join(', ')}`,
      move: (x) => {
        at.value = x;
      },
    }),
    [plot, from, to],
  );
}

/** The values under a plot's own cursor. */
function Reading({ plot, cursor }: { plot: Plot; cursor: PlotCursor }) {
  const at = cursor.at.value;
  if (at === undefined) return <p class="reading">Point at the plot, or use the arrow keys, to read it.</p>;
  return (
    <p class="reading">
      <b>
        {tidy(at)} {unitOf(plot.x.title)}
      </b>
      {readingAt(plot, at).map(({ name, text }) => (
        <span key={name}>
          {name} <b>{text}</b>
        </span>
      ))}
    </p>
  );
}

interface ZoomProps {
  readonly range: Signal<Range | undefined>;
  readonly whole: Range;
  readonly title: string;
  readonly onCloser: () => void;
  readonly onWider: () => void;
}

function Zoom({ range, whole, title, onCloser, onWider }: ZoomProps) {
  const isWhole = range.value === undefined;
  const go = (way: 1 | -1) => () => {
    range.value = along(range.value, whole, way);
  };
  return (
    <div class="zoom">
      <button type="button" aria-label={`${title}: closer look`} onClick={onCloser}>
        Closer look
      </button>
      {isWhole ? null : (
        <>
          <button type="button" aria-label={`${title}: wider`} onClick={onWider}>
            Wider
          </button>
          <button type="button" aria-label={`${title}: back along`} onClick={go(-1)}>
            ←
          </button>
          <button type="button" aria-label={`${title}: on along`} onClick={go(1)}>
            →
          </button>
        </>
      )}
    </div>
  );
}

function KeyEntry({ series, weight }: { series: Series; weight: number }) {
  return (
    <span class="key-entry">
      <svg width="28" height="8" aria-hidden="true">
        {series.dots === true ? (
          <circle cx="14" cy="4" r="2.5" fill={series.colour} />
        ) : (
          <line
            x1="0"
            x2="28"
            y1="4"
            y2="4"
            stroke={series.colour}
            stroke-width={weight * (series.weight ?? 2)}
            stroke-dasharray={(series.dash ?? []).join(' ')}
          />
        )}
      </svg>
      {series.name}
    </span>
  );
}

function unitOf(title: string): string {
  return title.split(', ').at(-1) ?? '';
}

function fileStem(title: string): string {
  return title.toLowerCase().replace(/\W+/g, '-').replace(/^-|-$/g, '');
}
