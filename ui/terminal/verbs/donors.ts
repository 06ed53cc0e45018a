/** `donors`: the same frame with each donor, each at the best of the sprockets listed. */
import type { Comparison, DonorOnTrack, DonorsResult, Project } from '../../../sim/index.ts';
import { isBlocking, LIMITS, planDonors } from '../../../sim/index.ts';
import { nineInTen, oddsWords } from '../../words/difference-words.ts';
import { chanceWords } from '../../words/doubt-words.ts';
import { whereItArises } from '../../words/where-it-arises.ts';
import { answerStudy } from '../answer-study.ts';
import { dayOf, donorsOf, kartsOf, lineChosen, stockOf, tracksOf, warnOfLines } from '../choices.ts';
import { refuse } from '../finish.ts';
import type { Words } from '../options.ts';
import type { CsvColumn } from '../output/machine.ts';
import { giveOrTake, table } from '../output/table.ts';
import { textPlot } from '../output/text-plot.ts';
import { loadProject } from '../project-files.ts';
import type { Shown } from '../shown-units.ts';
import { fixed, shownUnits } from '../shown-units.ts';
import type { Terminal } from '../terminal.ts';
import { CommandLineError } from '../terminal.ts';

const remarksOn = ({ stock }: DonorsResult): string[] => [
  `Each donor at the best of the sprockets ${stock === 'owned' ? 'owned' : 'listed (--owned takes those in the box)'}, not at the best ratio there could be. Ranges are those of 128 draws of what is not known, the same for every donor: what two rest on alike cancels.`,
  'The frame stays as it is: mounts, exhaust, cooling and chain line of another donor are not in the price.',
  'A limiter cannot prevent over-rev on a downshift; a raised limiter is no promise that the engine holds. Guards over chain and sprockets.',
];

export async function donorsVerb({ files, options }: Words, terminal: Terminal): Promise<number> {
  const { project, problems, notes } = loadProject(files, options.set ?? []);
  if (project === undefined || isBlocking(problems)) return refuse(problems, options, terminal);
  const karts = kartsOf(project, options.kart);
  if (karts.length !== 1) throw new CommandLineError('donors takes one kart: its frame, tyres and brakes');
  const who = { kart: karts[0]!, day: dayOf(project, options.day), ...lineChosen(options) };
  const chosen = tracksOf(project, options.tracks ?? options.track);
  warnOfLines(project, who, chosen, terminal);
  const planned = planDonors(project, {
    ...who,
    donors: donorsOf(project, options.donors),
    tracks: chosen,
    stock: stockOf(options),
    notes,
  });
  const show = shownUnits(project);
  return answerStudy(
    project,
    planned,
    {
      text: (r) => `${textOf(r, project, show)}${options.plot === true ? plots(r, project, terminal) : ''}`,
      csv: csvOf,
      html: (r) => ({
        title: `Which engine: ${project.karts[r.kart]!.name}`,
        answer: [
          ...r.comparisons.map((c) => sentence(r, c, project)),
          ...wantOfTeeth(r, project),
          ...whereLines(r, project),
        ],
        tables: [
          { title: 'The kart with each', ...cardTable(r, show) },
          ...r.tracks.map((track, t) => ({ title: project.tracks[track]!.name, ...trackTable(r, t, show) })),
          { title: `Against ${nameOf(r, r.reference)}`, ...comparisonTable(r, project) },
          { title: 'What if', ...whatIfTable(r, project) },
        ],
        plots: r.tracks.map((track) => ({
          title: `${project.tracks[track]!.name}: time behind ${nameOf(r, r.reference)} over distance`,
          xLabel: 'distance [m]',
          yLabel: 'behind [s]',
          series: alongSeries(r, track),
        })),
        remarks: remarksOn(r),
      }),
    },
    options,
    terminal,
  );
}

const nameOf = (r: DonorsResult, donor: string) => r.donors.find((d) => d.donor === donor)?.name ?? donor;

function textOf(r: DonorsResult, project: Project, show: Shown): string {
  const cards = cardTable(r, show);
  const tracks = r.tracks.map((track, t) => {
    const rows = trackTable(r, t, show);
    return `${project.tracks[track]!.name}\n\n${table(rows.head, rows.rows)}`;
  });
  const compared = comparisonTable(r, project);
  const whatIfs = whatIfTable(r, project);
  const notes = [...new Set(r.donors.flatMap((d) => d.whatIfs.map((w) => `  ${w.name}: ${w.note}`)))];
  return [
    `${project.karts[r.kart]!.name}, ${project.days[r.day]!.name}`,
    table(cards.head, cards.rows),
    ...tracks,
    ...r.comparisons.map((c) => sentence(r, c, project)),
    ...wantOfTeeth(r, project),
    '',
    ...(compared.rows.length === 0
      ? []
      : [
          `Against ${nameOf(r, r.reference)}, the kart's own`,
          table(compared.head, compared.rows),
          ...whereLines(r, project),
        ]),
    ...(whatIfs.rows.length === 0
      ? []
      : [`What if: seconds a lap\n`, table(whatIfs.head, whatIfs.rows), ...notes, '']),
    remarksOn(r).join('\n'),
    '',
  ].join('\n');
}

function sentence(r: DonorsResult, c: Comparison, project: Project): string {
  const place = project.tracks[c.track]!.name;
  if (c.verdict === 'no difference') return `${place}: no difference.`;
  const [ahead, behind] = c.difference < 0 ? [c.donor, r.reference] : [r.reference, c.donor];
  const odds = c.probability === null ? null : Math.max(c.probability, 1 - c.probability);
  const sure = odds === null || c.verdict === null ? '' : `: ${c.verdict} (${chanceWords(odds)})`;
  return `${place}: ${nameOf(r, ahead)} is ${Math.abs(c.difference).toFixed(2)} s a lap quicker than ${nameOf(r, behind)}${nineInTen(c.difference, c.low, c.high)}${sure}${sprocketPart(r, c)}.`;
}

/** What part of the difference the sprockets are, where a clock shows it. */
function sprocketPart(r: DonorsResult, { donor, difference, ofSprockets }: Comparison): string {
  if (ofSprockets === null || Math.abs(ofSprockets) < r.noise) return '';
  const part = ofSprockets / difference;
  if (part > 0 && part <= 1)
    return `; ${Math.abs(ofSprockets).toFixed(2)} s of that for want of a better sprocket`;
  const without = difference - ofSprockets;
  return `; each at the ratio it wants, ${nameOf(r, donor)} would be ${Math.abs(without).toFixed(2)} s ${without < 0 ? 'quicker' : 'slower'}`;
}

/** Where no pair at hand comes near the best ratio there could be. */
function wantOfTeeth(r: DonorsResult, project: Project): string[] {
  return r.donors.flatMap((d) =>
    d.tracks.flatMap((on, t) =>
      on == null || on.pair === null || on.idealRatio === null || (on.lostToSprockets ?? 0) < r.noise
        ? []
        : [
            `${project.tracks[r.tracks[t]!]!.name}: for want of teeth ${d.name} loses ${on.lostToSprockets!.toFixed(2)} s; a ratio of ${on.idealRatio.toFixed(2)} would be quickest.`,
          ],
    ),
  );
}

function cardTable(r: DonorsResult, show: Shown) {
  return {
    head: [
      'donor',
      'its mass',
      'price',
      'kart',
      'weight in front',
      'CG height',
      'tips at',
      'power at crank',
      'torque at crank',
    ],
    rows: r.donors.map((d) => [
      d.name,
      show.value(d.mass, 'mass', 0),
      d.price === null ? '-' : d.price.toFixed(0),
      show.value(d.kart?.mass, 'mass', 0),
      show.value(d.kart?.frontWeightShare, 'ratio', 1),
      show.value(d.kart?.cgHeight, 'length', 3),
      d.kart?.tipAt == null ? '-' : `${d.kart.tipAt.toFixed(2)} g`,
      show.value(d.kart?.peakPower, 'power', 0),
      show.value(d.kart?.peakTorque, 'torque', 0),
    ]),
  };
}

function trackTable(r: DonorsResult, t: number, show: Shown) {
  return {
    head: [
      'donor',
      'teeth',
      'lap s',
      '100 m from rest s',
      'top speed there',
      'steady',
      'shifts',
      'on limiter s',
      'lost to teeth s',
    ],
    rows: r.donors.map((d) => {
      const on = d.tracks[t];
      if (on == null) return [d.name, on === null ? 'cannot be driven' : '', '', '', '', '', '', '', ''];
      return [
        d.name,
        teethOf(on),
        `${on.time.toFixed(2)}${giveOrTake(on.spread)}`,
        on.launch100?.toFixed(2) ?? '-',
        show.value(on.topSpeedReached, 'speed', 1),
        show.value(on.topSpeed, 'speed', 1),
        on.shifts === null ? 'belt' : String(on.shifts),
        on.limiterTime.toFixed(2),
        on.lostToSprockets?.toFixed(2) ?? '-',
      ];
    }),
  };
}

function teethOf({ pair, ratio }: DonorOnTrack): string {
  return pair === null
    ? `ratio ${ratio.toFixed(2)}`
    : `${pair.front}/${pair.rear}${pair.owned ? '' : ' to buy'}`;
}

function comparisonTable(r: DonorsResult, project: Project) {
  return {
    head: [
      'donor',
      'track',
      'difference s',
      'nine in ten',
      'quicker with probability',
      'verdict',
      's a lap per 100 of money',
    ],
    rows: r.comparisons.map((c) => [
      nameOf(r, c.donor),
      project.tracks[c.track]!.name,
      signed(c.difference, 2),
      c.low === null || c.high === null ? '-' : `${signed(c.low, 2)} to ${signed(c.high, 2)}`,
      c.probability === null ? '-' : chanceWords(c.probability),
      oddsWords(c.verdict, c.probability) || '-',
      c.secondsPerMoney === null ? '-' : (100 * c.secondsPerMoney).toFixed(3),
    ]),
  };
}

/** What holds each of the two while the difference grows: the largest parts, and the whole. */
function whereLines(r: DonorsResult, project: Project): string[] {
  return r.comparisons.flatMap((c) => {
    if (c.along === null) return [];
    const { parts, rest, whole } = whereItArises(c.along, 4);
    if (parts.length === 0) return [];
    const words = [
      ...parts.map(
        ({ first, second, seconds }) =>
          `${signed(seconds, 2)} s with it held by ${second}, the other by ${first}`,
      ),
      ...(Number(fixed(rest, 2)) === 0 ? [] : [`${signed(rest, 2)} s elsewhere`]),
    ];
    return [
      `${nameOf(r, c.donor)} at ${project.tracks[c.track]!.name}, ${signed(whole, 2)} s: ${words.join('; ')}.\n`,
    ];
  });
}

function whatIfTable(r: DonorsResult, project: Project) {
  return {
    head: ['donor', 'what if', ...r.tracks.map((track) => project.tracks[track]!.name)],
    rows: r.donors.flatMap((d) =>
      d.whatIfs.map((w) => [d.name, w.name, ...w.seconds.map((s) => (s === null ? '-' : signed(s, 3)))]),
    ),
  };
}

function signed(x: number, decimals: number): string {
  const text = fixed(x, decimals);
  return Number(text) > 0 ? `+${text}` : text;
}

function alongSeries(r: DonorsResult, track: string) {
  return r.comparisons.flatMap((c: Comparison) =>
    c.track !== track || c.along === null
      ? []
      : [{ label: nameOf(r, c.donor), x: c.along.distance, y: c.along.difference }],
  );
}

function plots(r: DonorsResult, project: Project, terminal: Terminal): string {
  return r.tracks
    .map((track) => {
      const series = alongSeries(r, track);
      const title = `${project.tracks[track]!.name}: time behind ${nameOf(r, r.reference)}`;
      return series.length === 0 ? '' : textPlot(title, 'm', 's', series, terminal.wide);
    })
    .join('');
}

function csvOf(r: DonorsResult): CsvColumn[] {
  const rows = r.donors.flatMap((d) =>
    d.tracks.flatMap((on, t) => (on == null ? [] : [{ d, on, track: r.tracks[t]! }])),
  );
  const against = (donor: string, track: string) =>
    r.comparisons.find((c) => c.donor === donor && c.track === track);
  const column = (head: string, of: (row: (typeof rows)[number]) => number | string | null): CsvColumn => ({
    head,
    values: rows.map((row) => of(row) ?? ''),
  });
  const lost = (name: (typeof LIMITS)[number]) =>
    column(`behind while held by ${name} [s]`, ({ d, track }) => {
      const along = against(d.donor, track)?.along;
      if (along == null) return null;
      const at = along.limits.indexOf(name);
      const [n, columns] = along.byLimits.shape;
      let sum = 0;
      for (let i = 0; i < n; i++) sum += along.byLimits.data[i * columns + at]!;
      return sum;
    });
  return [
    column('donor', ({ d }) => d.donor),
    column('track', ({ track }) => track),
    column('front [-]', ({ on }) => on.pair?.front ?? null),
    column('rear [-]', ({ on }) => on.pair?.rear ?? null),
    column('ratio [-]', ({ on }) => on.ratio),
    column('lap time [s]', ({ on }) => on.time),
    column('spread [s]', ({ on }) => on.spread),
    column('100 m from rest [s]', ({ on }) => on.launch100),
    column('top speed reached [m/s]', ({ on }) => on.topSpeedReached),
    column('top speed [m/s]', ({ on }) => on.topSpeed),
    column('shifts [-]', ({ on }) => on.shifts),
    column('time on the limiter [s]', ({ on }) => on.limiterTime),
    column('difference [s]', ({ d, track }) => against(d.donor, track)?.difference ?? null),
    column(
      'of the difference, for want of sprockets [s]',
      ({ d, track }) => against(d.donor, track)?.ofSprockets ?? null,
    ),
    column('spread of the difference [s]', ({ d, track }) => against(d.donor, track)?.spread ?? null),
    column('probability quicker [-]', ({ d, track }) => against(d.donor, track)?.probability ?? null),
    column('price', ({ d }) => d.price),
    ...LIMITS.map(lost),
  ];
}
