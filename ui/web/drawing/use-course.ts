/** The course of the chosen track as the drawing shows and edits it. */
import { useMemo } from 'preact/hooks';
import type { CourseOutline, Project } from '../../../sim/index.ts';
import { useWorkbench } from '../state/context.ts';
import { written } from '../state/document.ts';
import { drawing } from './drawing-state.ts';
import { drawnOutline } from './drawn-course.ts';
import type { DrawnPoint } from './drawn-points.ts';
import { drawnPoints } from './drawn-points.ts';
import { radiiAt } from './stretches-of.ts';
import { setPoints } from './track-commands.ts';

export interface Course {
  readonly id: string;
  readonly spec: Project['tracks'][string];
  /** Undefined for a course of stretches, and while a new one is being begun. */
  readonly points: readonly DrawnPoint[] | undefined;
  /** Undefined while it makes no course, and while a new one is being begun. */
  readonly outline: CourseOutline | undefined;
  /** Radius at each point, m. */
  readonly radii: readonly number[];
  /** Other points in place of these, as one step to undo; of a gesture all its edits are one. */
  readonly edit: (label: string, next: readonly DrawnPoint[], gesture?: string) => void;
}

/** Undefined where the project has no track. */
export function useCourse(): Course | undefined {
  const workbench = useWorkbench();
  const { track: id } = workbench.choice.value;
  const spec = workbench.project.value.tracks[id];
  const raw = written(workbench.document.value, ['tracks', id]);
  const points = useMemo(() => drawnPoints(raw, spec), [raw, spec]);
  const outline = drawnOutline(spec, id);
  const radii = useMemo(
    () => (outline === undefined || points === undefined ? [] : radiiAt(outline, points)),
    [outline, points],
  );
  if (spec === undefined) return undefined;
  const isNew = drawing.fresh.value;
  return {
    id,
    spec,
    points: isNew ? undefined : points,
    outline: isNew ? undefined : outline,
    radii: isNew ? [] : radii,
    edit: (label, next, gesture) => workbench.edit(setPoints(id, spec.name, label, next), gesture),
  };
}
