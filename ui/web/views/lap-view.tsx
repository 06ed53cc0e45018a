/** The lap: map and two plots over distance, one cursor over all of them. */
import type { ReadonlySignal } from '@preact/signals';
import { useComputed, useSignal } from '@preact/signals';
import { useEffect, useMemo } from 'preact/hooks';
import type { LapResult, Project } from '../../../sim/index.ts';
import { compileTrack } from '../../../sim/index.ts';
import { gearCell, gearName, inGear } from '../../words/gear-words.ts';
import type { Shade } from '../map/strands.ts';
import { strandsOf } from '../map/strands.ts';
import { MapKey, TrackMap } from '../map/track-map.tsx';
import { TableOf } from '../plots/data-table.tsx';
import type { LapNaming } from '../plots/lap-plots.ts';
import {
  lapEnginePlot,
  lapHeightPlot,
  lapSpeedPlot,
  lapTable,
  lapTimeTable,
  timeDifferencePlot,
} from '../plots/lap-plots.ts';
import { LinePlot } from '../plots/line-plot.tsx';
import type { Pinned } from '../plots/plot.ts';
import type { PlotCursor } from '../plots/plot-cursor.ts';
import { stationAt } from '../plots/station.ts';
import type { Range } from '../plots/zoom.ts';
import { useOneFrameLater } from '../state/after-paint.ts';
import type { Shown } from '../state/answers.ts';
import { lineOf } from '../state/choice.ts';
import { useWorkbench } from '../state/context.ts';
import { engineSpeed, metres, seconds, speed } from '../words/numbers.ts';
import { Answer } from './answer.tsx';
import { usePinned } from './pins.tsx';

const SHADES: readonly { readonly shade: Shade; readonly text: string }[] = [
  { shade: 'speed', text: 'speed' },
  { shade: 'gear', text: 'gear' },
  { shade: 'limit', text: 'what holds it back' },
];

export interface LapViewProps {
  /** The answer shown: the lap itself, or that of a course being drawn. */
  readonly of?: 'lap' | 'drawnLap';
  /** While it holds nothing is drawn anew: a hand is on the course, and the time of a frame belongs to it. */
  readonly waits?: ReadonlySignal<boolean>;
}

export function LapView({ of = 'lap', waits }: LapViewProps) {
  const workbench = useWorkbench();
  // The sentence first: it is on the screen while map and plots are still being drawn.
  const answer = useOneFrameLater<Shown<LapResult>>(workbench.answers[of], waits);
  const shown: Shown<LapResult> =
    waits?.value === true ? { ...answer.value, freshness: 'updating' } : answer.value;
  const unit = workbench.speedUnit.value;
  const shade = useSignal<Shade>('speed');
  const lap = shown.result;
  const basis = shown.basis;
  const naming = useMemo(
    () => (basis === undefined ? undefined : namingOf(basis.project, basis.choice.kart, unit)),
    [basis, unit],
  );
  const at = useComputed(() => workbench.cursor.value ?? answer.value.result?.lowestSpeedAt);
  const cursor = useMemo(
    (): PlotCursor | undefined =>
      lap === undefined
        ? undefined
        : {
            at,
            min: 0,
            max: lap.length,
            step: Math.max(1, Math.round(lap.length / 400)),
            say: (place) => sayAt(lap, place, unit),
            move: (place) => {
              workbench.cursor.value = place;
            },
          },
    [lap, unit],
  );
  const pinned = usePinned('how-quick', 'lap');
  const strands = useMemo(
    () => (lap === undefined ? undefined : strandsOf(lap, shade.value, unit)),
    [lap, shade.value, unit],
  );
  const spec = basis?.project.tracks[basis.choice.track];
  const onLine = basis !== undefined && lineOf(basis.choice, basis.project) !== 'as drawn';
  const road = useMemo(
    () => (spec === undefined || !onLine ? undefined : compileTrack(spec, 'tracks.road', ROAD_SPACING).track),
    [spec, onLine],
  );
  if (!lap || !basis || !naming || !cursor || !strands) {
    return (
      <section class="lap card">
        <Answer shown={shown}>{null}</Answer>
      </section>
    );
  }
  const closed = spec?.closed ?? true;
  const surfaces = basis.project.surfaces;
  return (
    <section class="lap" aria-label="Place by place">
      <div class="card lap-map">
        {/* What went wrong with the lap itself is said in its headline; a course being drawn has none. */}
        <Answer shown={of === 'lap' ? { ...shown, problems: [] } : shown}>
          <div class="shade" role="radiogroup" aria-label="Line on the map shows">
            <span aria-hidden="true">The line shows</span>
            {SHADES.map((entry) => (
              <label key={entry.shade}>
                <input
                  type="radio"
                  name="shade"
                  checked={shade.value === entry.shade}
                  onChange={() => {
                    shade.value = entry.shade;
                  }}
                />
                <span>{entry.shade === 'gear' && lap.shifts === null ? 'belt' : entry.text}</span>
              </label>
            ))}
          </div>
          <TrackMap
            lap={lap}
            closed={closed}
            surfaces={surfaces}
            shade={shade.value}
            strands={strands}
            unit={unit}
            saying={mapSaying(lap, unit)}
            cursor={cursor}
            {...(road === undefined ? {} : { road })}
          />
          <MapKey lap={lap} surfaces={surfaces} shade={shade.value} strands={strands} unit={unit} />
          <p class="field-says">{courseWords(lap, basis.project, basis.choice.track)}</p>
        </Answer>
      </div>
      <div class="card lap-plots">
        <Answer shown={{ ...shown, problems: [] }}>
          <Readout lap={lap} unit={unit} cursor={cursor} />
          <LapPlots lap={lap} naming={naming} cursor={cursor} unit={unit} pinned={pinned} />
        </Answer>
      </div>
    </section>
  );
}

interface LapPlotsProps {
  readonly lap: LapResult;
  readonly naming: LapNaming;
  readonly cursor: PlotCursor;
  readonly unit: string;
  readonly pinned: readonly Pinned<LapResult>[];
}

/** m; the edges of the road on the map. */
const ROAD_SPACING = 1;

function LapPlots({ lap, naming, cursor, unit, pinned }: LapPlotsProps) {
  const range = useSignal<Range | undefined>(undefined);
  // A closer look at one course says nothing of another.
  useEffect(() => {
    range.value = undefined;
  }, [lap.track]);
  const speedPlot = useMemo(() => lapSpeedPlot(lap, naming, pinned), [lap, naming, pinned]);
  const differencePlot = useMemo(() => timeDifferencePlot(lap, pinned), [lap, pinned]);
  // The ground does not change with the kart: told apart by a few of its figures, it is not drawn anew at every edit.
  const { height } = lap.columns;
  const ground = [
    lap.track,
    lap.length,
    height.length,
    height[height.length >> 1],
    height[height.length >> 2],
  ].join();
  const heightPlot = useMemo(() => lapHeightPlot(lap), [ground]);
  const enginePlot = useMemo(() => lapEnginePlot(lap, naming), [lap, naming]);
  return (
    <>
      <LinePlot
        plot={speedPlot}
        saying={mapSaying(lap, unit)}
        cursor={cursor}
        range={range}
        table={(most) => lapTable(lap, naming, most)}
      />
      {differencePlot === undefined ? null : (
        <LinePlot
          plot={differencePlot}
          saying={`Time in hand over the pinned laps of ${lap.track}`}
          cursor={cursor}
          range={range}
        />
      )}
      <LinePlot
        plot={enginePlot}
        saying={`${lap.shifts === null ? 'Engine speed' : 'Engine speed and gear'} round ${lap.track}`}
        cursor={cursor}
        range={range}
      />
      {heightPlot === undefined ? null : (
        <LinePlot
          plot={heightPlot}
          saying={`Height and grade round ${lap.track}`}
          cursor={cursor}
          range={range}
        />
      )}
      <TableOf table={lapTimeTable(lap)} caption="Where the time goes" />
    </>
  );
}

/** The values under the cursor. */
function Readout({ lap, unit, cursor }: { lap: LapResult; unit: string; cursor: PlotCursor }) {
  const place = cursor.at.value ?? 0;
  const c = lap.columns;
  const i = stationAt(c.distance, place);
  const cells = [
    ['place', metres(c.distance[i]!)],
    ['clock', seconds(c.time[i]!)],
    ['speed', speed(c.speed[i]!, unit)],
    [lap.shifts === null ? 'belt' : 'gear', gearCell(lap.gearNames[c.gear[i]!] ?? '')],
    ['engine', engineSpeed(c.engineSpeed[i]!)],
    ['held back by', lap.limits[c.limit[i]!] ?? ''],
  ] as const;
  return (
    <dl class="readout">
      {cells.map(([term, text]) => (
        <div key={term}>
          <dt>{term}</dt>
          <dd>{text}</dd>
        </div>
      ))}
    </dl>
  );
}

function sayAt(lap: LapResult, place: number, unit: string): string {
  const c = lap.columns;
  const i = stationAt(c.distance, place);
  return `${metres(c.distance[i]!)}: ${speed(c.speed[i]!, unit)}, ${(lap.shifts === null ? inGear : gearName)(lap.gearNames[c.gear[i]!] ?? '')}, ${engineSpeed(c.engineSpeed[i]!)}, held back by ${lap.limits[c.limit[i]!] ?? ''}`;
}

function mapSaying(lap: LapResult, unit: string): string {
  return `${lap.track}, ${metres(lap.length)}: slowest ${speed(lap.lowestSpeed, unit)} at ${metres(lap.lowestSpeedAt)}, fastest ${speed(lap.topSpeed, unit)} at ${metres(lap.topSpeedAt)}`;
}

function courseWords(lap: LapResult, project: Project, track: string): string {
  const note = project.tracks[track]?.note;
  return `${lap.track}, ${metres(lap.length)}.${note === undefined ? '' : ` ${note}`}`;
}

function namingOf(project: Project, kart: string, speedUnit: string): LapNaming {
  const donor = project.donors[project.karts[kart]?.donor ?? ''];
  return { speedUnit, surfaces: project.surfaces, revLimit: donor?.revLimit ?? 0 };
}
