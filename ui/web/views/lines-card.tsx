/**
 * The lines of the track in view: as drawn, smoothest and fastest for the kart in view, each with its time, on the map;
 * kept with the track when asked, and said to be old when the kart has changed much since.
 */
import { useMemo } from 'preact/hooks';
import type { CompiledTrack, LineResult } from '../../../sim/index.ts';
import { lineAge } from '../../../sim/index.ts';
import { drawnCourse } from '../drawing/drawn-course.ts';
import { INK, IRON, POND } from '../look/palette.ts';
import { fitTrack } from '../map/fit.ts';
import { groundOutline, stationsShown } from '../map/outline.ts';
import { TableOf } from '../plots/data-table.tsx';
import { LinePlot } from '../plots/line-plot.tsx';
import type { Plot, PlotTable } from '../plots/plot.ts';
import { useWorkbench } from '../state/context.ts';
import { setValue } from '../state/input-commands.ts';
import { changedSince } from '../state/lines-changed.ts';
import { metres, speed } from '../words/numbers.ts';

const LOOKS = {
  'as drawn': { colour: INK, dash: '2 4' },
  smoothest: { colour: POND, dash: '9 4' },
  fastest: { colour: IRON, dash: '' },
} as const;

export function LinesCard() {
  const workbench = useWorkbench();
  const { kart, day, track } = workbench.choice.value;
  const project = workbench.project.value;
  const search = workbench.lines;
  const shown = search.value.value;
  const isMine = shown.of?.kart === kart && shown.of.track === track && shown.of.day === day;
  const result = isMine ? shown.result : undefined;
  const changed = useMemo(
    () => (result === undefined ? undefined : changedSince(project, { kart, day, track }, result.keep)),
    [project, kart, day, track, result],
  );
  // Of this project: by the time the button is pressed, another step may have been made.
  const revision = workbench.revision();
  const start = (): void => search.start(project, revision, { kart, day, track });
  return (
    <section class="card" aria-labelledby="lines-title">
      <h3 id="lines-title">Lines</h3>
      <p id="lines-sentence" role="status">
        {result === undefined
          ? isMine && shown.state === 'failed'
            ? `No line: ${shown.problem}.`
            : `Within its width the course may be driven as drawn, on the smoothest line, or on the fastest for ${project.karts[kart]?.name}: surfaces, slopes and the kart’s own limits count.`
          : changed === undefined
            ? sentence(result)
            : `Found before ${changed} changed: find them again. ${sentence(result)}`}
      </p>
      <div class="study-progress">
        {isMine && shown.state === 'working' ? (
          <>
            <progress max={1} value={result?.share ?? 0} aria-label="Search for the fastest line" />
            <button type="button" onClick={() => search.stop()}>
              Stop, keep the best so far
            </button>
          </>
        ) : (
          <button type="button" onClick={start}>
            Find the fastest line
          </button>
        )}
        {result === undefined || changed !== undefined || shown.state === 'working' ? null : (
          <button
            type="button"
            onClick={() =>
              workbench.edit(
                setValue(`tracks.${track}.lines`, `lines of ${project.karts[kart]?.name} kept`, kept(result)),
              )
            }
          >
            Keep these lines with the track
          </button>
        )}
      </div>
      <KeptLines />
      {result === undefined ? null : (
        <div class={changed === undefined ? 'found-lines' : 'found-lines stale kept'}>
          <Lines result={result} />
        </div>
      )}
    </section>
  );

  /** These lines, and those kept for other karts. */
  function kept(found: LineResult) {
    const others = (project.tracks[track]?.lines ?? []).filter(
      (line) => line.kart !== kart || line.day !== day,
    );
    return [...others, ...found.keep].map((line) => ({
      ...line,
      // As the search wrote them: its time is of these figures, and rounded once more the line is rougher and slower.
      offset: Array.from(line.offset),
      distance: Array.from(line.distance),
    }));
  }
}

/** What is kept with the track, and whether it still holds. */
function KeptLines() {
  const workbench = useWorkbench();
  const { kart, day, track } = workbench.choice.value;
  const project = workbench.project.value;
  const lines = project.tracks[track]?.lines ?? [];
  const ages = useMemo(
    () => lines.map((line) => lineAge(project, { kart, day, track }, line)),
    [project, kart, day, track],
  );
  if (lines.length === 0) return null;
  return (
    <ul class="kept-lines">
      {lines.map((line, i) => {
        const age = ages[i];
        const name = project.karts[line.kart]?.name ?? line.kart;
        return (
          <li key={`${line.kind} ${line.kart} ${line.day}`}>
            Kept: {line.kind} for {name}, {line.time.toFixed(2)} s.{' '}
            {age === undefined || age.state === 'fresh'
              ? 'It holds for the kart in view.'
              : age.state === 'near'
                ? 'The kart in view differs by little: it still serves.'
                : `Old: ${age.changes[0]?.what ?? 'something'} has changed${age.changes[0]?.what === 'track as drawn' ? '' : ` by ${(100 * (age.changes[0]?.share ?? 0)).toFixed(0)} %`}. Find it again.`}
          </li>
        );
      })}
      <li>“How quick here?” drives the line chosen there.</li>
    </ul>
  );
}

function sentence(result: LineResult): string {
  const [drawn, ...others] = result.lines;
  const best = [...result.lines].sort((a, b) => a.time - b.time)[0];
  if (drawn === undefined || best === undefined || others.length === 0) return '';
  const gained = drawn.time - best.time;
  const state = result.finished ? '' : ' so far';
  return `The ${best.kind} line${state}: ${best.time.toFixed(2)} s, ${gained.toFixed(2)} s quicker than the line as drawn. Both as the file has the kart: what is not known of it moves them together, and how far stands under “How quick here?”.`;
}

function Lines({ result }: { result: LineResult }) {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  const { track } = workbench.choice.value;
  const unit = workbench.speedUnit.value;
  const spec = project.tracks[track];
  const road = drawnCourse(spec, track);
  const plot = useMemo(
    (): Plot => ({
      title: 'Gained by the fastest line on the drawn one',
      x: { title: 'along the course as drawn, m', min: 0 },
      left: { title: 'gained, s' },
      series: [{ name: 'gained', x: result.gain.along, y: result.gain.seconds, colour: IRON }],
      levels: [{ at: 0, word: 'level' }],
      marks: [],
      strip: [],
    }),
    [result],
  );
  const table: PlotTable = {
    heads: ['line', 'time', 'against drawn', 'length', 'tightest radius', 'top speed'],
    rows: result.lines.map((line) => [
      line.kind,
      `${line.time.toFixed(2)} s`,
      `${(line.time - result.lines[0]!.time).toFixed(2)} s`,
      metres(line.length),
      `${line.tightest.toFixed(1)} m`,
      speed(Math.max(...line.speed), unit),
    ]),
  };
  return (
    <div class="two">
      <div>
        {road === undefined ? null : <LinesMap result={result} road={road} />}
        <TableOf table={table} caption="Lines of the track" />
      </div>
      <LinePlot plot={plot} saying="Where the fastest line gains on the drawn one" />
    </div>
  );
}

const SIZE = { width: 520, height: 380 };

function LinesMap({ result, road }: { result: LineResult; road: CompiledTrack }) {
  const fitted = useMemo(() => fitTrack(road.x, road.y, SIZE, 24), [road]);
  const ground = useMemo(
    () => groundOutline(fitted, road, stationsShown(fitted, road, 0, road.count - 1)),
    [fitted, road],
  );
  const toX = (x: number): number => fitted.x[0]! + fitted.scale * (x - road.x[0]!);
  const toY = (y: number): number => fitted.y[0]! - fitted.scale * (y - road.y[0]!);
  return (
    <figure class="lines-map">
      <svg
        viewBox={`0 0 ${SIZE.width} ${SIZE.height}`}
        role="img"
        aria-label={`The lines on the map: ${result.lines.map((l) => `${l.kind} ${l.time.toFixed(2)} s`).join(', ')}`}
      >
        <path class="map-shoulder" d={ground} />
        {result.lines.map((line) => {
          const d = Array.from(
            line.x,
            (x, i) => `${i === 0 ? 'M' : 'L'}${toX(x).toFixed(1)} ${toY(line.y[i]!).toFixed(1)}`,
          ).join('');
          const { colour, dash } = LOOKS[line.kind];
          return (
            <path
              key={line.kind}
              d={result.closed ? `${d}Z` : d}
              fill="none"
              stroke={colour}
              stroke-width={line.kind === 'fastest' ? 2.5 : 1.5}
              stroke-dasharray={dash}
            />
          );
        })}
      </svg>
      <figcaption class="key">
        {result.lines.map((line) => (
          <span key={line.kind} class="key-entry">
            <svg width="30" height="8" aria-hidden="true">
              <line
                x1="0"
                x2="30"
                y1="4"
                y2="4"
                stroke={LOOKS[line.kind].colour}
                stroke-width="2"
                stroke-dasharray={LOOKS[line.kind].dash}
              />
            </svg>
            {line.kind}
          </span>
        ))}
      </figcaption>
    </figure>
  );
}
