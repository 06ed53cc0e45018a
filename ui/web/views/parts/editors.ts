/** Editors of their own for parts of the file that a plain field does not serve, by pattern of the path. */
import type { SpecialEditors } from '../../forms/entry-form.tsx';
import { BrakeGainSheet } from './brake-gain.tsx';
import { ChassisHeightSheet } from './cg-height.tsx';
import { CurveEditor } from './curve-editor.tsx';
import { GearEditor } from './gear-editor.tsx';
import { RollOutSheet } from './roll-out.tsx';
import { RollStiffnessSheet } from './roll-stiffness.tsx';
import { WeighingSheets } from './weighing.tsx';

export const INSTEAD: SpecialEditors = {
  'donors.*.torque.points': CurveEditor,
  'donors.*.closedThrottle': CurveEditor,
  'donors.*.gears': GearEditor,
};

/** Worksheets, beside the field they feed. */
export const BESIDE: SpecialEditors = {
  'karts.*.weighed': WeighingSheets,
  'chassis.*.cg': ChassisHeightSheet,
  'chassis.*.roll': RollStiffnessSheet,
  'brakes.*.hydraulics': BrakeGainSheet,
  'tyres.*.rollOut': RollOutSheet,
};
