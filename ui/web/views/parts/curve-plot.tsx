/** The plot of an engine's points beside their table: in their own units, and as last readable. */
import { useRef } from 'preact/hooks';
import type { PointsRead, PointsSpec } from '../../../../sim/index.ts';
import { readDragPoints, readPoints } from '../../../../sim/index.ts';
import { columnsOf } from '../../forms/curve-points.ts';
import { engineCurvePlot } from '../../plots/engine-curve-plot.ts';
import { LinePlot } from '../../plots/line-plot.tsx';
import { useWorkbench } from '../../state/context.ts';
import { engineSpeed } from '../../words/numbers.ts';

export function readCurve(spec: PointsSpec, isDrag: boolean): PointsRead {
  return isDrag ? readDragPoints(spec, '') : readPoints(spec, '');
}

interface CurvePlotProps {
  readonly read: PointsRead | undefined;
  readonly spec: PointsSpec;
  readonly isDrag: boolean;
}

/** The curve as last readable: a slip of the pen must not blank the picture. */
export function CurvePlot({ read, spec, isDrag }: CurvePlotProps) {
  const { units } = useWorkbench().project.value;
  const last = useRef<PointsRead['points']>(undefined);
  if (read?.points !== undefined) last.current = read.points;
  const points = last.current;
  if (points === undefined || points.speed.length < 2) return null;
  const { figure } = columnsOf(spec);
  const isPower = figure.kind === 'enginePower';
  const plot = engineCurvePlot(
    points,
    {
      torque: !isPower && figure.unit !== '' ? figure.unit : (units['torque'] ?? 'N·m'),
      power: isPower && figure.unit !== '' ? figure.unit : (units['power'] ?? 'kW'),
    },
    isDrag ? 'closed throttle' : 'full throttle',
  );
  return (
    <div>
      <LinePlot plot={plot} saying={sayingOf(points)} />
      {read?.points === undefined ? (
        <p class="field-says">The plot shows the points as they could last be read.</p>
      ) : null}
    </div>
  );
}

function sayingOf({ speed, torque }: NonNullable<PointsRead['points']>): string {
  const peak = torque.indexOf(Math.max(...torque));
  return `${speed.length} points from ${engineSpeed(speed[0]!)} to ${engineSpeed(speed.at(-1)!)}; most torque ${torque[peak]!.toFixed(0)} N·m at ${engineSpeed(speed[peak]!)}.`;
}
