/** Does it match? The builder's log against the estimate: the raw gap first, then only what the log can tell, value by value. */
import { useSignal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { useMemo, useRef } from 'preact/hooks';
import type { FittedValue, MatchResult, Project } from '../../../sim/index.ts';
import { defaultOf, editsFor, holdsEdits, matchLog, quantity, withEdits } from '../../../sim/index.ts';
import { ChoiceField } from '../forms/choice-field.tsx';
import { QuantityField } from '../forms/quantity-field.tsx';
import { TableOf } from '../plots/data-table.tsx';
import { LinePlot } from '../plots/line-plot.tsx';
import { groundsOf } from '../state/choice.ts';
import { useWorkbench } from '../state/context.ts';
import type { ProjectDocument } from '../state/document.ts';
import { VIEW_WORDS } from '../state/views.ts';
import { STANDING_CAUTION } from '../words/cautions.ts';
import {
  countedSentence,
  driverSentence,
  fittedSentence,
  fittedTable,
  HOW_TO_DRIVE,
  LAID_IN_TIME,
  lapsSentence,
  leftOutSentence,
  matchSentence,
  oldWords,
  passedOverSentence,
  segmentPlot,
  segmentTable,
} from '../words/match-words.ts';
import { percent } from '../words/numbers.ts';
import { drivenOnOf, hasChangedSince } from './match/in-view.ts';
import { LogChoice } from './match/log-choice.tsx';
import { ProblemList } from './problem-list.tsx';

export function MatchPage() {
  const workbench = useWorkbench();
  const { match } = workbench;
  const shown = match.value.value;
  const project = workbench.project.value;
  const { kart, day, track } = workbench.choice.value;
  const surface = drivenOnOf(shown.drivenOn, workbench.ground.value, kart, project);
  const unit = workbench.speedUnit.value;
  const withLaps = useSignal(false);
  const levelWithin = useSignal(quantity('grade').spread as number);
  const speedWithin = useSignal(defaultOf('loggedSpeedError'));
  const start = (): void =>
    match.start(
      matchLog,
      { project, notes: workbench.read.value.notes, document: workbench.document.value },
      {
        kart,
        day,
        surface,
        levelWithin: levelWithin.value,
        speedWithin: speedWithin.value,
        ...(withLaps.value ? { track } : {}),
      },
    );
  const log = shown.read?.log;
  const { result } = shown;
  /** As it was matched, in the units of now. */
  const matched = { ...(shown.against?.project ?? project), units: project.units };
  const old =
    result === undefined
      ? ''
      : oldWords(result, matched, {
          kart,
          day,
          surface,
          changed: hasChangedSince(shown, workbench.document.value),
        });
  return (
    <div class="study">
      <section class="headline" aria-labelledby="match-title">
        <h2 class="question" id="match-title">
          {VIEW_WORDS.match}
        </h2>
        <p class={old === '' ? 'lap-time' : 'lap-time stale'} id="match-sentence" role="status">
          {result === undefined
            ? shown.name === undefined
              ? 'Take a log of an outing: it is laid against the estimate.'
              : `${shown.name}: ${log === undefined ? 'cannot be read.' : `${log.time.length} rows over ${(log.time.at(-1) ?? 0).toFixed(0)} s.`}`
            : matchSentence(result, matched, unit)}
        </p>
        <div role="status">{old === '' ? null : <p class="caution">{old}</p>}</div>
        <p>
          A table from a logger or a phone (time with speed, or with places; rpm if there is one), or GPX with
          times. Pulls, stops and runs with the throttle shut are found by themselves. The file stays in this
          page.
        </p>
        {log === undefined ? (
          <ul class="worked">
            {HOW_TO_DRIVE.map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ul>
        ) : null}
        <LogChoice />
        {log === undefined ? null : (
          <>
            <div class="inline-fields">
              <ChoiceField
                label="Driven on"
                value={surface}
                options={groundsOf(kart, project).map((id) => ({
                  value: id,
                  text: project.surfaces[id]?.name ?? id,
                }))}
                onChoice={(ground) => match.driveOn(ground)}
              />
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
        {shown.state === 'stopped' && result !== undefined ? (
          <p class="caution">Stopped early: this rests on the {shown.runs} runs made so far.</p>
        ) : null}
        {shown.trouble === undefined ? null : <p class="caution">The match stopped: {shown.trouble}</p>}
        <p class="standing">{STANDING_CAUTION}</p>
      </section>
      {result === undefined ? null : (
        <Found result={result} project={matched} isOld={old !== ''} name={shown.name ?? 'a log'} />
      )}
    </div>
  );
}

/** Rise over run: steeper is no ground to learn a kart's drag on. */
const MOST_SLOPE = 0.1;

/** Said of one value and beside it: not once more above. */
const SAID_BESIDE: readonly string[] = ['no-better-than-file', 'at-bound'];

interface FoundProps {
  readonly result: MatchResult;
  /** As it was matched */
  readonly project: Project;
  /** Of another kart, day, ground or state of the project than in view: nothing is put in from it. */
  readonly isOld: boolean;
  readonly name: string;
}

function Found({ result, project, isOld, name }: FoundProps) {
  const unit = useWorkbench().speedUnit.value;
  const look = isOld ? 'card stale kept' : 'card';
  const picked = useSignal(0);
  const segment = result.segments[picked.value] ?? result.segments[0];
  const plot = useMemo(
    () => (segment === undefined ? undefined : segmentPlot(segment, unit)),
    [segment, unit],
  );
  return (
    <>
      <section class={look} aria-labelledby="match-gap">
        <h3 id="match-gap">The raw gap, before anything is fitted</h3>
        <ProblemList problems={result.problems.filter(({ code }) => !SAID_BESIDE.includes(code))} />
        {result.segments.length === 0 ? null : (
          <TableOf table={segmentTable(result, unit)} caption="Found in the log" />
        )}
        {result.leftOut === null ? null : <p>{leftOutSentence(result)}</p>}
        {passedOverSentence(result) === '' ? null : <p>{passedOverSentence(result)}</p>}
        {result.laps === null ? null : <p>{lapsSentence(result, project)}</p>}
        <DriverShare result={result} project={project} isOld={isOld} name={name} />
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
      <section class={look} aria-labelledby="match-values">
        <h3 id="match-values">What the log can tell</h3>
        {result.values.length === 0 ? (
          <p>Nothing the file does not say as well.</p>
        ) : (
          <p>{countedSentence(result)}</p>
        )}
        {result.values.map((value) => (
          <Value key={value.id} value={value} project={project} isOld={isOld} name={name} />
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
function TakeOver({
  value,
  isOld,
  log,
  children,
}: {
  value: Accepted;
  isOld: boolean;
  log: string;
  children: ComponentChildren;
}) {
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
      {isIn || isOld ? null : (
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

function DriverShare({ result, project, isOld, name }: FoundProps) {
  const driver = result.laps?.driver;
  if (driver === undefined || driver === null) return null;
  // To the digit it is said to: laid again after it was taken over, it is the file's own.
  const isOther = driver.after.toFixed(3) !== driver.before.toFixed(3);
  return (
    <>
      <p>{driverSentence(result, project)}</p>
      {driver.atBound === null && isOther ? (
        <TakeOver value={{ id: 'driver’s share', places: [driver] }} isOld={isOld} log={name}>
          Put {percent(driver.after)} of the grip into the project
        </TakeOver>
      ) : null}
    </>
  );
}

function Value({ value, project, isOld, name }: Omit<FoundProps, 'result'> & { value: FittedValue }) {
  return (
    <div class="fitted">
      <p>{fittedSentence(value, project)}</p>
      <TableOf table={fittedTable(value, project)} caption={`Fitted: ${value.id}`} />
      {value.atBound === null && value.isBetter ? (
        <TakeOver value={value} isOld={isOld} log={name}>
          Put {value.id} into the project
        </TakeOver>
      ) : null}
    </div>
  );
}
