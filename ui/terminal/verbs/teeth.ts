/** `teeth`: every sprocket pair at hand on every track: laps, near-ties, what to carry, the chain. */
import ndarray from 'ndarray';
import type { PairLap, Project, TeethOnTrack, TeethResult } from '../../../sim/index.ts';
import { isBlocking, planTeeth } from '../../../sim/index.ts';
import { nineInTen } from '../../words/difference-words.ts';
import { hasNoReasonForAll, hasNoReasonToChange, whyNot } from '../../words/reason-to-change.ts';
import { answerStudy } from '../answer-study.ts';
import { dayOf, kartsOf, lineChosen, quantityOption, stockOf, tracksOf, warnOfLines } from '../choices.ts';
import { refuse } from '../finish.ts';
import type { Words } from '../options.ts';
import type { CsvColumn } from '../output/machine.ts';
import { giveOrTake, table } from '../output/table.ts';
import { loadProject } from '../project-files.ts';
import type { Shown } from '../shown-units.ts';
import { shownUnits } from '../shown-units.ts';
import type { Terminal } from '../terminal.ts';
import { CommandLineError } from '../terminal.ts';

const CAUTIONS =
  'Keep guards over chain and sprockets. Chain rules are advice for industrial drives; the class rules and the inspector\nstand over them. A limiter cannot prevent over-rev on a downshift: a shorter drive lowers the safe speed of each gear.';
/** Pairs listed per track besides the near-ties. */
const NEXT_BEST = 3;
const MOST_TIES = 12;

export async function teethVerb({ files, options }: Words, terminal: Terminal): Promise<number> {
  const { project, problems, notes } = loadProject(files, options.set ?? []);
  if (project === undefined || isBlocking(problems)) return refuse(problems, options, terminal);
  const karts = kartsOf(project, options.kart);
  if (karts.length !== 1) throw new CommandLineError('teeth takes one kart');
  const noise = quantityOption(options.noise, 'shiftTime', '--noise');
  const cover = quantityOption(options.within, 'shiftTime', '--within');
  const who = { kart: karts[0]!, day: dayOf(project, options.day), ...lineChosen(options) };
  const chosen = tracksOf(project, options.tracks ?? options.track);
  warnOfLines(project, who, chosen, terminal);
  const planned = planTeeth(project, {
    ...who,
    tracks: chosen,
    stock: stockOf(options),
    notes,
    ...(noise === undefined ? {} : { noise }),
    ...(cover === undefined ? {} : { cover }),
  });
  const show = shownUnits(project);
  return answerStudy(
    project,
    planned,
    {
      text: (r) => textOf(r, project, show),
      csv: csvOf,
      html: (r) => ({
        title: `Which teeth: ${project.karts[r.kart]!.name}`,
        answer: sentences(r, project, show),
        tables: [
          ...r.tracks.map((t) => ({
            title: `${project.tracks[t.track]!.name}: lap times, s`,
            ...gridTable(r, t),
          })),
          ...r.tracks.map((t) => ({ title: project.tracks[t.track]!.name, ...pairTable(r, t, show) })),
          ...(r.boxes.length === 0 ? [] : [{ title: 'A box of so many sprockets', ...boxTable(r, project) }]),
          { title: 'Chain', ...chainTable(r, show) },
        ],
        plots: r.tracks.map((t) => ({
          title: `${project.tracks[t.track]!.name}: seconds behind the best over the ratio`,
          xLabel: 'rear over front teeth',
          yLabel: 'behind the best [s]',
          series: [{ label: 'pairs', ...overRatio(r, t) }],
        })),
        remarks: [CAUTIONS],
      }),
    },
    options,
    terminal,
  );
}

const nameOf = (r: TeethResult, pair: number) => `${r.pairs[pair]!.front}/${r.pairs[pair]!.rear}`;

function textOf(r: TeethResult, project: Project, show: Shown): string {
  const parts = r.tracks.map((t) => {
    const grid = gridTable(r, t);
    const pairs = pairTable(r, t, show);
    return `${project.tracks[t.track]!.name}, lap times in s: [best], =no clock tells it from the best (${r.noise} s)\n\n${table(grid.head, grid.rows)}\n${table(pairs.head, pairs.rows)}`;
  });
  const chain = chainTable(r, show);
  const boxes = boxTable(r, project);
  const carried =
    boxes.rows.length === 0
      ? ''
      : `\n\nA box of so many sprockets, and the pair to fit where\n\n${table(boxes.head, boxes.rows)}`;
  return `${project.karts[r.kart]!.name}, ${project.days[r.day]!.name}: ${r.done} of ${r.total} laps\n\n${parts.join('\n')}\n${sentences(r, project, show).join('\n')}${carried}\n\nChain, as long as fits nearest to the measured centre distance; ! misses a rule named below\n\n${table(chain.head, chain.rows)}${missedRules(r)}\n${CAUTIONS}\n`;
}

/** Front teeth down, rear teeth across. */
function gridTable(r: TeethResult, t: TeethOnTrack) {
  const grid = ndarray(r.grid.data, [...r.grid.shape]);
  return {
    head: ['front \\ rear', ...r.rears.map(String)],
    rows: r.fronts.map((front, f) => [
      String(front),
      ...r.rears.map((_, b) => {
        const pair = grid.get(f, b);
        const lap = t.laps[pair];
        if (lap == null) return lap === null ? 'cannot' : '';
        const time = lap.time.toFixed(2);
        return pair === t.best ? `[${time}]` : t.ties.includes(pair) ? `=${time}` : time;
      }),
    ]),
  };
}

/** The near-ties, the next best, and the pair fitted. */
function pairTable(r: TeethResult, t: TeethOnTrack, show: Shown) {
  const known = t.laps.flatMap((lap, pair) => (lap == null ? [] : [{ pair, lap }]));
  const order = known.toSorted((a, b) => a.lap.time - b.lap.time);
  const shown = order.filter(
    ({ pair }, i) => i < Math.min(MOST_TIES, t.ties.length) + NEXT_BEST || pair === r.fitted,
  );
  const best = t.best < 0 ? undefined : t.laps[t.best]?.time;
  // A belt shifts by itself, and road speed follows the engine at its ends alone.
  const isCounted = known.some(({ lap }) => lap.shifts !== null);
  const row = ({ pair, lap }: { pair: number; lap: PairLap }) => {
    const p = r.pairs[pair]!;
    return [
      `${nameOf(r, pair)}${pair === r.fitted ? ' fitted' : ''}${p.owned ? '' : ' to buy'}`,
      p.ratio.toFixed(3),
      lap.time.toFixed(2),
      best === undefined ? '' : `+${(lap.time - best).toFixed(2)}`,
      ...(isCounted ? [String(lap.shifts)] : []),
      lap.limiterTime.toFixed(2),
      show.value(lap.limiterBeforeBraking, 'length', 0),
      show.value(lap.topSpeed, 'speed', 1),
      p.speedsInGears.flatMap((v) => (v === null ? [] : [show.number(v, 'speed').toFixed(0)])).join(' '),
    ];
  };
  return {
    head: [
      'pair',
      'ratio',
      'lap s',
      'behind',
      ...(isCounted ? ['shifts'] : []),
      'on limiter s',
      'limiter before braking',
      'top speed',
      `${isCounted ? 'speeds in gears' : 'lowest, highest ratio at the limiter'} ${show.unit('speed')}`,
    ],
    rows: shown.map(row),
  };
}

/** What a box of two, three ... sprockets gives away at most. */
function boxTable(r: TeethResult, project: Project) {
  return {
    head: [
      'sprockets',
      'front',
      'rear',
      'gives away at most',
      'to buy',
      ...r.tracks.map((t) => project.tracks[t.track]!.name),
    ],
    rows: r.boxes.map((box) => [
      String(box.front.length + box.rear.length),
      box.front.join(' '),
      box.rear.join(' '),
      `${Math.max(...box.losses).toFixed(2)} s`,
      box.toBuy === null ? '-' : box.toBuy.toFixed(0),
      ...box.pairs.map((pair) => nameOf(r, pair)),
    ]),
  };
}

function chainTable(r: TeethResult, show: Shown) {
  const wanted = new Set([r.fitted, r.compromise?.pair ?? -1, ...(r.carry?.pairs ?? [])]);
  for (const t of r.tracks) wanted.add(t.best);
  return {
    head: ['pair', 'links', 'at', 'axle moves, same chain', 'wrap', 'chain at limiter', 'rules'],
    rows: r.pairs.flatMap((p, i) => {
      if (!wanted.has(i)) return [];
      const { chain } = p;
      return [
        [
          nameOf(r, i),
          chain.links === null ? '-' : String(chain.links),
          chain.centreDistance === null ? '-' : `${(chain.centreDistance * 1e3).toFixed(1)} mm`,
          p.slotFromFitted === null ? '-' : `${signed(p.slotFromFitted * 1e3, 1)} mm`,
          show.value(chain.wrap, 'angle', 0),
          `${chain.speedAtLimiter.toFixed(1)} m/s`,
          chain.rules.every((rule) => rule.holds) ? 'all met' : '!',
        ],
      ];
    }),
  };
}

function missedRules(r: TeethResult): string {
  const missed = new Set(
    r.pairs.flatMap(({ chain }) =>
      chain.rules
        .filter((rule) => !rule.holds)
        .map((rule) => {
          const degrees = rule.name.startsWith('wrap') ? 180 / Math.PI : 1;
          return `  ! ${rule.name} ${rule.kind} ${(rule.limit * degrees).toFixed(0)}: ${rule.source}`;
        }),
    ),
  );
  return missed.size === 0 ? '' : `${[...missed].join('\n')}\n`;
}

function sentences(r: TeethResult, project: Project, show: Shown): string[] {
  const at = (t: number) => project.tracks[r.tracks[t]!.track]!.name;
  const lines = r.tracks.flatMap((t, i) => {
    if (t.best < 0) return [`${at(i)}: no pair can be driven.`];
    const edge = t.edge === null ? '' : ` It is the ${t.edge} looked at: one beyond it may be quicker still.`;
    const same = t.ties.length - 1;
    const owned = t.ties
      .filter((pair) => r.pairs[pair]!.owned)
      .sort((a, b) => t.laps[a]!.time - t.laps[b]!.time)[0];
    const atHand = t.ties.includes(r.fitted)
      ? ' The fitted pair is among them: nothing to change.'
      : !r.pairs[t.best]!.owned && owned !== undefined
        ? ` Owned among them: ${nameOf(r, owned)}.`
        : '';
    return [
      `${at(i)}: ${pairSentence(r, t)}.`,
      `${at(i)}: ${nameOf(r, t.best)} is quickest${same === 0 ? '' : `; no clock tells ${same} other pair${same === 1 ? '' : 's'} from it`}.${atHand}${edge}`,
    ];
  });
  if (r.compromise !== null && r.tracks.length > 1)
    lines.push(
      ...(hasNoReasonForAll(r) ? [keepForAll(r)] : []),
      `One pair for all: ${nameOf(r, r.compromise.pair)}, costing ${r.compromise.losses.map((loss, t) => `${loss.toFixed(2)}${giveOrTake(loss === 0 ? null : (r.compromise!.spreads[t] ?? null))} s at ${at(t)}`).join(', ')}.`,
    );
  if (r.carry !== null && r.tracks.length > 1) {
    const { front, rear, pairs, losses, toBuy, links, slotTravel } = r.carry;
    lines.push(
      `To carry: ${front.length + rear.length} sprockets keep every track within ${r.cover} s - front ${front.join(', ')}, rear ${rear.join(', ')}: ${pairs.map((pair, t) => `${nameOf(r, pair)} at ${at(t)} (+${losses[t]!.toFixed(2)} s)`).join(', ')}.${toBuy === null ? '' : toBuy > 0 ? ` Price of what is to be bought: ${toBuy.toFixed(0)}.` : ' All owned.'}${r.carry.isSmallest ? '' : ' Not every smaller set was tried.'}`,
    );
    if (links !== null && slotTravel !== null && new Set(pairs).size > 1)
      lines.push(
        `One chain of ${links} links serves them with ${(slotTravel * 1e3).toFixed(0)} mm of axle travel.`,
      );
  }
  for (const tyre of r.tyres)
    lines.push(
      `Tyre ${project.tyres[tyre.tyre]!.name} (radius ${show.value(tyre.radius, 'length', 3)}) acts as ${tyre.actsAs.toFixed(1)} teeth behind instead of ${project.karts[r.kart]!.sprockets!.rear}; ${tyre.keepsWith.toFixed(1)} would keep the gearing.`,
    );
  return lines;
}

/** What the named pair is worth: against the one fitted, or the next beyond the near-ties. */
function pairSentence(r: TeethResult, t: TeethOnTrack): string {
  const lap = (pair: number): string => `${t.laps[pair]!.time.toFixed(2)}`;
  if (t.named === r.fitted)
    return `keep ${nameOf(r, t.named)}, which is fitted: ${lap(t.named)}${giveOrTake(t.spread)} s${rivalWords(r, t)}`;
  return hasNoReasonToChange(r, t)
    ? `keep ${nameOf(r, r.fitted)}, which is fitted: ${lap(r.fitted)} s; ${whyNot(t.rival?.difference ?? 0, r.noise)} to ${nameOf(r, t.named)}, ${lap(t.named)}${giveOrTake(t.spread)} s${rivalWords(r, t)}`
    : `fit ${nameOf(r, t.named)}: ${lap(t.named)}${giveOrTake(t.spread)} s${rivalWords(r, t)}`;
}

/** One pair for all is no better known than the one fitted, or by what no clock shows. */
function keepForAll(r: TeethResult): string {
  const most = Math.max(...(r.compromise?.againstFitted ?? []).map((one) => one?.difference ?? 0));
  return `For all of them keep ${nameOf(r, r.fitted)}, which is fitted: ${whyNot(most, r.noise)} to the pair below.`;
}

function rivalWords(r: TeethResult, { rival }: TeethOnTrack): string {
  if (rival === null || (rival.pair !== r.fitted && Math.abs(rival.difference) < r.noise)) return '';
  const size = `${Math.abs(rival.difference).toFixed(2)} s`;
  const range = nineInTen(rival.difference, rival.low, rival.high);
  const sure = rival.verdict === null ? '' : ` (${`${range}; `.slice(2)}${rival.verdict})`;
  const other = nameOf(r, rival.pair);
  return rival.pair === r.fitted
    ? `; ${size} ${rival.difference < 0 ? 'slower' : 'quicker'} than ${other}, which is fitted${sure}`
    : `; the next that a clock tells from it, ${other}, loses ${size}${sure}`;
}

function overRatio(r: TeethResult, t: TeethOnTrack) {
  const best = t.best < 0 ? 0 : t.laps[t.best]!.time;
  const points = t.laps
    .flatMap((lap, i) => (lap == null ? [] : [{ x: r.pairs[i]!.ratio, y: lap.time - best }]))
    .toSorted((a, b) => a.x - b.x);
  return { x: points.map((p) => p.x), y: points.map((p) => p.y) };
}

function csvOf(r: TeethResult): CsvColumn[] {
  const rows = r.tracks.flatMap((t) =>
    t.laps.flatMap((lap, pair) => (lap == null ? [] : [{ t, pair, lap, sheet: r.pairs[pair]! }])),
  );
  const column = (head: string, of: (row: (typeof rows)[number]) => number | string): CsvColumn => ({
    head,
    values: rows.map(of),
  });
  return [
    column('track', ({ t }) => t.track),
    column('front [-]', ({ sheet }) => sheet.front),
    column('rear [-]', ({ sheet }) => sheet.rear),
    column('ratio [-]', ({ sheet }) => sheet.ratio),
    column('owned', ({ sheet }) => (sheet.owned ? 'yes' : 'no')),
    column('lap time [s]', ({ lap }) => lap.time),
    column('spread of the named pair [s]', ({ t, pair }) => (pair === t.named ? (t.spread ?? '') : '')),
    column('near-tie', ({ t, pair }) => (t.ties.includes(pair) ? 'yes' : 'no')),
    column('shifts [-]', ({ lap }) => lap.shifts ?? ''),
    column('time on the limiter [s]', ({ lap }) => lap.limiterTime),
    column('limiter before braking [m]', ({ lap }) => lap.limiterBeforeBraking),
    column('top speed [m/s]', ({ lap }) => lap.topSpeed),
    column('links [-]', ({ sheet }) => sheet.chain.links ?? ''),
    column('centre distance [m]', ({ sheet }) => sheet.chain.centreDistance ?? ''),
    column('axle moves [m]', ({ sheet }) => sheet.slotFromFitted ?? ''),
    column('wrap [rad]', ({ sheet }) => sheet.chain.wrap ?? ''),
    column('chain speed at the limiter [m/s]', ({ sheet }) => sheet.chain.speedAtLimiter),
    column('chain speed at top speed [m/s]', ({ lap }) => lap.chainSpeed),
  ];
}

function signed(x: number, decimals: number): string {
  return `${x >= 0 ? '+' : ''}${x.toFixed(decimals)}`;
}
