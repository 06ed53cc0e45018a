/**
 * Brings a course to its true size: from two places a known distance apart, or from its known length. What was typed goes
 * with the places it was typed for, and with the track: whoever draws this gives it another `key` for another.
 */
import { useState } from 'preact/hooks';
import { QuantityField } from '../forms/quantity-field.tsx';
import type { DrawingState } from './drawing-state.ts';
import type { DrawnPoint } from './drawn-points.ts';
import type { Place } from './point-edits.ts';
import { scaled } from './point-edits.ts';

export interface ScaleToolsProps {
  readonly state: DrawingState;
  readonly closed: boolean;
  readonly length: number | undefined;
  readonly points: readonly DrawnPoint[] | undefined;
  readonly onEdit: (label: string, next: readonly DrawnPoint[]) => void;
}

export function ScaleTools(props: ScaleToolsProps) {
  const { state, closed, length, points, onEdit } = props;
  const [a, b] = state.spots.value;
  return (
    <fieldset>
      <legend>True size</legend>
      {a === undefined || b === undefined ? (
        <p class="field-says">With “Measure”, tap two places whose distance you know.</p>
      ) : (
        <BetweenPlaces key={`${a.x} ${a.y} ${b.x} ${b.y}`} {...props} a={a} b={b} />
      )}
      {length === undefined || points === undefined ? null : (
        <ByLength
          label={closed ? 'Known length of a lap' : 'Known length of the run'}
          length={length}
          onLength={(known) => {
            onEdit(`scaled to ${known.toFixed(0)} m`, scaled(points, known / length));
            state.view.value = undefined;
          }}
        />
      )}
    </fieldset>
  );
}

function BetweenPlaces({
  state,
  points,
  onEdit,
  a,
  b,
}: ScaleToolsProps & { readonly a: Place; readonly b: Place }) {
  const typed = useTypedSize();
  const drawn = Math.hypot(a.x - b.x, a.y - b.y);
  const picture = state.picture.value;
  const factor = typed.size === undefined || drawn === 0 ? undefined : typed.size / drawn;
  const scalePicture = (by: number): void => {
    if (picture === undefined) return;
    state.picture.value = {
      ...picture,
      metresPerPixel: picture.metresPerPixel * by,
      x: a.x + by * (picture.x - a.x),
      y: a.y + by * (picture.y - a.y),
    };
    state.spots.value = state.spots.value.map((spot) => ({
      x: a.x + by * (spot.x - a.x),
      y: a.y + by * (spot.y - a.y),
    }));
    // The window goes with the ground: what was in sight stays in sight.
    const view = state.view.peek();
    if (view !== undefined)
      state.view.value = {
        x: a.x + by * (view.x - a.x),
        y: a.y + by * (view.y - a.y),
        scale: view.scale / by,
      };
  };
  return (
    <>
      <p class="field-says">The two places are {drawn.toFixed(1)} m apart as drawn.</p>
      <QuantityField
        label="They really are"
        of="true distance"
        name="straightLength"
        shown="m"
        echoed={['ft']}
        value={typed.written ?? drawn}
        onValue={typed.onValue}
        onReadable={typed.onReadable}
      />
      <div class="tool-row">
        <button
          type="button"
          disabled={factor === undefined || points === undefined}
          onClick={() => {
            if (factor === undefined || points === undefined) return;
            onEdit(`scaled by ${factor.toFixed(3)}`, scaled(points, factor));
            state.spots.value = [];
          }}
        >
          Scale the course
        </button>
        <button
          type="button"
          disabled={factor === undefined || picture === undefined}
          onClick={() => factor !== undefined && scalePicture(factor)}
        >
          Scale the picture
        </button>
      </div>
    </>
  );
}

interface ByLengthProps {
  readonly label: string;
  /** As drawn, m */
  readonly length: number;
  readonly onLength: (known: number) => void;
}

function ByLength({ label, length, onLength }: ByLengthProps) {
  const typed = useTypedSize();
  const { size } = typed;
  return (
    <>
      <QuantityField
        label={label}
        of="lap length"
        name="straightLength"
        shown="m"
        echoed={['ft']}
        value={typed.written ?? Number(length.toFixed(1))}
        onValue={typed.onValue}
        onReadable={typed.onReadable}
      />
      <button
        type="button"
        disabled={size === undefined || size <= 0}
        onClick={() => {
          if (size === undefined) return;
          typed.forget();
          onLength(size);
        }}
      >
        Scale to this length
      </button>
    </>
  );
}

/** A size typed in: `written` is the last that could be read, `size` the same while it is what stands in the field. */
function useTypedSize() {
  const [written, setWritten] = useState<number | undefined>(undefined);
  const [isReadable, onReadable] = useState(true);
  return {
    written,
    size: isReadable ? written : undefined,
    onValue: (value: number): void => setWritten(value),
    onReadable,
    forget: (): void => setWritten(undefined),
  };
}
