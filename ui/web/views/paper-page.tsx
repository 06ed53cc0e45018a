/**
 * Paper: one sheet per kart and track for the garage and the paddock, black and white, with room for notes.
 *
 * In: the answers of the view. Out: a sheet that prints on A4 or Letter. Everything on it is the solver's or the file's.
 */
import { useSignal } from '@preact/signals';
import { useMemo } from 'preact/hooks';
import type { LapResult, Project, ThrustResult } from '../../../sim/index.ts';
import { bestFrontShare } from '../../../sim/index.ts';
import { gearCell } from '../../words/gear-words.ts';
import { strandsOf } from '../map/strands.ts';
import { TrackMap } from '../map/track-map.tsx';
import { TableOf } from '../plots/data-table.tsx';
import type { PlotTable } from '../plots/plot.ts';
import type { PlotCursor } from '../plots/plot-cursor.ts';
import { gearsOfSpeeds, shiftTable, speedsInGearsTable } from '../plots/thrust-plots.ts';
import type { Basis } from '../state/answers.ts';
import { lineOf } from '../state/choice.ts';
import { useWorkbench } from '../state/context.ts';
import { VIEW_WORDS } from '../state/views.ts';
import { marksOnPaper } from '../words/balance-words.ts';
import { LEFT_OUT, STANDING_CAUTION } from '../words/cautions.ts';
import { guessesOf, guessSentence } from '../words/guess-words.ts';
import { lapHeadline } from '../words/lap-words.ts';
import { metres, percent, speed, stopMetres } from '../words/numbers.ts';
import { beltOverRevSentence, isBelt, shiftSentence } from '../words/shift-words.ts';
import { axleWord, isUsable, setSentence, settingsTried } from '../words/stop-words.ts';

/** Lines to write on. */
const BLANK_ROWS = 8;
/** Guesses named on the sheet: those that fit beside the rest. */
const GUESSES = 8;

export function PaperPage() {
  const workbench = useWorkbench();
  const { answers } = workbench;
  const lap = answers.lap.value.result;
  const basis = answers.lap.value.basis ?? answers.top.value.basis;
  const top = answers.top.value.result;
  const sheet = answers.sheet.value.result;
  const unit = workbench.speedUnit.value;
  if (basis === undefined || top === undefined || sheet === undefined)
    return <p class="card dated">Working it out …</p>;
  const { project, choice } = basis;
  const kart = project.karts[choice.kart];
  const donor = project.donors[kart?.donor ?? ''];
  const sprockets =
    kart?.sprockets === undefined
      ? `final drive ${sheet.finalRatio.toFixed(2)}`
      : `${kart.sprockets.front}/${kart.sprockets.rear} teeth`;
  return (
    <>
      <p class="paper-tools">
        <button type="button" onClick={() => print()}>
          Print this sheet
        </button>
        <span class="field-says">
          One side of A4 or Letter, black and white. In the print window switch headers and footers off.
        </span>
      </p>
      <article class="sheet" aria-label="Sheet for the paddock">
        <header>
          <h2>
            {kart?.name} at {project.tracks[choice.track]?.name}
          </h2>
          <p>
            {project.days[choice.day]?.name}; {sprockets}; {sheet.mass.toFixed(0)} kg with driver,{' '}
            {percent(sheet.frontWeightShare)} in front.{' '}
            {lap === undefined ? '' : lapHeadline(lap, lineOf(choice, project))}
          </p>
        </header>
        <div class="sheet-columns">
          <section aria-labelledby="paper-gears">
            <h3 id="paper-gears">{isBelt(top) ? 'Belt' : 'Gears'}</h3>
            {isBelt(top) ? (
              <p>
                {shiftSentence(top, unit)} {beltOverRevSentence(top, unit)}
              </p>
            ) : (
              <TableOf table={gearsTable(top, unit)} caption="Gears on paper" keepsColumns />
            )}
            <h3>
              {isBelt(top) ? 'Speeds at either end of the belt' : 'Speeds in the gears'}, {unit}
            </h3>
            <TableOf
              table={withPlainHeads(speedsInGearsTable(top, donor?.revLimit ?? 0, unit), top)}
              caption={`Speeds in the ${isBelt(top) ? 'ratios' : 'gears'} on paper`}
              keepsColumns
            />
            <h3>Brakes as set</h3>
            <BrakeSetting share={sheet.brakeFrontShare} />
          </section>
          <section aria-labelledby="paper-map">
            <h3 id="paper-map">
              {lap === undefined
                ? 'Track'
                : `${lap.track}, ${metres(lap.length)}: ${placeShade(lap)} by place`}
            </h3>
            {lap === undefined ? (
              <p>No lap could be worked out for this kart and track.</p>
            ) : (
              <PaperMap lap={lap} project={project} track={choice.track} unit={unit} />
            )}
            <h3>Brakes</h3>
            <BrakeLines />
          </section>
        </div>
        <div class="sheet-columns">
          <section aria-labelledby="paper-assumed">
            <h3 id="paper-assumed">Guessed or borrowed, not measured</h3>
            <Guesses basis={basis} />
          </section>
          <section aria-labelledby="paper-notes">
            <h3 id="paper-notes">Notes of the day</h3>
            <NotesTable />
          </section>
        </div>
        <p class="sheet-foot">
          {STANDING_CAUTION} {LEFT_OUT} Made with Kartwright, {new Date(basis.at).toLocaleDateString('en-GB')}
          .
        </p>
      </article>
    </>
  );
}

function PaperMap({
  lap,
  project,
  track,
  unit,
}: {
  lap: LapResult;
  project: Project;
  track: string;
  unit: string;
}) {
  const at = useSignal<number | undefined>(undefined);
  const cursor = useMemo(
    (): PlotCursor => ({ at, min: 0, max: lap.length, step: 1, say: () => '', move: () => {} }),
    [lap],
  );
  const shade = placeShade(lap);
  const strands = useMemo(() => strandsOf(lap, shade, unit), [lap, unit]);
  return (
    <TrackMap
      lap={lap}
      closed={project.tracks[track]?.closed ?? true}
      surfaces={project.surfaces}
      shade={shade}
      strands={strands}
      unit={unit}
      saying={`${lap.track} with the ${shade} by place`}
      cursor={cursor}
    />
  );
}

/** What a driver looks up by place: the gear; with a belt, which finds its ratio by itself, the speed. */
function placeShade(lap: LapResult): 'gear' | 'speed' {
  return lap.shifts === null ? 'speed' : 'gear';
}

/** How they are set, by share and knob, and the marks for the knob. */
function BrakeSetting({ share }: { share: number }) {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  const { kart, day, stopFrom } = workbench.choice.value;
  const bar = project.brakes[project.karts[kart]?.brakes ?? '']?.hydraulics?.barFrontShare;
  const tried = settingsTried(workbench.studies.balance.value.value, workbench.revision(), {
    kart,
    day,
    fromSpeed: stopFrom,
  });
  const grounds = [workbench.ground.value, workbench.otherGround.value];
  const marks = marksOnPaper(tried, grounds, project);
  return (
    <>
      <p>{setSentence(share, bar)}</p>
      {marks !== undefined ? (
        <p>{marks}</p>
      ) : bar === undefined ? null : (
        <p>
          No marks for the knob yet: press “Try every setting” under “{VIEW_WORDS.stop}”, and print again.
        </p>
      )}
    </>
  );
}

/** What the setting does, and what would suit each ground. */
function BrakeLines() {
  const { answers, speedUnit, project } = useWorkbench();
  const lines = [
    { stop: answers.stopHereClutch.value, best: answers.bestHereClutch.value },
    { stop: answers.stopHereGear.value, best: answers.bestHereGear.value },
    { stop: answers.stopThereClutch.value, best: answers.bestThereClutch.value },
    { stop: answers.stopThereGear.value, best: answers.bestThereGear.value },
  ].flatMap(({ stop, best }) => {
    if (stop.result === undefined || stop.basis === undefined || stop.freshness === 'failed') return [];
    const share = best.result === undefined ? undefined : bestFrontShare(best.result);
    return [
      [
        project.value.surfaces[stop.result.surface]?.name ?? stop.result.surface,
        stop.result.engine,
        `${stopMetres(stop.result.distance)} from ${speed(stop.basis.choice.stopFrom, speedUnit.value)}`,
        axleWord(stop.result),
        isUsable(share) ? percent(share) : 'none',
      ],
    ];
  });
  return (
    <TableOf
      keepsColumns
      caption="Brakes on paper"
      table={{
        heads: ['ground', 'engine', 'stop', 'at its grip', 'suits both axles, on average'],
        rows: lines,
      }}
    />
  );
}

/** What nobody measured and moves the lap most. */
function Guesses({ basis }: { basis: Basis }) {
  const workbench = useWorkbench();
  const resting = workbench.restsOn.value.value;
  const project = workbench.project.value;
  const isMine =
    resting?.question === 'how-quick' &&
    resting.basis.revision === basis.revision &&
    resting.basis.choice === basis.choice;
  const mine = isMine ? resting : undefined;
  if (mine?.state === 'failed') return <p>Not known: no lap could be worked out.</p>;
  if (mine === undefined || mine.state === 'working') return <p>Working it out …</p>;
  if (mine.found === undefined) return <p>Not worked out.</p>;
  const guesses = guessesOf(mine.found);
  if (guesses.length === 0) return <p>Everything that moves the lap was measured or read off papers.</p>;
  return (
    <ul class="guesses">
      {guesses.slice(0, GUESSES).map((effect) => (
        <li key={effect.note.path}>{guessSentence(effect, project)}</li>
      ))}
    </ul>
  );
}

function NotesTable() {
  return (
    <table class="blank">
      <thead>
        <tr>
          {['run', 'teeth', 'brake knob', 'best lap', 'what it did'].map((head) => (
            <th key={head} scope="col">
              {head}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {Array.from({ length: BLANK_ROWS }, (_, i) => i + 1).map((row) => (
          <tr key={row}>
            <th scope="row">{row}</th>
            <td />
            <td />
            <td />
            <td />
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** Shift points, and beside each gear how fast one may still be going to change down into it. */
function gearsTable(top: ThrustResult, unit: string): PlotTable {
  const shifts = shiftTable(top, unit);
  const last = top.gears.length - 1;
  return {
    heads: [...[0, 2, 3, 4].map((i) => shifts.heads[i] ?? ''), 'down into it below'],
    rows: shifts.rows.map((row, i) => {
      const { safeDownshiftSpeed } = top.gears[i]!;
      const into = i === last || !Number.isFinite(safeDownshiftSpeed) ? '' : speed(safeDownshiftSpeed, unit);
      return [row[0] ?? '', row[2] ?? '', row[3] ?? '', row[4] ?? '', into];
    }),
  };
}

/** The gears by number alone, a belt's ends by name: the heading above says the rest. */
function withPlainHeads(table: PlotTable, top: ThrustResult): PlotTable {
  return {
    ...table,
    heads: [table.heads[0] ?? '', ...gearsOfSpeeds(top).map((gear) => gearCell(gear.name))],
  };
}
