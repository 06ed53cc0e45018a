/** Which teeth? Every pair at hand on the track in view or on all, near-ties together; chain; what is worth carrying. */
import { useMemo } from 'preact/hooks';
import type { Project, TeethResult } from '../../../sim/index.ts';
import { planTeeth } from '../../../sim/index.ts';
import { lineSentence } from '../../words/line-words.ts';
import { hasNoReasonForAll, hasNoReasonToChange } from '../../words/reason-to-change.ts';
import { useStockChosen } from '../forms/stock-choice.tsx';
import { useTracksChosen } from '../forms/tracks-choice.tsx';
import { TableOf } from '../plots/data-table.tsx';
import { LinePlot } from '../plots/line-plot.tsx';
import { teethPlot } from '../plots/teeth-plots.ts';
import { setPair } from '../state/commands.ts';
import { useWorkbench } from '../state/context.ts';
import {
  boxSentence,
  boxTable,
  carrySentence,
  chainTroubles,
  edgeSentence,
  gridTable,
  industrialNotes,
  onTrackSentence,
  pairName,
  pairTable,
  teethSentence,
  tyresTable,
} from '../words/teeth-words.ts';
import { StudyFrame, usePlanned } from './study-frame.tsx';

export function TeethPage() {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  const { notes } = workbench.read.value;
  const choice = workbench.choice.value;
  const { kart, day, line } = choice;
  const stock = useStockChosen();
  const { tracks, control } = useTracksChosen('For');
  const study = workbench.studies.teeth;
  const { start, problems } = usePlanned(
    study,
    `${kart} ${day} ${line} ${stock.stock} ${tracks.join()}`,
    () => planTeeth(project, { kart, day, line, tracks, stock: stock.stock, notes }),
  );
  const shown = study.value.value;
  const found = shown.result?.kart === kart ? shown.result : undefined;
  const unit = workbench.speedUnit.value;
  const best = found === undefined ? -1 : pairToHave(found);
  const bestPair = best >= 0 ? found?.pairs[best] : undefined;
  const troubles = bestPair === undefined ? [] : chainTroubles(bestPair);
  return (
    <div class="study">
      <StudyFrame
        id="teeth"
        title="Which teeth?"
        sentence={found === undefined ? undefined : teethSentence(found, project)}
        more={
          found === undefined
            ? ''
            : [
                edgeSentence(found, project),
                carrySentence(found, project),
                lineSentence(project, choice, tracks),
              ].join(' ')
        }
        study={study}
        unit="runs"
        onAgain={start}
        problems={problems}
        controls={
          <>
            {stock.control}
            {control}
          </>
        }
        cautions={[
          ...mixedGrounds(found, project),
          ...(troubles.length === 0 || bestPair === undefined
            ? []
            : [`The chain on ${pairName(bestPair)}: ${troubles.join('; ')}.`]),
          'A chain at speed takes fingers and clothes: guard it before the engine runs, and turn it by hand after every change.',
        ]}
      />
      {found === undefined ? null : (
        <>
          {bestPair === undefined ||
          best === found.fitted ||
          project.karts[kart]?.sprockets === undefined ? null : (
            <p class="card">
              <button type="button" onClick={() => workbench.edit(setPair(kart, bestPair))}>
                Fit {pairName(bestPair)} to {project.karts[kart]?.name}
              </button>
            </p>
          )}
          {bestPair === undefined || industrialNotes(bestPair).length === 0 ? null : (
            <p class="field-says">
              For a drive that runs for years handbooks ask more of the chain on {pairName(bestPair)}:{' '}
              {industrialNotes(bestPair).join('; ')}. Motorcycles run 13 to 15 teeth and 20 m/s and more and
              change chains sooner (common practice, no source).
            </p>
          )}
          {found.tracks.map((on, t) => (
            <section
              key={on.track}
              class={shown.isOld ? 'card stale' : 'card'}
              aria-labelledby={`teeth-${on.track}`}
            >
              <h3 id={`teeth-${on.track}`}>{project.tracks[on.track]?.name}</h3>
              <p class="field-says">
                Seconds lost against the best pair; “=” no clock tells from it ({found.noise.toFixed(2)} s).
                {found.tracks.length === 1 ? '' : ` ${onTrackSentence(found, project, on)}`}
              </p>
              <RatioPlot found={found} t={t} />
              <TableOf
                table={gridTable(found, t)}
                caption={`Pairs on ${project.tracks[on.track]?.name}`}
                keepsColumns
              />
              <TableOf
                table={pairTable(found, t, unit)}
                caption={`The best pairs on ${project.tracks[on.track]?.name}`}
                core={['pair', 'lap', 'behind', 'yours']}
              />
            </section>
          ))}
          {found.boxes.length === 0 ? null : (
            <section class={shown.isOld ? 'card stale' : 'card'} aria-labelledby="teeth-boxes">
              <h3 id="teeth-boxes">What to carry: a box of two, three and more</h3>
              <TableOf table={boxTable(found, project)} caption="Boxes of sprockets" />
              {boxSentence(found) === '' ? null : <p class="field-says">{boxSentence(found)}</p>}
            </section>
          )}
          {found.tyres.length === 0 ? null : (
            <section class="card" aria-labelledby="teeth-tyres">
              <h3 id="teeth-tyres">Another rear tyre, said in teeth</h3>
              <TableOf table={tyresTable(found, project)} caption="Rear tyres as teeth" />
            </section>
          )}
        </>
      )}
    </div>
  );
}

/** The pair the sentence says to fit or to keep; -1 for none. */
function pairToHave(found: TeethResult): number {
  const [only, ...others] = found.tracks;
  if (only === undefined) return -1;
  if (others.length > 0) return hasNoReasonForAll(found) ? found.fitted : (found.compromise?.pair ?? -1);
  return hasNoReasonToChange(found, only) ? found.fitted : only.named;
}

/** Tyres for one kind of ground on another: teeth are the least of it. */
function mixedGrounds(found: TeethResult | undefined, project: Project): string[] {
  const kinds = new Set(
    found?.tracks.map(({ track }) => project.surfaces[project.tracks[track]?.surface ?? '']?.kind === 'hard'),
  );
  return kinds.size < 2
    ? []
    : [
        'Hard and loose tracks are in this, all on the tyres fitted now: for other tyres ask again with those.',
      ];
}

/** Every pair tried over its ratio. */
function RatioPlot({ found, t }: { found: TeethResult; t: number }) {
  const project = useWorkbench().project.value;
  const plot = useMemo(() => teethPlot(found, t, project), [found, t]);
  return plot === undefined ? null : (
    <LinePlot plot={plot} saying={onTrackSentence(found, project, found.tracks[t]!)} />
  );
}
