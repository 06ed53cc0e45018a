/**
 * The course as lists, for keyboard and screen reader: every control point with its place, radius, height, edges and bank
 * to type; all of them as a table; and the stretches the course is made of, in words.
 */
import { useMemo, useState } from 'preact/hooks';
import type { CompiledTrack, Project } from '../../../sim/index.ts';
import { outlineCourse } from '../../../sim/index.ts';
import { capital } from '../../words/capital.ts';
import { ChoiceField } from '../forms/choice-field.tsx';
import { QuantityField } from '../forms/quantity-field.tsx';
import { TableOf } from '../plots/data-table.tsx';
import type { PlotTable } from '../plots/plot.ts';
import { useWorkbench } from '../state/context.ts';
import type { DrawingState } from './drawing-state.ts';
import type { DrawnPoint } from './drawn-points.ts';
import { writtenPoint } from './drawn-points.ts';
import type { GroundHere, Laid } from './laid-values.ts';
import {
  edgeSet,
  edgesApart,
  evenEdges,
  groundsAt,
  hasOwnEdges,
  laidOn,
  says,
  writtenGrounds,
} from './laid-values.ts';
import { carriedSurfaces, moved, pickedRange } from './point-edits.ts';
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

/** Every field of the point picked; height, edges and bank for a whole range where one is picked. */
function PointFields(props: PointListProps & { readonly at: number }) {
  const { at, id, state, spec, points, radii, compiled, onEdit } = props;
  const [trouble, setTrouble] = useState('');
  const [chosen, setChosen] = useState('');
  const grounds = useGrounds(compiled, spec, points);
  const point = points[at]!;
  const here = grounds[at];
  const radius = radii[at];
  const begin = state.rangeFrom.value;
  const isRange = begin !== undefined && begin !== at && begin < points.length;
  const asRange = `${id} ${begin} ${at}`;
  const picked = isRange ? pickedRange(begin, at, spec.closed) : { from: at, to: at };
  const range = isRange && chosen === asRange ? picked : { from: at, to: at };
  const isWhole = range.from !== range.to;
  const of = (name: string): string => `${id} point ${at} ${name}`;
  const words = `point ${at + 1}`;
  const rangeWords = isWhole ? `points ${range.from + 1} to ${range.to + 1}` : words;
  const lay = (
    what: Laid,
    label: string,
    put: (ground: GroundHere, of: DrawnPoint) => Readonly<Record<string, string>>,
    gesture?: string,
  ): void =>
    onEdit(`${rangeWords}, ${label}`, laidOn(points, range, spec.closed, what, grounds, put), gesture);
  const saysNot = (what: Laid): string =>
    says(point, what) ? '' : 'not set here: as the points where it is set give it';
  const edge = (side: 'left' | 'right', value: number) => (
    <QuantityField
      label={`${capital(side)} of the line, as driven`}
      of={of(side)}
      name="edge"
      shown="m"
      echoed={['ft']}
      value={value}
      hint={saysNot('edges')}
      howTo
      onValue={(_value, text, gesture) => lay('edges', `${side} edge ${text}`, edgeSet(side, text), gesture)}
    />
  );
  const own = hasOwnEdges(points, at, spec);
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
      </div>
      {here === undefined ? null : (
        <>
          {isRange ? (
            <div class="inline-fields">
              <ChoiceField
                label="Height, width and bank are set"
                value={isWhole ? 'range' : 'point'}
                options={[
                  { value: 'point', text: `at point ${at + 1} alone` },
                  { value: 'range', text: `from point ${picked.from + 1} to ${picked.to + 1}` },
                ]}
                onChoice={(value) => setChosen(value === 'range' ? asRange : '')}
              />
            </div>
          ) : null}
          <div class="fields">
            <QuantityField
              label="Height"
              of={of('height')}
              name="height"
              shown="m"
              value={here.height}
              hint={saysNot('height')}
              howTo
              onValue={(_value, text, gesture) =>
                lay('height', `height ${text}`, () => ({ height: text }), gesture)
              }
            />
            <ChoiceField
              label="The edges lie"
              value={own ? 'apart' : 'alike'}
              options={[
                { value: 'alike', text: 'as far off on both sides' },
                { value: 'apart', text: 'each by itself' },
              ]}
              onChoice={(value) =>
                value === 'apart'
                  ? lay('edges', 'edges by themselves', edgesApart)
                  : lay('edges', 'one width', evenEdges)
              }
            />
            {own ? (
              <>
                {edge('left', here.left)}
                {edge('right', here.right)}
              </>
            ) : (
              <QuantityField
                label="Width"
                of={of('width')}
                name="width"
                shown="m"
                echoed={['ft']}
                value={here.left + here.right}
                hint={saysNot('edges')}
                howTo
                onValue={(_value, text, gesture) =>
                  lay('edges', `width ${text}`, () => ({ width: text }), gesture)
                }
              />
            )}
            <QuantityField
              label="Bank in degrees: + left edge higher, − right edge higher"
              of={of('bank')}
              name="bank"
              shown="°"
              value={here.bank}
              hint={[bankWords(here.bank), saysNot('bank')].filter((part) => part !== '').join(' · ')}
              howTo
              onValue={(_value, text, gesture) =>
                lay('bank', `bank ${text}`, () => ({ bank: text }), gesture)
              }
            />
          </div>
          <p class="field-says">
            Left and right are those of the driver. Between the points it goes evenly from one to the next.
          </p>
        </>
      )}
    </fieldset>
  );
}

/** The ground at every point as it is driven. */
function useGrounds(
  compiled: CompiledTrack | undefined,
  spec: Project['tracks'][string],
  points: readonly DrawnPoint[],
): GroundHere[] {
  return useMemo(
    () => (compiled === undefined ? writtenGrounds(spec) : groundsAt(compiled, points)),
    [compiled, spec, points],
  );
}

/** Which edge is higher, and by how much, as a board laid across shows it. */
function bankWords(bank: number): string {
  const rise = 100 * Math.tan(Math.abs(bank));
  if (rise < 0.05) return 'level across';
  return `the ${bank > 0 ? 'left' : 'right'} edge is higher, ${rise.toFixed(1)} cm for each metre across`;
}

const HEADS = [
  'point',
  'east, m',
  'north, m',
  'radius, m',
  'left, m',
  'right, m',
  'bank, °',
  'ground from here',
];

function Points({ state, points, radii, spec, compiled }: PointListProps) {
  const project = useWorkbench().project.value;
  const surfaces = carriedSurfaces(points, spec.surface);
  const grounds = useGrounds(compiled, spec, points);
  return (
    <section class="table-frame" aria-label="Points">
      <table>
        <thead>
          <tr>
            {HEADS.map((head) => (
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
              <td>{grounds[i]?.left.toFixed(1)}</td>
              <td>{grounds[i]?.right.toFixed(1)}</td>
              <td>{bankText(grounds[i]?.bank ?? 0)}</td>
              <td>{project.surfaces[surfaces[i]!]?.name ?? surfaces[i]}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function bankText(bank: number): string {
  return (Number(((bank * 180) / Math.PI).toFixed(1)) + 0).toFixed(1).replace('-', '−');
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
  const course = outlineCourse(tried, 'tracks.tried');
  if (course === undefined) return Number.POSITIVE_INFINITY;
  const { x, y } = writtenPoint(points[at]!) as { x: number; y: number };
  return radiiAt(course, [{ x, y }])[0] ?? Number.POSITIVE_INFINITY;
}
