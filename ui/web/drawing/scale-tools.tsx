/** Brings a course to its true size: from two places a known distance apart, or from a known lap length. */
import { useState } from 'preact/hooks';
import { QuantityField } from '../forms/quantity-field.tsx';
import type { DrawingState } from './drawing-state.ts';
import type { DrawnPoint } from './drawn-points.ts';
import { scaled } from './point-edits.ts';

export interface ScaleToolsProps {
  readonly state: DrawingState;
  readonly length: number | undefined;
  readonly points: readonly DrawnPoint[] | undefined;
  readonly onEdit: (label: string, next: readonly DrawnPoint[]) => void;
}

export function ScaleTools({ state, length, points, onEdit }: ScaleToolsProps) {
  const [a, b] = state.spots.value;
  const drawn = a === undefined || b === undefined ? undefined : Math.hypot(a.x - b.x, a.y - b.y);
  const [truth, setTruth] = useState<number | undefined>(undefined);
  const [lap, setLap] = useState<number | undefined>(undefined);
  const picture = state.picture.value;
  const factor = drawn === undefined || truth === undefined || drawn === 0 ? undefined : truth / drawn;
  const scalePicture = (by: number): void => {
    if (picture === undefined || a === undefined) return;
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
    <fieldset>
      <legend>True size</legend>
      {drawn === undefined ? (
        <p class="field-says">With “Measure”, tap two places whose distance you know.</p>
      ) : (
        <>
          <p class="field-says">The two places are {drawn.toFixed(1)} m apart as drawn.</p>
          <QuantityField
            label="They really are"
            of="true distance"
            name="straightLength"
            shown="m"
            echoed={['ft']}
            value={truth ?? drawn}
            onValue={setTruth}
          />
          <div class="tool-row">
            <button
              type="button"
              disabled={factor === undefined || points === undefined}
              onClick={() => {
                if (factor === undefined || points === undefined) return;
                onEdit(`scaled by ${factor.toFixed(3)}`, scaled(points, factor));
                state.spots.value = [];
                setTruth(undefined);
              }}
            >
              Scale the course
            </button>
            <button
              type="button"
              disabled={factor === undefined || picture === undefined}
              onClick={() => {
                if (factor !== undefined) scalePicture(factor);
                setTruth(undefined);
              }}
            >
              Scale the picture
            </button>
          </div>
        </>
      )}
      {length === undefined || points === undefined ? null : (
        <>
          <QuantityField
            label="Known length of a lap"
            of="lap length"
            name="straightLength"
            shown="m"
            echoed={['ft']}
            value={lap ?? Number(length.toFixed(1))}
            onValue={setLap}
          />
          <button
            type="button"
            disabled={lap === undefined || lap <= 0}
            onClick={() => {
              if (lap === undefined) return;
              onEdit(`scaled to ${lap.toFixed(0)} m`, scaled(points, lap / length));
              setLap(undefined);
              state.view.value = undefined;
            }}
          >
            Scale to this length
          </button>
        </>
      )}
    </fieldset>
  );
}
