/** Every setting of the brakes: 0 to 100 % on two grounds, clutch in and in gear; asked for, for it takes a while. */
import { useSignal } from '@preact/signals';
import { useMemo } from 'preact/hooks';
import { planBalance } from '../../../sim/index.ts';
import { BEND_CAPTION, marksDoubtSentence } from '../../words/brake-balance-words.ts';
import { TableOf } from '../plots/data-table.tsx';
import { LinePlot } from '../plots/line-plot.tsx';
import { useWorkbench } from '../state/context.ts';
import {
  balanceInBend,
  balanceLapTable,
  balanceSentences,
  balanceStudyPlot,
  balanceTable,
  knobSentence,
  setNowSentence,
  settingsSaid,
} from '../words/balance-words.ts';
import { ProblemList } from './problem-list.tsx';
import { usePlanned } from './study-frame.tsx';
import { StudyProgress } from './study-progress.tsx';

export function BalanceStudy() {
  const asked = useSignal(false);
  return (
    <section class="card" aria-labelledby="settings-title">
      <h3 id="settings-title">Every setting of the balance</h3>
      {asked.value ? (
        <Settings />
      ) : (
        <>
          <p>
            From all rear to all front, on both grounds, with the clutch in and in every gear that brakes: the
            best setting for each, the one that serves both, and what it does to the lap. Some hundred stops.
          </p>
          <button
            type="button"
            onClick={() => {
              asked.value = true;
            }}
          >
            Try every setting
          </button>
        </>
      )}
    </section>
  );
}

function Settings() {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  const { kart, day, line, track, stopFrom } = workbench.choice.value;
  const here = workbench.ground.value;
  const there = workbench.otherGround.value;
  const hereIsLoose = project.surfaces[here]?.kind !== 'hard';
  const study = workbench.studies.balance;
  const { notes } = workbench.read.value;
  const { start, problems } = usePlanned(
    study,
    `${kart} ${day} ${line} ${track} ${stopFrom} ${here} ${there}`,
    () =>
      planBalance(project, {
        kart,
        day,
        line,
        loose: hereIsLoose ? here : there,
        hard: hereIsLoose ? there : here,
        fromSpeed: stopFrom,
        tracks: [track],
        notes,
      }),
  );
  const shown = study.value.value;
  const found = shown.result?.kart === kart ? shown.result : undefined;
  const plot = useMemo(
    () => (found === undefined ? undefined : balanceStudyPlot(found, project)),
    [found, project],
  );
  const laps = found === undefined ? undefined : balanceLapTable(found, project);
  const bend = found === undefined ? undefined : balanceInBend(found, project, workbench.speedUnit.value);
  return (
    <>
      <ProblemList problems={problems} />
      <StudyProgress study={study} unit="batches of stops" onAgain={start} />
      {found === undefined || plot === undefined || bend === undefined ? null : (
        <div class={shown.isOld ? 'stale' : ''}>
          <p>{setNowSentence(found, project)}</p>
          <p class="caution">{knobSentence(found, project)}</p>
          <p>{marksDoubtSentence(found)}</p>
          <ul class="worked">
            {settingsSaid(found, project).map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ul>
          <div class="two">
            <LinePlot plot={plot} saying={balanceSentences(found, project).join(' ')} />
            {laps === undefined ? null : (
              <details class="behind">
                <summary>What the setting does to the lap</summary>
                <TableOf table={laps} caption="Lap against the setting now" />
              </details>
            )}
          </div>
          <TableOf
            table={balanceTable(found, project)}
            caption="Best settings"
            core={['ground', 'engine', 'best share', 'front first from']}
          />
          <h4>{BEND_CAPTION}</h4>
          <TableOf
            table={bend.table}
            caption={BEND_CAPTION}
            core={['ground', 'engine', 'best share there', 'left']}
          />
          {bend.notes.map((note) => (
            <p key={note}>{note}</p>
          ))}
        </div>
      )}
    </>
  );
}
