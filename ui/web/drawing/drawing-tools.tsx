/** The tools of the drawing board as buttons: what a finger does, and what may be done with the point picked. */
import type { Project } from '../../../sim/index.ts';
import { ChoiceField, named } from '../forms/choice-field.tsx';
import { useWorkbench } from '../state/context.ts';
import type { DrawingState } from './drawing-state.ts';
import { backToTrack, zoomBy } from './drawing-state.ts';
import { drawnCourse } from './drawn-course.ts';
import type { DrawnPoint } from './drawn-points.ts';
import type { Mode } from './gesture.ts';
import {
  bent,
  FEWEST_CLOSED,
  inserted,
  nextPlaceAfter,
  pickedRange,
  removed,
  reversed,
  straightened,
  surfaced,
} from './point-edits.ts';
import { setClosed, stretchesToPoints } from './track-commands.ts';
import type { Course } from './use-course.ts';

export interface PointToolsProps {
  readonly state: DrawingState;
  readonly id: string;
  readonly spec: Project['tracks'][string];
  readonly points: readonly DrawnPoint[];
  readonly onEdit: (label: string, next: readonly DrawnPoint[]) => void;
}

export interface DrawingToolsProps {
  readonly state: DrawingState;
  readonly course: Course;
}

const MODES: readonly { readonly mode: Mode; readonly text: string }[] = [
  { mode: 'move', text: 'Move' },
  { mode: 'draw', text: 'Draw' },
  { mode: 'measure', text: 'Measure' },
];

/** How much sharper or easier one press makes a bend. */
const BEND_STEP = 1.12;

export function DrawingTools({ state, course }: DrawingToolsProps) {
  const { id, spec, points } = course;
  const compiled = points === undefined ? drawnCourse(spec, id) : undefined;
  const workbench = useWorkbench();
  return (
    <div class="drawing-tools">
      <div class="tool-row">
        <button
          type="button"
          onClick={() => {
            state.fresh.value = true;
            state.draft.value = undefined;
            state.selected.value = undefined;
            state.mode.value = 'draw';
          }}
        >
          Draw a new course
        </button>
        {state.fresh.value ? (
          <button type="button" onClick={() => backToTrack(state)}>
            Back to {spec.name}
          </button>
        ) : null}
        <fieldset class="ticks">
          <legend>A finger or the mouse</legend>
          {MODES.map(({ mode, text }) => (
            <label key={mode}>
              <input
                type="radio"
                name="drawing-mode"
                checked={state.mode.value === mode}
                onChange={() => {
                  state.mode.value = mode;
                }}
              />
              <span>{text}</span>
            </label>
          ))}
        </fieldset>
        <button type="button" onClick={() => zoomBy(state, 1.4)}>
          Closer
        </button>
        <button type="button" onClick={() => zoomBy(state, 1 / 1.4)}>
          Farther
        </button>
        <button
          type="button"
          onClick={() => {
            state.view.value = undefined;
          }}
        >
          All of it
        </button>
        {course.outline !== undefined && compiled !== undefined && spec.stretches !== undefined ? (
          <button type="button" onClick={() => workbench.edit(stretchesToPoints(id, compiled, spec))}>
            Turn the stretches into points
          </button>
        ) : null}
      </div>
    </div>
  );
}

export function PointTools({ state, id, spec, points, onEdit }: PointToolsProps) {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  const { closed } = spec;
  const at = state.selected.value;
  const begin = state.rangeFrom.value;
  const range =
    at === undefined || begin === undefined || begin === at ? undefined : pickedRange(begin, at, closed);
  const rangeWords = range === undefined ? '' : `from ${range.from + 1} to ${range.to + 1}`;
  const onPoint = (text: string, run: (point: number) => void, disabled = false) => (
    <button type="button" disabled={at === undefined || disabled} onClick={() => at !== undefined && run(at)}>
      {text}
    </button>
  );
  return (
    <>
      <div class="tool-row">
        <span class="tool-of">{at === undefined ? 'No point picked' : `Point ${at + 1}`}</span>
        {onPoint('Sharper', (i) => onEdit(`point ${i + 1} sharper`, bent(points, i, BEND_STEP, closed)))}
        {onPoint('Easier', (i) => onEdit(`point ${i + 1} easier`, bent(points, i, 1 / BEND_STEP, closed)))}
        {onPoint('Insert after', (i) => {
          onEdit('point added', inserted(points, i, nextPlaceAfter(points, i, closed)));
          state.selected.value = i + 1;
        })}
        {onPoint(
          'Delete',
          (i) => {
            onEdit(`point ${i + 1} deleted`, removed(points, i, closed));
            state.selected.value = undefined;
          },
          points.length <= (closed ? FEWEST_CLOSED : 2),
        )}
        {onPoint('Start of a range', (i) => {
          state.rangeFrom.value = i;
        })}
        <button
          type="button"
          onClick={() => onEdit('course reversed', reversed(points, closed, spec.surface))}
        >
          Reverse
        </button>
        <button
          type="button"
          disabled={!closed && points.length < FEWEST_CLOSED}
          onClick={() => workbench.edit(setClosed(id, spec.name, !closed, points))}
        >
          {closed ? 'Open the course' : 'Close the course'}
        </button>
      </div>
      <div class="tool-row">
        <span class="tool-of">
          {range === undefined
            ? 'A range: pick its start, then its end'
            : `From point ${range.from + 1} to ${range.to + 1}`}
        </span>
        <button
          type="button"
          disabled={range === undefined}
          onClick={() =>
            range && onEdit(`straight ${rangeWords}`, straightened(points, range.from, range.to))
          }
        >
          Straighten
        </button>
        <ChoiceField
          label="Lay on it"
          value=""
          options={[
            { value: '', text: range !== undefined ? 'a surface' : 'pick a range first' },
            ...named(project.surfaces),
          ]}
          onChoice={(surface) => {
            if (range !== undefined && surface !== '')
              onEdit(
                `${project.surfaces[surface]?.name ?? surface} ${rangeWords}`,
                surfaced(points, range.from, range.to, surface, spec.surface),
              );
          }}
        />
      </div>
    </>
  );
}
