/**
 * What this rests on: the inputs that move the answer most, each with its effect, its origin, how to measure it, and a
 * field to change it in place.
 *
 * In: what state/rests-on.ts found. The order stands still while somebody types in it.
 */
import { useRef, useState } from 'preact/hooks';
import type { Effect, Origin } from '../../../sim/index.ts';
import { effectSize, ORIGINS, quantity } from '../../../sim/index.ts';
import { capital } from '../../words/capital.ts';
import { ChoiceField } from '../forms/choice-field.tsx';
import { OriginMark } from '../forms/origin-mark.tsx';
import { QuantityField } from '../forms/quantity-field.tsx';
import { spreadText } from '../forms/quantity-text.ts';
import { writtenUnit } from '../forms/written-unit.ts';
import { useWorkbench } from '../state/context.ts';
import { bareValue } from '../state/document.ts';
import { placeOf, setInput, setOrigin } from '../state/input-commands.ts';
import { MAIN_FIGURES } from '../state/main-figure.ts';
import { requestFor } from '../state/requests.ts';
import type { Question } from '../state/views.ts';
import { valueText } from '../words/differing-inputs.ts';
import { fieldWords, ownerName } from '../words/field-words.ts';
import { betterWord, differenceWords, effectWords } from '../words/figure-words.ts';
import { originSentence, originWord } from '../words/inputs-words.ts';

/** A handful: what can be looked at in a minute. */
const SHOWN = 6;

export function RestsOnView({ question }: { question: Question }) {
  const workbench = useWorkbench();
  const resting = workbench.restsOn.value.value;
  const [open, setOpen] = useState(false);
  const box = useRef<HTMLOListElement>(null);
  const kept = useRef<readonly string[]>([]);
  const mine = resting?.question === question ? resting : undefined;
  const effects = mine?.found?.effects ?? [];
  const isTyping = box.current?.contains(document.activeElement) === true;
  const order = isTyping ? kept.current : effects.slice(0, SHOWN).map((e) => e.note.path);
  kept.current = order;
  const listed = order.flatMap((path) => effects.find((e) => e.note.path === path) ?? []);
  return (
    <details class="rests-on" id="rests-on" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>What this rests on, and how to measure it</summary>
      {open ? (
        <>
          <p class="field-says">
            {originSentence(
              workbench.read.value.notes,
              requestFor(MAIN_FIGURES[question].slot, workbench.choice.value, workbench.project.value),
              workbench.project.value,
            )}
          </p>
          <Progress question={question} />
          <ol ref={box} class="effects">
            {listed.map((effect) => (
              <EffectRow key={effect.note.path} effect={effect} question={question} />
            ))}
          </ol>
          {effects.length > SHOWN ? (
            <p class="field-says">
              The other {effects.length - SHOWN} inputs move it by less, each{' '}
              {differenceWords(
                effectSize(effects[SHOWN]!),
                MAIN_FIGURES[question].kind,
                workbench.speedUnit.value,
              )}{' '}
              or under.
            </p>
          ) : null}
        </>
      ) : null}
    </details>
  );
}

function Progress({ question }: { question: Question }) {
  const { restsOn } = useWorkbench();
  const resting = restsOn.value.value;
  if (resting?.question !== question || resting.state !== 'working') return null;
  return (
    <p class="dated">
      {resting.done} of {resting.total} inputs tried{' '}
      <button type="button" onClick={() => restsOn.stop()}>
        Stop
      </button>
    </p>
  );
}

function EffectRow({ effect, question }: { effect: Effect; question: Question }) {
  const workbench = useWorkbench();
  const { note } = effect;
  const project = workbench.project.value;
  const current = workbench.read.value.notes.find((n) => n.path === note.path) ?? note;
  const words = fieldWords(note.path, project) ?? note.path;
  const owner = ownerName(note.path, project);
  const row = quantity(note.quantity);
  const isSheet = note.path.endsWith('.points');
  const text = bareValue(workbench.document.value, placeOf(note.path));
  const shown = writtenUnit(text, row.dimension) ?? project.units[row.dimension] ?? row.shown;
  const { kind } = MAIN_FIGURES[question];
  const leaves = effectWords(effect, kind, workbench.speedUnit.value);
  const rises = Math.abs(effect.more) >= Math.abs(effect.less) ? effect.more : -effect.less;
  return (
    <li class="effect">
      <p class="effect-head">
        <b>{owner === '' ? words : `${owner}: ${words}`}</b>
        <span class="effect-size">
          ±{spreadWords(current.spread, note, project)}: {leaves}
          {effect.swing === 0 ? '' : `; more is ${betterWord(rises, MAIN_FIGURES[question])}`}
        </span>
      </p>
      <div class="effect-fields">
        {isSheet ? (
          <p class="field-says">
            The dyno sheet as a whole. <a href="#/kart">Change it with the donor</a>.
          </p>
        ) : (
          <QuantityField
            label={capital(words)}
            of={`rests ${note.path}`}
            name={note.quantity}
            shown={shown}
            value={current.value}
            onValue={(_value, text, gesture) => workbench.edit(setInput(note.path, words, text), gesture)}
          />
        )}
        {isSheet ? null : (
          <ChoiceField
            label="It was"
            mark={<OriginMark origin={current.origin} />}
            value={current.origin}
            options={[
              ...(current.origin === 'given' ? [{ value: 'given', text: originWord('given') }] : []),
              ...ORIGINS.map((origin) => ({ value: origin, text: origin })),
            ]}
            onChoice={(origin) =>
              workbench.edit(
                setOrigin(
                  note.path,
                  words,
                  origin as Origin,
                  valueText(current.value, note.quantity, project),
                ),
              )
            }
          />
        )}
      </div>
      <p class="field-says">
        How to measure it: {row.measure}.{current.note === undefined ? '' : ` ${current.note}`}
      </p>
    </li>
  );
}

function spreadWords(spread: number, note: Effect['note'], project: Parameters<typeof valueText>[2]): string {
  if (note.path.endsWith('.points')) return `${(spread * 100).toFixed(0)} %`;
  const row = quantity(note.quantity);
  return spreadText(spread, note.quantity, project.units[row.dimension] ?? row.shown);
}
