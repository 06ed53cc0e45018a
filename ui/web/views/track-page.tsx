/** The track: where it runs, what lies on it, how high it goes; its map beside it. */
import { useComputed } from '@preact/signals';
import { CourseEditor } from '../drawing/course-editor.tsx';
import { drawnOutline } from '../drawing/drawn-course.ts';
import type { SpecialEditors } from '../forms/entry-form.tsx';
import { useWorkbench } from '../state/context.ts';
import { HeldWhile } from '../state/held-while.tsx';
import { metres } from '../words/numbers.ts';
import { LapView } from './lap-view.tsx';
import { LinesCard } from './lines-card.tsx';
import { PartCard } from './parts/part-card.tsx';
import { TrackFilesCard } from './track-files/track-files-card.tsx';

export function TrackPage() {
  const workbench = useWorkbench();
  const { track: id } = workbench.choice.value;
  const isThere = useComputed(
    () => workbench.project.value.tracks[workbench.choice.value.track] !== undefined,
  );
  if (!isThere.value) return <p class="card">This project has no track.</p>;
  return (
    <div class="parts">
      <TrackHeadline />
      <CourseEditor />
      <HeldWhile held={workbench.inHand}>
        <LinesCard />
        <TrackFilesCard />
        <PartCard
          kind="tracks"
          id={id}
          label="Track"
          onChoose={(next) => workbench.choose({ track: next })}
          instead={ELSEWHERE}
        />
        <Grounds />
      </HeldWhile>
      <LapView of="drawnLap" waits={workbench.inHand} />
    </div>
  );
}

function TrackHeadline() {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  const { track: id } = workbench.choice.value;
  const track = project.tracks[id];
  if (track === undefined) return null;
  // Of the course as drawn: a kart that cannot drive it does not change how long it is.
  const length = drawnOutline(track, id)?.length;
  return (
    <section class="headline" aria-labelledby="track-title">
      <h2 class="question" id="track-title">
        Track
      </h2>
      <p class="lap-time">{track.name}</p>
      <p>
        {track.closed ? 'A closed circuit' : 'An open course'}
        {length === undefined ? '' : ` of ${metres(length)}`},{' '}
        {project.surfaces[track.surface]?.name.toLowerCase()}. {track.note ?? ''}
      </p>
    </section>
  );
}

function Grounds() {
  const { project } = useWorkbench();
  return (
    <>
      {Object.keys(project.value.surfaces).map((ground) => (
        <PartCard key={ground} kind="surfaces" id={ground} label="Ground" />
      ))}
    </>
  );
}

/** Too many to be fields, and edited in their own place. */
const ELSEWHERE: SpecialEditors = {
  'tracks.*.points': () => (
    <p class="field-says">The points of the course are edited on the drawing board above.</p>
  ),
  'tracks.*.lines': () => null,
};
