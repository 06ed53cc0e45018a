/** Which engine? The same frame with each donor, each at the best of the sprockets listed: laps, where they differ, how sure, what if. */
import { useMemo } from 'preact/hooks';
import type { DonorsResult } from '../../../sim/index.ts';
import { planDonors } from '../../../sim/index.ts';
import { lineSentence } from '../../words/line-words.ts';
import { useStockChosen } from '../forms/stock-choice.tsx';
import { useTracksChosen } from '../forms/tracks-choice.tsx';
import { DASHES, IRON, MOSS, PLUM, POND } from '../look/palette.ts';
import { TableOf } from '../plots/data-table.tsx';
import { LinePlot } from '../plots/line-plot.tsx';
import type { Plot } from '../plots/plot.ts';
import { useWorkbench } from '../state/context.ts';
import {
  donorCardsTable,
  donorsSaid,
  donorsSentence,
  donorsTable,
  whatIfNotes,
  whatIfTable,
  whereTable,
  worthHere,
} from '../words/donors-words.ts';
import { StudyFrame, usePlanned } from './study-frame.tsx';

export function EnginePage() {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  const { notes } = workbench.read.value;
  const choice = workbench.choice.value;
  const { kart, day, line } = choice;
  const stock = useStockChosen();
  const { tracks, control } = useTracksChosen('On');
  const study = workbench.studies.donors;
  const { start, problems } = usePlanned(
    study,
    `${kart} ${day} ${line} ${stock.stock} ${tracks.join()}`,
    () =>
      planDonors(project, {
        kart,
        day,
        line,
        donors: Object.keys(project.donors),
        tracks,
        stock: stock.stock,
        notes,
      }),
  );
  const shown = study.value.value;
  const found = shown.result?.kart === kart ? shown.result : undefined;
  return (
    <div class="study">
      <StudyFrame
        id="engine"
        title="Which engine?"
        sentence={found === undefined ? undefined : donorsSentence(found, project)}
        more={`The frame, tyres, brakes and driver stay; mass, place and price follow the donor. The best final drive is looked for among the sprockets ${stock.stock === 'owned' ? 'in the box' : 'in the box and to be bought'}: what a donor loses because the one it wants is not among them stands in the table. ${lineSentence(project, choice, tracks)}`}
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
          'Mounts, chain line and cooling are not in this: another donor is a new frame job before it is a lap time.',
        ]}
      />
      {found === undefined ? null : <Donors found={found} isOld={shown.isOld} />}
    </div>
  );
}

function Donors({ found, isOld }: { found: DonorsResult; isOld: boolean }) {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  const unit = workbench.speedUnit.value;
  const look = isOld ? 'card stale' : 'card';
  const said = donorsSaid(found, project);
  return (
    <>
      {said.length === 0 ? null : (
        <section class={look} aria-labelledby="engine-tracks">
          <h3 id="engine-tracks">Track by track</h3>
          <ul class="worked">
            {said.map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ul>
        </section>
      )}
      {found.tracks.map((track, t) => (
        <section key={track} class={look} aria-labelledby={`engine-${track}`}>
          <h3 id={`engine-${track}`}>{project.tracks[track]?.name}</h3>
          {worthHere(found, t) === '' ? null : <p>{worthHere(found, t)}</p>}
          <TableOf
            table={donorsTable(found, unit, t)}
            caption={`Donors on ${project.tracks[track]?.name}`}
            core={['donor', 'lap', 'best sprockets', 'against the one fitted']}
          />
          <Along found={found} track={track} />
        </section>
      ))}
      <section class={look} aria-labelledby="engine-cards">
        <h3 id="engine-cards">The kart with each</h3>
        <TableOf table={donorCardsTable(found)} caption="The kart with each donor" />
      </section>
      <section class={look} aria-labelledby="engine-what-if">
        <h3 id="engine-what-if">What is it worth?</h3>
        <TableOf table={whatIfTable(found, project)} caption="What small changes are worth" />
        {whatIfNotes(found).map((note) => (
          <p key={note} class="field-says">
            {note}
          </p>
        ))}
      </section>
    </>
  );
}

const COLOURS = [POND, MOSS, PLUM, IRON] as const;

/** Where along the lap each donor gains and loses on the one fitted. */
function Along({ found, track }: { found: DonorsResult; track: string }) {
  const project = useWorkbench().project.value;
  const mine = found.comparisons.filter((c) => c.track === track && c.along !== null);
  const plot = useMemo((): Plot | undefined => {
    if (mine.length === 0) return undefined;
    return {
      title: `Time lost to ${project.donors[found.reference]?.name} along ${project.tracks[track]?.name}`,
      x: { title: 'distance from the start, m', min: 0 },
      left: { title: 'behind positive, s' },
      series: mine.map((c, i) => ({
        name: project.donors[c.donor]?.name ?? c.donor,
        x: c.along!.distance,
        y: c.along!.difference,
        colour: COLOURS[i % COLOURS.length]!,
        dash: DASHES[i % DASHES.length]!,
      })),
      levels: [{ at: 0, word: 'level' }],
      marks: [],
      strip: [],
    };
  }, [found, track]);
  if (plot === undefined) return null;
  return (
    <div class="two">
      <LinePlot plot={plot} saying="Where along the lap each donor gains and loses" />
      <div>
        {mine.map((c) => {
          const table = whereTable(found, c.donor, track);
          return table === undefined || table.rows.length === 0 ? null : (
            <div key={c.donor}>
              <h4>{project.donors[c.donor]?.name}: where it arises</h4>
              <TableOf
                table={table}
                caption={`Where ${project.donors[c.donor]?.name} gains and loses on ${project.tracks[track]?.name}`}
              />
            </div>
          );
        })}
      </div>
    </div>
  );
}
