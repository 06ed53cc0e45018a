/**
 * Pinned answers beside the present one: a button to pin, a list with only the inputs that differ, the figures side by
 * side.
 */
import { useMemo } from 'preact/hooks';
import { figuresOf, firstOrderDifference } from '../../../sim/index.ts';
import { TableOf } from '../plots/data-table.tsx';
import type { Pinned } from '../plots/plot.ts';
import { useWorkbench } from '../state/context.ts';
import { MAIN_FIGURES, mainFigure } from '../state/main-figure.ts';
import type { Pin } from '../state/pins.ts';
import { MOST_PINS } from '../state/pins.ts';
import type { Slot, SlotResults } from '../state/requests.ts';
import { requestFor } from '../state/requests.ts';
import { useMainFigure } from '../state/use-main-figure.ts';
import type { Question } from '../state/views.ts';
import { differences } from '../words/differing-inputs.ts';
import { betterWord, decisionWords, differenceWords, figureWords, isNoticed } from '../words/figure-words.ts';
import { clockTime } from '../words/numbers.ts';

/** What can be taken in beside the figures. */
const MOST_DIFFERENCES = 6;

export function PinButton({ question }: { question: Question }) {
  const workbench = useWorkbench();
  const { hasRoom } = workbench.pins;
  const { freshness } = workbench.answers[MAIN_FIGURES[question].slot].value;
  return (
    <button
      type="button"
      class="pin-button"
      disabled={!hasRoom.value || freshness === 'none' || freshness === 'failed'}
      onClick={() => workbench.pin()}
    >
      {hasRoom.value ? 'Pin this answer' : `${MOST_PINS} pins are as many as can be told apart`}
    </button>
  );
}

/** The results of one slot of the pins of a question, the array the same until a pin changes. */
export function usePinned<S extends Slot>(question: Question, slot: S): readonly Pinned<SlotResults[S]>[] {
  const all = useWorkbench().pins.all.value;
  return useMemo(
    () =>
      all.flatMap(({ question: of, letter, results }) => {
        const result = results[slot];
        return of !== question || result === undefined ? [] : [{ letter, result: result as SlotResults[S] }];
      }),
    [all, question, slot],
  );
}

export function PinsView({ question }: { question: Question }) {
  const workbench = useWorkbench();
  const pins = workbench.pins.all.value.filter((pin) => pin.question === question);
  const now = useMainFigure(question);
  const figure = MAIN_FIGURES[question];
  const unit = workbench.speedUnit.value;
  const resting = workbench.restsOn.value.value;
  const basis = workbench.answers[figure.slot].value.basis;
  const found =
    resting?.question === question && resting.state === 'done' && resting.basis.revision === basis?.revision
      ? resting.found
      : undefined;
  const sureWords = (pin: Pin): string =>
    found === undefined || pin.restsOn === undefined
      ? 'being worked out …'
      : decisionWords(firstOrderDifference(pin.restsOn, found), figure, unit);
  if (pins.length === 0) return null;
  return (
    <section class="card wide pins" aria-labelledby="pins-title">
      <h3 id="pins-title">Pinned, beside the answer now</h3>
      <ul class="pin-list">
        {pins.map((pin) => (
          <PinEntry key={pin.id} pin={pin} />
        ))}
      </ul>
      <TableOf
        caption="Pinned answers and the answer now"
        table={{
          heads: ['', figure.words, 'the answer now is', 'how sure that is'],
          rows: [
            ['now', now === undefined ? '' : figureWords(now, figure.kind, unit), '', ''],
            ...pins.map((pin) => {
              const then = figureOf(pin);
              if (then === undefined) return [`pin ${pin.letter}`, 'no answer', '', ''];
              const change = now === undefined ? 0 : now - then;
              return [
                `pin ${pin.letter}`,
                figureWords(then, figure.kind, unit),
                isNoticed(change, figure)
                  ? `${differenceWords(change, figure.kind, unit)} ${betterWord(change, figure)}`
                  : 'the same',
                sureWords(pin),
              ];
            }),
          ],
        }}
      />
      <p class="field-says">{WHAT_COUNTS}</p>
    </section>
  );
}

const WHAT_COUNTS =
  'Give or take is one standard deviation of the difference. What both answers rest on - the same tyres, ground, day, and a driver with the same figures - moves both alike, and only what that leaves between them counts; what belongs to one alone, such as another engine, counts in full.';

function PinEntry({ pin }: { pin: Pin }) {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  const { notes } = workbench.read.value;
  const choice = workbench.choice.value;
  const found = useMemo(
    () =>
      differences({ project: pin.project, notes: pin.notes, choice: pin.choice }, { project, notes, choice }),
    [pin, project, notes, choice],
  );
  const kart = pin.project.karts[pin.choice.kart]?.name ?? pin.choice.kart;
  const track = pin.project.tracks[pin.choice.track]?.name ?? pin.choice.track;
  return (
    <li class="pin">
      <p>
        <b class="pin-letter">{pin.letter}</b> {kart}, {track}, pinned at {clockTime(pin.at)}
      </p>
      {found.length === 0 ? (
        <p class="field-says">The same in everything that counts here.</p>
      ) : (
        <ul class="differences">
          {found.slice(0, MOST_DIFFERENCES).map((difference) => (
            <li key={difference.words}>
              {difference.words}: {difference.from === '' ? '' : `${difference.from}, now `}
              {difference.to}
            </li>
          ))}
          {found.length > MOST_DIFFERENCES ? <li>and {found.length - MOST_DIFFERENCES} more</li> : null}
        </ul>
      )}
      <button type="button" onClick={() => workbench.pins.remove(pin.id)}>
        Take pin {pin.letter} off
      </button>
    </li>
  );
}

function figureOf(pin: Pin): number | undefined {
  const { slot } = MAIN_FIGURES[pin.question];
  const result = pin.results[slot];
  if (result === undefined) return undefined;
  const { verb } = requestFor(slot, pin.choice, pin.project);
  return mainFigure(pin.question, figuresOf(verb, result as never));
}
