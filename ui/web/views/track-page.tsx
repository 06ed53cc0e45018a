/** The track: where it runs, what lies on it, how high it goes; its map beside it. */
import { useWorkbench } from '../state/context.ts';
import { metres } from '../words/numbers.ts';
import { LapView } from './lap-view.tsx';
import { PartCard } from './parts/part-card.tsx';

export function TrackPage() {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  const { track: id } = workbench.choice.value;
  const track = project.tracks[id];
  const lap = workbench.answers.lap.value.result;
  if (track === undefined) return <p class="card">This project has no track.</p>;
  const grounds = Object.keys(project.surfaces);
  return (
    <div class="parts">
      <section class="headline" aria-labelledby="track-title">
        <h2 class="question" id="track-title">
          Track
        </h2>
        <p class="lap-time">{track.name}</p>
        <p>
          {track.closed ? 'A closed circuit' : 'An open course'}
          {lap === undefined ? '' : ` of ${metres(lap.length)}`},{' '}
          {project.surfaces[track.surface]?.name.toLowerCase()}. {track.note ?? ''}
        </p>
      </section>
      <PartCard kind="tracks" id={id} label="Track" onChoose={(next) => workbench.choose({ track: next })} />
      {grounds.map((ground) => (
        <PartCard key={ground} kind="surfaces" id={ground} label="Ground" />
      ))}
      <LapView />
    </div>
  );
}
