/**
 * The points of an engine curve: a table beside its plot, a sheet pasted into it, a picture traced.
 *
 * In: the path of the points, full-throttle or closed-throttle. Out: edits of them. What the reader says of the points
 * stands with the table.
 */
import type { PointsSpec } from '../../../../sim/index.ts';
import { asPoints, inTableWords } from '../../forms/curve-points.ts';
import { useWorkbench } from '../../state/context.ts';
import { written } from '../../state/document.ts';
import { placeOf, removeValue, setValue } from '../../state/input-commands.ts';
import { inRpm } from '../../words/numbers.ts';
import { ProblemList } from '../problem-list.tsx';
import { CurvePlot, readCurve } from './curve-plot.tsx';
import { CurveTable } from './curve-table.tsx';
import { PasteCurve } from './paste-curve.tsx';
import { TraceCurve } from './trace-curve.tsx';

export interface CurveProps {
  readonly path: string;
}

export function CurveEditor({ path }: CurveProps) {
  const workbench = useWorkbench();
  const isDrag = path.endsWith('.closedThrottle');
  const raw = written(workbench.document.value, placeOf(path));
  const spec = asPoints(raw);
  const read = spec === undefined ? undefined : readCurve(spec, isDrag);
  const what = isDrag ? 'closed-throttle drag' : 'torque curve';
  const use = (points: PointsSpec, how: string): void =>
    workbench.edit(setValue(path, `${what}, ${points.rows.length} points ${how}`, points));
  return (
    <fieldset class="group curve">
      <legend>{isDrag ? 'Closed-throttle drag' : 'Points of the curve'}</legend>
      {spec === undefined ? (
        <NoPoints path={path} isDrag={isDrag} onPoints={use} />
      ) : (
        <div class="curve-both">
          <div>
            <CurveTable path={path} spec={spec} isDrag={isDrag} />
            <ProblemList problems={(read?.problems ?? []).map((found) => inTableWords(found, 'row'))} />
          </div>
          <CurvePlot read={read} spec={spec} isDrag={isDrag} />
        </div>
      )}
      <PasteCurve path={path} isDrag={isDrag} onPoints={(points) => use(points, 'pasted')} />
      <TraceCurve path={path} isDrag={isDrag} onPoints={(points) => use(points, 'traced')} />
      {isDrag && raw !== undefined ? (
        <button
          type="button"
          class="quiet"
          onClick={() => workbench.edit(removeValue(path, 'closed-throttle drag taken away'))}
        >
          Take closed-throttle drag away
        </button>
      ) : null}
    </fieldset>
  );
}

interface NoPointsProps {
  readonly path: string;
  readonly isDrag: boolean;
  readonly onPoints: (points: PointsSpec, how: string) => void;
}

/** rpm between the points taken from the estimate. */
const ESTIMATE_STEPS = 5;

function NoPoints({ isDrag, onPoints }: NoPointsProps) {
  const sheet = useWorkbench().answers.sheet.value.result;
  if (!isDrag) return <p class="field-says">No points that can be read. Paste a sheet or trace a picture.</p>;
  const estimate = (): void => {
    if (sheet === undefined) return;
    const { engineSpeed: speeds, torque } = sheet.drag;
    const rows = Array.from({ length: ESTIMATE_STEPS + 1 }, (_, i): [number, number] => {
      const at = Math.round(((speeds.length - 1) * i) / ESTIMATE_STEPS);
      return [Math.round(inRpm(speeds[at]!)), Number(torque[at]!.toPrecision(2))];
    });
    onPoints({ columns: ['rpm', 'N·m'], rows }, 'from the estimate');
  };
  return (
    <>
      <p class="field-says">
        Not given: the drag of the engine on a closed throttle is estimated from its displacement and stroke.
        Measured points, from coasting in gear or a motored dyno, take its place.
      </p>
      <p>
        <button type="button" disabled={sheet === undefined} onClick={estimate}>
          Start from the estimate
        </button>
      </p>
    </>
  );
}
