/** Does it match? The builder's log against the estimate: the raw gap first, then only what the log can tell, value by value. */
import { useSignal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { useEffect, useId, useMemo, useRef } from 'preact/hooks';
import type { FittedValue, MatchResult } from '../../../sim/index.ts';
import { defaultOf, editsFor, holdsEdits, matchLog, quantity, withEdits } from '../../../sim/index.ts';
import { MAX_LOG_BYTES } from '../../log-files/read-log.ts';
import type { LogReading } from '../exchange/log-reading.ts';
import { readLogBeside } from '../exchange/log-reading.ts';
import { ChoiceField } from '../forms/choice-field.tsx';
import { QuantityField } from '../forms/quantity-field.tsx';
import { TableOf } from '../plots/data-table.tsx';
import { LinePlot } from '../plots/line-plot.tsx';
import { useWorkbench } from '../state/context.ts';
import type { ProjectDocument } from '../state/document.ts';
import { VIEW_WORDS } from '../state/views.ts';
import { STANDING_CAUTION } from '../words/cautions.ts';
import {
  countedSentence,
  driverSentence,
  fittedSentence,
  fittedTable,
  LAID_IN_TIME,
  lapsSentence,
  leftOutSentence,
  matchSentence,
  segmentPlot,
  segmentTable,
} from '../words/match-words.ts';
import { percent } from '../words/numbers.ts';
import { ProblemList } from './problem-list.tsx';

export function MatchPage() {
  const workbench = useWorkbench();
  const { match } = workbench;
  const shown = match.value.value;
  const project = workbench.project.value;
  const { kart, day, track } = workbench.choice.value;
  const surface = workbench.ground.value;
  const unit = workbench.speedUnit.value;
  const withLaps = useSignal(false);
  const levelWithin = useSignal(quantity('grade').spread as number);
  const speedWithin = useSignal(defaultOf('loggedSpeedError'));
  const start = (): void =>
    match.start(matchLog, project, workbench.read.value.notes, {
      kart,
      day,
      surface,
      levelWithin: levelWithin.value,
      speedWithin: speedWithin.value,
      ...(withLaps.value ? { track } : {}),
    });
  const log = shown.read?.log;
  return (
    <div class="study">
      <section class="headline" aria-labelledby="match-title">
        <h2 class="question" id="match-title">
          {VIEW_WORDS.match}
        </h2>
        <p class="lap-time" id="match-sentence" role="status">
          {shown.result === undefined
            ? shown.name === undefined
              ? 'Take a log of an outing: it is laid against the estimate.'
              : `${shown.name}: ${log === undefined ? 'cannot be read.' : `${log.time.length} rows over ${(log.time.at(-1) ?? 0).toFixed(0)} s.`}`
            : matchSentence(shown.result, unit)}
        </p>
        <p>
          A table from a logger or a phone (time with speed, or with places; rpm if there is one), or GPX with
          times. Pulls, stops and runs with the throttle shut are found by themselves. The file stays in this
          page.
        </p>
        <LogChoice />
        <ProblemList problems={shown.read?.problems ?? []} />
        {log === undefined ? null : (
          <>
            <ul class="worked">
              {(shown.read?.remarks ?? []).map((remark) => (
                <li key={remark}>{remark}</li>
              ))}
            </ul>
            <div class="inline-fields">
              <ChoiceField
                label="Laps in it"
                value={withLaps.value ? 'yes' : 'no'}
                options={[
                  { value: 'no', text: 'leave laps out' },
                  { value: 'yes', text: `of ${project.tracks[track]?.name}` },
                ]}
                onChoice={(next) => {
                  withLaps.value = next === 'yes';
                }}
              />
              <QuantityField
                label="Ground level, give or take"
                of="match level"
                name="grade"
                shown="%"
                value={levelWithin.value}
                hint="1 % where nobody measured: a level and a tape over ten metres tell 0.1 %"
                narrow={(read) =>
                  read.ok && (read.value < 0 || read.value > MOST_SLOPE)
                    ? {
                        ok: false,
                        message: 'how far off level either way: from 0 to 10 %',
                        remedy: 'log on ground that is as good as level',
                      }
                    : read
                }
                onValue={(value) => {
                  levelWithin.value = value;
                }}
              />
              <QuantityField
                label="Logged speeds true, give or take"
                of="match speeds"
                name="loggedSpeedError"
                shown="%"
                value={speedWithin.value}
                hint="1 % of a wheel sensor set by a roll-out; 0.2 % of a satellite receiver"
                onValue={(value) => {
                  speedWithin.value = value;
                }}
              />
            </div>
            <div class="study-progress">
              {shown.state === 'working' ? (
                <>
                  <span>{shown.runs} runs tried</span>
                  <button type="button" onClick={() => match.stop()}>
                    Stop
                  </button>
                </>
              ) : (
                <button type="button" onClick={start}>
                  Lay it against {project.karts[kart]?.name} on{' '}
                  {project.surfaces[surface]?.name.toLowerCase()}
                </button>
              )}
            </div>
          </>
        )}
        {shown.state === 'stopped' && shown.result !== undefined ? (
          <p class="caution">Stopped early: this rests on the {shown.runs} runs made so far.</p>
        ) : null}
        {shown.trouble === undefined ? null : <p class="caution">The match stopped: {shown.trouble}</p>}
        <p class="standing">{STANDING_CAUTION}</p>
      </section>
      {shown.result === undefined ? null : <Found result={shown.result} name={shown.name ?? 'a log'} />}
    </div>
  );
}

/** Rise over run: steeper is no ground to learn a kart's drag on. */
const MOST_SLOPE = 0.1;

/** The kart and the ground the demo's outing was made up for. */
const MADE_UP = { kart: 'clodlet-four-asphalt', ground: 'asphalt', name: 'made-up-outing.csv' } as const;

function LogChoice() {
  const workbench = useWorkbench();
  const { match } = workbench;
  const { karts, surfaces } = workbench.project.value;
  const id = useId();
  const trouble = useSignal('');
  const busy = useSignal('');
  const reading = useRef<LogReading | undefined>(undefined);
  const chooser = useRef<HTMLInputElement>(null);
  const end = (): void => {
    reading.current?.end();
    reading.current = undefined;
    busy.value = '';
  };
  useEffect(() => end, []);
  const take = async (file: File | undefined): Promise<void> => {
    if (file === undefined) return;
    end();
    trouble.value = '';
    if (file.size > MAX_LOG_BYTES) {
      trouble.value = `${file.name} has ${(file.size / 1e6).toFixed(0)} MB; a log may have ${MAX_LOG_BYTES / 1e6} MB. Cut out the runs that matter.`;
      return;
    }
    busy.value = file.name.slice(0, 120);
    const begun = readLogBeside(file);
    reading.current = begun;
    const read = await begun.read;
    if (reading.current !== begun) return;
    end();
    match.take(file.name, read);
  };
  const stop = (): void => {
    trouble.value = `Stopped: ${busy.value} was not read to its end.`;
    end();
    chooser.current?.focus();
  };
  const takeMadeUp = async (): Promise<void> => {
    const { default: text } = await import('../../demo/made-up-outing.csv?raw');
    workbench.choose({ kart: MADE_UP.kart, ground: MADE_UP.ground });
    await take(new File([text], MADE_UP.name));
  };
  const hasDemo = Object.hasOwn(karts, MADE_UP.kart) && Object.hasOwn(surfaces, MADE_UP.ground);
  return (
    <>
      <p class="save-row">
        <label class="file-choice" for={id}>
          Choose a log
          <input
            ref={chooser}
            id={id}
            type="file"
            accept=".csv,.tsv,.txt,.gpx,text/*"
            onChange={(event) => {
              void take(event.currentTarget.files?.[0]);
              event.currentTarget.value = '';
            }}
          />
        </label>
        {hasDemo ? (
          <button type="button" onClick={() => void takeMadeUp()}>
            Try it with a made-up outing of {karts[MADE_UP.kart]?.name}
          </button>
        ) : null}
      </p>
      <p class={busy.value === '' ? 'field-says refused' : 'field-says'} role="status">
        {busy.value === '' ? trouble.value : `Reading ${busy.value} …`}
      </p>
      {busy.value === '' ? null : (
        <div class="study-progress">
          <button type="button" onClick={stop}>
            Stop
          </button>
        </div>
      )}
    </>
  );
}

function Found({ result, name }: { result: MatchResult; name: string }) {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  const unit = workbench.speedUnit.value;
  const picked = useSignal(0);
  const segment = result.segments[picked.value] ?? result.segments[0];
  const plot = useMemo(
    () => (segment === undefined ? undefined : segmentPlot(segment, unit)),
    [segment, unit],
  );
  return (
    <>
      <section class="card" aria-labelledby="match-gap">
        <h3 id="match-gap">The raw gap, before anything is fitted</h3>
        <ProblemList problems={result.problems} />
        {result.segments.length === 0 ? null : (
          <TableOf table={segmentTable(result, unit)} caption="Found in the log" />
        )}
        {result.leftOut === null ? null : <p>{leftOutSentence(result)}</p>}
        {result.laps === null ? null : <p>{lapsSentence(result, project)}</p>}
        <DriverShare result={result} name={name} />
        {plot === undefined ? null : (
          <>
            <ChoiceField
              label="Shown below"
              value={String(picked.value)}
              options={result.segments.map((s, i) => ({
                value: String(i),
                text: `${s.kind} at ${s.start.toFixed(0)} s`,
              }))}
              onChoice={(next) => {
                picked.value = Number(next);
              }}
            />
            <LinePlot plot={plot} saying="Logged speed beside the estimated one" />
            <p class="field-says">{LAID_IN_TIME}</p>
          </>
        )}
      </section>
      <section class="card" aria-labelledby="match-values">
        <h3 id="match-values">What the log can tell</h3>
        {result.values.length === 0 ? (
          <p>Nothing the file does not say as well.</p>
        ) : (
          <p>{countedSentence(result)}</p>
        )}
        {result.values.map((value) => (
          <Value key={value.id} value={value} name={name} />
        ))}
        {result.refused.length === 0 ? null : (
          <>
            <h4>What it cannot tell</h4>
            <ul class="worked">
              {result.refused.map(({ ids, why }) => (
                <li key={ids.join()}>
                  {ids.join(' and ')}: {why}
                </li>
              ))}
            </ul>
          </>
        )}
        <p class="field-says">
          Each value is put into {project.name} by itself, dated, and Undo takes it out again.
        </p>
      </section>
    </>
  );
}

type Accepted = Parameters<typeof editsFor>[1][number];

/** Puts what a log says into the project, dated: one step to undo. Says so in place, for as long as the project holds it. */
function TakeOver({ value, log, children }: { value: Accepted; log: string; children: ComponentChildren }) {
  const workbench = useWorkbench();
  const { match } = workbench;
  const status = useRef<HTMLParagraphElement>(null);
  const edits = match.value.value.taken?.[value.id];
  const isIn = edits !== undefined && holdsEdits(workbench.document.value, edits);
  const put = (): void => {
    const made = editsFor(workbench.document.peek(), [value], {
      date: new Date().toISOString().slice(0, 10),
      log,
    });
    workbench.edit({
      label: `${value.id} from ${log}`,
      apply: (document) => withEdits(document, made, 'after') as ProjectDocument,
    });
    match.tookOver(value.id, made);
    // The button goes: who works with keys goes on from here.
    status.current?.focus();
  };
  return (
    <>
      {isIn ? null : (
        <button type="button" onClick={put}>
          {children}
        </button>
      )}
      {/* Never hidden, so that it is heard when it is filled. */}
      <p role="status" tabIndex={-1} ref={status}>
        {isIn ? `In the project now, from ${log}; Undo takes it out again.` : ''}
      </p>
    </>
  );
}

function DriverShare({ result, name }: { result: MatchResult; name: string }) {
  const project = useWorkbench().project.value;
  const driver = result.laps?.driver;
  if (driver === undefined || driver === null) return null;
  return (
    <>
      <p>{driverSentence(result, project)}</p>
      {driver.atBound === null ? (
        <TakeOver value={{ id: 'driver’s share', places: [driver] }} log={name}>
          Put {percent(driver.after)} of the grip into the project
        </TakeOver>
      ) : null}
    </>
  );
}

function Value({ value, name }: { value: FittedValue; name: string }) {
  const project = useWorkbench().project.value;
  return (
    <div class="fitted">
      <p>{fittedSentence(value, project)}</p>
      <TableOf table={fittedTable(value, project)} caption={`Fitted: ${value.id}`} />
      {value.atBound === null && value.isBetter ? (
        <TakeOver value={value} log={name}>
          Put {value.id} into the project
        </TakeOver>
      ) : null}
    </div>
  );
}
