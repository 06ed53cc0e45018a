/**
 * A curve traced over a picture of a dyno sheet. The picture stays on this machine and out of the project.
 *
 * In: a picture chosen, dropped or pasted; two marks on each axis with the values printed there; taps along the curve.
 * Out: points. Everything works by pointer, by finger and by keys, and every point has its values as text.
 */
import type { Signal } from '@preact/signals';
import { useId } from 'preact/hooks';
import type { PointsSpec } from '../../../../sim/index.ts';
import { ChoiceField } from '../../forms/choice-field.tsx';
import { inTableWords } from '../../forms/curve-points.ts';
import { useKept } from '../../forms/kept-while-open.ts';
import { THOUSANDS } from '../../forms/paste-curve.ts';
import type { Trace, TraceMark } from '../../forms/trace.ts';
import {
  FIGURE_UNITS,
  MARKS,
  NO_TRACE,
  opened,
  plainNumber,
  pointAt,
  scaleOf,
  tracedPoints,
  tracedValues,
} from '../../forms/trace.ts';
import { ProblemList } from '../problem-list.tsx';
import { readCurve } from './curve-plot.tsx';
import { TracePicture } from './trace-picture.tsx';

export interface TraceCurveProps {
  readonly path: string;
  readonly isDrag: boolean;
  readonly onPoints: (points: PointsSpec) => void;
}

export function TraceCurve({ path, isDrag, onPoints }: TraceCurveProps) {
  const trace = useKept<Trace>(`${path} traced`, NO_TRACE);
  const take = (file: File | undefined): void => {
    if (file !== undefined) void takePicture(trace, file);
  };
  const { picture, trouble } = trace.value;
  return (
    <details
      class="tool"
      onDragOver={(event) => event.preventDefault()}
      onDrop={(event) => {
        const file = event.dataTransfer?.files[0];
        if (file === undefined) return;
        event.preventDefault();
        take(file);
      }}
      onPaste={(event) => {
        const file = event.clipboardData?.files[0];
        if (file === undefined) return;
        event.preventDefault();
        take(file);
      }}
    >
      <summary>Trace over a picture of a dyno sheet</summary>
      <div class="tool-body">
        <p class="actions">
          <label class="file-choice">
            {picture === undefined ? 'Choose a picture' : 'Another picture'}
            <input
              type="file"
              accept="image/*"
              onChange={(event) => {
                take(event.currentTarget.files?.[0]);
                event.currentTarget.value = '';
              }}
            />
          </label>
          {picture === undefined ? null : (
            <button
              type="button"
              class="quiet"
              onClick={() => {
                URL.revokeObjectURL(picture.url);
                trace.value = NO_TRACE;
              }}
            >
              Put the picture away
            </button>
          )}
        </p>
        <p class="field-says">
          A photograph or a scan; drop it or paste it here as well. It stays on this machine and is not kept
          with the project. Taken askew will do, bent paper will not.
        </p>
        {trouble === undefined ? null : (
          <p class="field-says refused" role="status">
            {trouble}
          </p>
        )}
        {picture === undefined ? null : <Tracing trace={trace} isDrag={isDrag} onPoints={onPoints} />}
      </div>
    </details>
  );
}

/** px */
const SMALL_SCREEN = 700;

async function takePicture(trace: Signal<Trace>, file: File): Promise<void> {
  const url = URL.createObjectURL(file);
  const image = new Image();
  image.src = url;
  try {
    await image.decode();
  } catch {
    URL.revokeObjectURL(url);
    trace.value = {
      ...trace.value,
      trouble: `${file.name.slice(0, 80)} is no picture this browser can show. Save it as PNG or JPEG.`,
    };
    return;
  }
  const old = trace.value.picture;
  if (old !== undefined) URL.revokeObjectURL(old.url);
  const size = { x: image.naturalWidth, y: image.naturalHeight };
  // A small screen shows half of it at a time, or a finger covers the axis.
  trace.value = { ...opened(url, size), zoom: innerWidth < SMALL_SCREEN ? 2 : 1 };
}

interface TracingProps {
  readonly trace: Signal<Trace>;
  readonly isDrag: boolean;
  readonly onPoints: (points: PointsSpec) => void;
}

function Tracing({ trace, isDrag, onPoints }: TracingProps) {
  const now = trace.value;
  const set = (part: Partial<Trace>): void => {
    trace.value = { ...trace.value, ...part };
  };
  const scale = scaleOf(now);
  const points = scale.ok ? tracedPoints(now, scale.scale) : undefined;
  const read = points !== undefined && points.rows.length > 1 ? readCurve(points, isDrag) : undefined;
  return (
    <div class="tracing">
      <TracePicture trace={trace} />
      <div class="trace-side">
        <fieldset class="group">
          <legend>Marks on the axes</legend>
          <p class="field-says">
            Choose a mark, tap the place of a printed value on the axis, and write the value. Far apart is
            best.
          </p>
          <div class="pair">
            <ChoiceField
              label="Engine speed in"
              value={now.speedUnit}
              options={['rpm', THOUSANDS].map((unit) => ({ value: unit, text: unit }))}
              onChoice={(speedUnit) => set({ speedUnit })}
            />
            <ChoiceField
              label={isDrag ? 'Drag in' : 'Torque or power in'}
              value={now.figureUnit}
              options={(isDrag ? FIGURE_UNITS.slice(0, 3) : FIGURE_UNITS).map((unit) => ({
                value: unit,
                text: unit,
              }))}
              onChoice={(figureUnit) => set({ figureUnit })}
            />
          </div>
          {MARKS.map(({ mark, label }) => (
            <MarkRow key={mark} trace={trace} mark={mark} label={label} />
          ))}
          <label class="tick">
            <input
              type="radio"
              name={`taps ${now.picture?.url ?? ''}`}
              checked={now.active === 'curve'}
              onChange={() => set({ active: 'curve' })}
            />
            <span>Points of the curve</span>
          </label>
          {scale.ok ? null : (
            <p class="field-says" role="status">
              {scale.why}
            </p>
          )}
        </fieldset>
        {scale.ok ? (
          <>
            <TracedTable trace={trace} />
            <ProblemList problems={(read?.problems ?? []).map((found) => inTableWords(found, 'point'))} />
            <p class="actions">
              <button
                type="button"
                disabled={read?.points === undefined}
                onClick={() => {
                  if (points !== undefined) onPoints(points);
                }}
              >
                {points === undefined || points.rows.length < 2
                  ? 'Use these points'
                  : `Use these ${points.rows.length} points`}
              </button>
            </p>
            <p class="field-says">
              One pixel of the picture is {Number(scale.scale.perPixel[0].toPrecision(2))} rpm by{' '}
              {Number(scale.scale.perPixel[1].toPrecision(2))} {now.figureUnit}.
            </p>
          </>
        ) : null}
      </div>
    </div>
  );
}

interface MarkRowProps {
  readonly trace: Signal<Trace>;
  readonly mark: TraceMark;
  readonly label: string;
}

function MarkRow({ trace, mark, label }: MarkRowProps) {
  const now = trace.value;
  const { text, placed } = now.marks[mark];
  const isBad = text.trim() !== '' && plainNumber(text) === undefined;
  const id = useId();
  return (
    <div class="mark-row">
      <label class="tick">
        <input
          type="radio"
          name={`taps ${now.picture?.url ?? ''}`}
          checked={now.active === mark}
          onChange={() => {
            trace.value = { ...trace.value, active: mark, selected: mark };
          }}
        />
        <span>
          <b class="mark-letter">{mark}</b> {label}
          <small>{placed ? '' : ', not placed yet'}</small>
        </span>
      </label>
      <input
        type="text"
        inputMode="decimal"
        autocomplete="off"
        value={text}
        aria-label={`${label}: value at mark ${mark}`}
        aria-invalid={isBad}
        {...(isBad ? { 'aria-describedby': id } : {})}
        onInput={(event) => {
          trace.value = {
            ...trace.value,
            marks: {
              ...trace.value.marks,
              [mark]: { ...trace.value.marks[mark], text: event.currentTarget.value },
            },
          };
        }}
      />
      {isBad ? (
        <p id={id} class="field-says refused">
          “{text}” is no plain number. The unit is chosen above.
        </p>
      ) : null}
    </div>
  );
}

/** Traced points by value, in the order of their engine speed; a value typed moves its point. */
function TracedTable({ trace }: { trace: Signal<Trace> }) {
  const now = trace.value;
  const draft = useKept(`${now.picture?.url ?? ''} draft`, { speed: '', figure: '' });
  const cells = useKept<Readonly<Record<string, string>>>(`${now.picture?.url ?? ''} cells`, {});
  const values = tracedValues(now);
  const set = (part: Partial<Trace>): void => {
    trace.value = { ...trace.value, ...part };
  };
  const move = (id: number, speed: string, figure: string): void => {
    const pixel = pointAt(trace.value, speed, figure);
    if (pixel !== undefined)
      set({ points: trace.value.points.map((point) => (point.id === id ? { ...point, pixel } : point)) });
  };
  const drafted = pointAt(now, draft.value.speed, draft.value.figure);
  const add = (): void => {
    if (drafted === undefined) return;
    const id = Math.max(0, ...now.points.map((point) => point.id)) + 1;
    set({ points: [...now.points, { id, pixel: drafted }], selected: id });
    draft.value = { speed: '', figure: '' };
  };
  return (
    <section class="table-frame curve-table" aria-label="Traced points">
      <table>
        <thead>
          <tr>
            <th scope="col">Point</th>
            <th scope="col">Engine speed, {now.speedUnit}</th>
            <th scope="col">Figure, {now.figureUnit}</th>
            <td />
          </tr>
        </thead>
        <tbody>
          {values.map(({ id, speed, figure }, i) => (
            <tr key={id} class={now.selected === id ? 'chosen' : ''}>
              <th scope="row">{i + 1}</th>
              {(['speed', 'figure'] as const).map((side) => {
                const key = `${id} ${side}`;
                const held = { speed: String(speed), figure: String(figure) };
                const text = cells.value[key] ?? held[side];
                return (
                  <td key={side}>
                    <input
                      type="text"
                      inputMode="decimal"
                      autocomplete="off"
                      value={text}
                      aria-label={`Point ${i + 1}: ${side === 'speed' ? 'engine speed' : 'figure'}`}
                      aria-invalid={plainNumber(text) === undefined}
                      onFocus={() => set({ selected: id })}
                      onInput={(event) => {
                        const typed = event.currentTarget.value;
                        cells.value = { ...cells.value, [key]: typed };
                        const next = { ...held, [side]: typed };
                        move(id, next.speed, next.figure);
                      }}
                      onBlur={() => {
                        if (plainNumber(text) === undefined) return;
                        const { [key]: _, ...rest } = cells.value;
                        cells.value = rest;
                      }}
                    />
                  </td>
                );
              })}
              <td class="row-end">
                <button
                  type="button"
                  class="quiet"
                  aria-label={`Take point ${i + 1} away`}
                  onClick={() =>
                    set({ points: now.points.filter((point) => point.id !== id), selected: undefined })
                  }
                >
                  ×
                </button>
              </td>
            </tr>
          ))}
          <tr class="new-point">
            <th scope="row">new</th>
            {(['speed', 'figure'] as const).map((side) => (
              <td key={side}>
                <input
                  type="text"
                  inputMode="decimal"
                  autocomplete="off"
                  value={draft.value[side]}
                  aria-label={`New point: ${side === 'speed' ? 'engine speed' : 'figure'}`}
                  aria-invalid={draft.value[side] !== '' && plainNumber(draft.value[side]) === undefined}
                  onInput={(event) => {
                    draft.value = { ...draft.value, [side]: event.currentTarget.value };
                  }}
                  onKeyDown={(event) => {
                    if (event.key === 'Enter') {
                      event.preventDefault();
                      add();
                    }
                  }}
                />
              </td>
            ))}
            <td class="row-end">
              <button type="button" disabled={drafted === undefined} onClick={add}>
                Add
              </button>
            </td>
          </tr>
        </tbody>
      </table>
    </section>
  );
}
