/**
 * Pins: answers frozen with everything that made them, up to four, to stand beside the present one.
 *
 * In: the document, the choice and the answers of a question as they are. Out: pins by question, with their results;
 * pins kept from an earlier visit are worked out anew from their frozen document. Persists: `kept`.
 */
import type { ReadonlySignal } from '@preact/signals';
import { computed, signal } from '@preact/signals';
import type { FirstOrder, InputNote, Project } from '../../../sim/index.ts';
import { readProjectValue } from '../../../sim/index.ts';
import type { Runner } from '../../../workers/protocol.ts';
import type { Answers, Basis } from './answers.ts';
import type { Choice } from './choice.ts';
import { keptChoice } from './choice.ts';
import type { ProjectDocument } from './document.ts';
import { runFirstOrder } from './first-order-run.ts';
import type { Slot, SlotResults } from './requests.ts';
import { requestFor, SLOTS_OF } from './requests.ts';
import type { Question } from './views.ts';
import { isQuestion, viewOf } from './views.ts';

/** More would not be told apart in one plot. */
export const MOST_PINS = 4;

export interface KeptPin {
  readonly id: string;
  readonly question: Question;
  /** ms since 1970 */
  readonly at: number;
  readonly choice: Choice;
  readonly document: ProjectDocument;
}

export interface Pin extends KeptPin {
  /** A letter, for keys and labels: the pin's name in plots. */
  readonly letter: string;
  readonly project: Project;
  readonly notes: readonly InputNote[];
  readonly results: { readonly [S in Slot]?: SlotResults[S] };
  /** What the answer rests on; undefined until it has been tried out. */
  readonly restsOn?: FirstOrder;
}

export interface Pins {
  readonly all: ReadonlySignal<readonly Pin[]>;
  readonly kept: ReadonlySignal<readonly KeptPin[]>;
  /** False where there are as many as can be told apart. */
  readonly hasRoom: ReadonlySignal<boolean>;
  add(question: Question, document: ProjectDocument, basis: Basis, answers: Answers): void;
  remove(id: string): void;
  replace(kept: unknown): void;
}

export interface PinsOptions {
  readonly runner: Runner;
  readonly now: () => number;
  /** From an earlier visit, of unknown soundness. */
  readonly kept: unknown;
}

const LETTERS = ['A', 'B', 'C', 'D'] as const;

export function createPins({ runner, now, kept }: PinsOptions): Pins {
  const all = signal<readonly Pin[]>([]);
  let serial = 0;

  const freeLetter = (): string =>
    LETTERS.find((letter) => all.peek().every((pin) => pin.letter !== letter)) ?? LETTERS[0];

  const restore = (from: unknown): void => {
    all.value = [];
    if (!Array.isArray(from)) return;
    for (const entry of from.slice(0, MOST_PINS)) {
      const pin = soundPin(entry);
      if (pin === undefined) continue;
      const found = readProjectValue(pin.document);
      if (found.project === undefined) continue;
      const whole: Pin = {
        ...pin,
        choice: keptChoice(pin.choice, found.project),
        letter: freeLetter(),
        project: found.project,
        notes: found.notes,
        results: {},
      };
      all.value = [...all.peek(), whole];
      void workOut(whole).then(() => tryOut(whole));
    }
  };

  const workOut = async (pin: Pin): Promise<void> => {
    const slots = SLOTS_OF[pin.question];
    const outcome = await runner.run({
      project: pin.project,
      revision: `pin ${pin.id}`,
      requests: slots.map((slot) => requestFor(slot, pin.choice, pin.project)),
    });
    const results = Object.fromEntries(
      slots.flatMap((slot, i) => {
        const result = outcome.answers[i]?.result;
        return result === undefined ? [] : [[slot, result]];
      }),
    );
    put(pin.id, { results });
  };

  /** In the background: what the pinned answer rests on, to tell a difference from a toss-up. */
  const tryOut = async (pin: Pin): Promise<void> => {
    const state = await runFirstOrder(runner, {
      question: pin.question,
      basis: pin,
      notes: pin.notes,
      revision: `pin ${pin.id}`,
      channel: `pin ${pin.id}`,
    });
    const restsOn = state.isWhole ? state.found() : undefined;
    if (restsOn !== undefined) put(pin.id, { restsOn });
  };

  const put = (id: string, part: Partial<Pin>): void => {
    all.value = all.peek().map((pin) => (pin.id === id ? { ...pin, ...part } : pin));
  };

  restore(kept);

  return {
    all,
    kept: computed(() =>
      all.value.map(({ id, question, at, choice, document }) => ({ id, question, at, choice, document })),
    ),
    hasRoom: computed(() => all.value.length < MOST_PINS),
    add(question, document, basis, answers) {
      if (all.peek().length >= MOST_PINS) return;
      serial += 1;
      const { project, choice } = basis;
      const id = `${now()}-${serial}`;
      const { notes } = readProjectValue(document);
      const fresh = SLOTS_OF[question].every((slot) => {
        const shown = answers[slot].peek();
        return shown.freshness === 'fresh' && shown.basis === basis;
      });
      const results = fresh
        ? Object.fromEntries(SLOTS_OF[question].map((slot) => [slot, answers[slot].peek().result]))
        : {};
      const pin: Pin = {
        id,
        question,
        at: now(),
        choice,
        document,
        letter: freeLetter(),
        project,
        notes,
        results,
      };
      all.value = [...all.peek(), pin];
      void (fresh ? tryOut(pin) : workOut(pin).then(() => tryOut(pin)));
    },
    remove(id) {
      all.value = all.peek().filter((pin) => pin.id !== id);
    },
    replace: restore,
  };
}

function soundPin(entry: unknown): KeptPin | undefined {
  if (typeof entry !== 'object' || entry === null) return undefined;
  const { id, question, at, choice, document } = entry as Record<string, unknown>;
  const view = typeof question === 'string' ? viewOf(question) : undefined;
  if (typeof id !== 'string' || typeof at !== 'number' || view === undefined || !isQuestion(view))
    return undefined;
  if (typeof document !== 'object' || document === null || typeof choice !== 'object' || choice === null)
    return undefined;
  return { id, question: view, at, choice: choice as Choice, document: document as ProjectDocument };
}
