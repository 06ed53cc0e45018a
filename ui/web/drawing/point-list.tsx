/**
 * The course as lists, for keyboard and screen reader: every control point with its place, radius, height, width and
 * ground to type; and the stretches the course is made of, in words.
 */
import { useState } from 'preact/hooks';
import type { CompiledTrack, Project } from '../../../sim/index.ts';
import { compileTrack } from '../../../sim/index.ts';
import { QuantityField } from '../forms/quantity-field.tsx';
import { TableOf } from '../plots/data-table.tsx';
import type { PlotTable } from '../plots/plot.ts';
import { useWorkbench } from '../state/context.ts';
import type { DrawingState } from './drawing-state.ts';
import type { DrawnPoint } from './drawn-points.ts';
import { writtenPoint } from './drawn-points.ts';
import { carriedSurfaces, laid, moved } from './point-edits.ts';
import { bentToRadius } from './radius.ts';
import { radiiAt, saidStretches } from './stretches-of.ts';

export interface PointListProps {
  readonly state: DrawingState;
  readonly id: string;
  readonly spec: Project['tracks'][string];
  readonly points: readonly DrawnPoint[];
  readonly compiled: CompiledTrack | undefined;
  readonly radii: readonly number[];
  readonly onEdit: (label: string, next: readonly DrawnPoint[], gesture?: string) => void;
}

export function PointList(props: PointListProps) {
  const [open, setOpen] = useState(false);
  const { points, compiled, state } = props;
  const at = state.selected.value;
  return (
    <>
      {at === undefined || points[at] === undefined ? null : <PointFields {...props} at={at} />}
      <details class="behind" onToggle={(event) => setOpen(event.currentTarget.open)}>
        <summary>The course as lists: {points.length} points, and its stretches</summary>
        {open ? (
          <div class="two">
            <Points {...props} />
            {compiled === undefined ? null : <TableOf caption="Stretches" table={stretchTable(compiled)} />}
          </div>
        ) : null}
      </details>
    </>
  );
}

/** Every field of the point picked. */
function PointFields({ at, id, spec, points, radii, onEdit }: PointListProps & { readonly at: number }) {
  const [trouble, setTrouble] = useState('');
  const point = points[at]!;
  const radius = radii[at];
  const read = spec.points?.[at];
  const of = (name: string): string => `${id} point ${at} ${name}`;
  const words = `point ${at + 1}`;
  const put = (key: 'height' | 'width' | 'bank') => (_value: number, text: string, gesture: string) =>
    onEdit(`${words}, ${key} ${text}`, laid(points, at, key, text), gesture);
  return (
    <fieldset class="point-fields">
      <legend>Point {at + 1}</legend>
      <div class="fields">
        <QuantityField
          label="East"
          of={of('x')}
          name="coordinate"
          shown="m"
          value={point.x}
          onValue={(x, _text, gesture) =>
            onEdit(`${words} moved`, moved(points, at, { x, y: point.y }), gesture)
          }
        />
        <QuantityField
          label="North"
          of={of('y')}
          name="coordinate"
          shown="m"
          value={point.y}
          onValue={(y, _text, gesture) =>
            onEdit(`${words} moved`, moved(points, at, { x: point.x, y }), gesture)
          }
        />
        {radius === undefined || !Number.isFinite(radius) || radius > 500 ? (
          <p class="field-says">Straight here: no radius to type.</p>
        ) : (
          <QuantityField
            label="Radius of the bend here"
            of={of('radius')}
            name="radius"
            shown="m"
            value={radius}
            hint={trouble}
            onValue={(wanted, text, gesture) => {
              const next = bentToRadius(points, at, wanted, spec.closed, (tried) =>
                radiusWith(spec, tried, at),
              );
              setTrouble(
                next === undefined
                  ? `no place of this point alone gives ${text}: move its neighbours too`
                  : '',
              );
              if (next !== undefined) onEdit(`${words}, radius ${text}`, next, gesture);
            }}
          />
        )}
        <QuantityField
          label="Height"
          of={of('height')}
          name="height"
          shown="m"
          value={read?.height ?? 0}
          onValue={put('height')}
        />
        <QuantityField
          label="Width"
          of={of('width')}
          name="width"
          shown="m"
          value={read?.width ?? spec.width}
          onValue={put('width')}
        />
        <QuantityField
          label="Bank, left edge higher positive"
          of={of('bank')}
          name="bank"
          shown="°"
          value={read?.bank ?? 0}
          onValue={put('bank')}
        />
      </div>
    </fieldset>
  );
}

function Points({ state, points, radii, spec }: PointListProps) {
  const project = useWorkbench().project.value;
  const surfaces = carriedSurfaces(points, spec.surface);
  return (
    <section class="table-frame" aria-label="Points">
      <table>
        <thead>
          <tr>
            {['point', 'east, m', 'north, m', 'radius, m', 'ground from here'].map((head) => (
              <th key={head} scope="col">
                {head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {points.map((point, i) => (
            <tr key={`${i} ${point.x} ${point.y}`}>
              <th scope="row">
                <button
                  type="button"
                  aria-pressed={state.selected.value === i}
                  onClick={() => {
                    state.selected.value = i;
                  }}
                >
                  Point {i + 1}
                </button>
              </th>
              <td>{point.x.toFixed(1)}</td>
              <td>{point.y.toFixed(1)}</td>
              <td>{radiusText(radii[i])}</td>
              <td>{project.surfaces[surfaces[i]!]?.name ?? surfaces[i]}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function stretchTable(track: CompiledTrack): PlotTable {
  return {
    heads: ['from, m', 'stretch', 'length, m'],
    rows: saidStretches(track).map(({ from, to, turn, angle, radius }) => [
      from.toFixed(0),
      turn === 'straight'
        ? 'straight'
        : `${turn} ${((angle * 180) / Math.PI).toFixed(0)}°, radius ${radius.toFixed(radius < 20 ? 1 : 0)} m`,
      (to - from).toFixed(0),
    ]),
  };
}

function radiusText(radius: number | undefined): string {
  if (radius === undefined || !Number.isFinite(radius) || radius > 500) return 'straight';
  return radius.toFixed(1);
}

/** The radius at a point of the course with other points. */
function radiusWith(spec: Project['tracks'][string], points: readonly DrawnPoint[], at: number): number {
  const tried = { ...spec, points: points.map(({ x, y }) => ({ x, y })) };
  const { track } = compileTrack(tried, 'tracks.tried', 5);
  if (track === undefined) return Number.POSITIVE_INFINITY;
  const { x, y } = writtenPoint(points[at]!) as { x: number; y: number };
  return radiiAt(track, [{ x, y }])[0] ?? Number.POSITIVE_INFINITY;
}
