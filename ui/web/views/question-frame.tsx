/**
 * What every question shows first: the answer in words, its range, what the last step did, cautions, and the pin.
 *
 * In: the question and its sentences. Out: the card at the head of the view and what goes in beside it; the plots
 * follow below it.
 */
import type { ComponentChildren } from 'preact';
import { useRef } from 'preact/hooks';
import { useWorkbench } from '../state/context.ts';
import { MAIN_FIGURES } from '../state/main-figure.ts';
import { useMainFigure } from '../state/use-main-figure.ts';
import type { Question } from '../state/views.ts';
import { VIEW_WORDS } from '../state/views.ts';
import { LEFT_OUT, STANDING_CAUTION, warningsOf } from '../words/cautions.ts';
import {
  betterWord,
  changeSentence,
  differenceWords,
  figureWords,
  isNoticed,
  rangeSentence,
} from '../words/figure-words.ts';
import { Answer } from './answer.tsx';
import { InputsPanel } from './inputs-panel.tsx';
import { useLate } from './late.ts';
import { PinButton } from './pins.tsx';
import { RestsOnView } from './rests-on-view.tsx';

export interface QuestionFrameProps {
  readonly question: Question;
  /** Undefined while there is no answer yet. */
  readonly sentence: string | undefined;
  readonly more?: string;
  readonly cautions?: readonly string[];
  /** What this question lets one choose beyond kart, track and day. */
  readonly controls?: ComponentChildren;
}

export function QuestionFrame({ question, sentence, more, cautions = [], controls }: QuestionFrameProps) {
  const workbench = useWorkbench();
  const shown = workbench.answers[MAIN_FIGURES[question].slot].value;
  const isDriven = question !== 'stop' && question !== 'slide-or-tip';
  return (
    <>
      <section class="headline" aria-labelledby="question-title">
        <h2 id="question-title" class="question">
          {VIEW_WORDS[question]}
        </h2>
        {controls === undefined ? null : <div class="inline-fields">{controls}</div>}
        <Answer shown={shown}>
          {sentence === undefined ? null : (
            <>
              <div class="verdict">
                <p class="lap-time" id="answer-sentence">
                  {sentence}
                </p>
                <Change question={question} />
              </div>
              <RangeLine question={question} />
              {more === undefined ? null : <p>{more}</p>}
              {[...cautions, ...warningsOf(shown.problems, isDriven, workbench.project.value)].map(
                (caution) => (
                  <p key={caution} class="caution">
                    {caution}
                  </p>
                ),
              )}
            </>
          )}
        </Answer>
        <div class="headline-foot">
          <PinButton question={question} />
          <p class="standing">
            {STANDING_CAUTION} {LEFT_OUT}
          </p>
        </div>
        <RestsOnView question={question} />
      </section>
      <InputsPanel question={question} />
    </>
  );
}

function Change({ question }: { question: Question }) {
  const workbench = useWorkbench();
  const now = useMainFigure(question);
  const before = workbench.before.value;
  const { freshness } = workbench.answers[MAIN_FIGURES[question].slot].value;
  // Until the new answer is there the figure is the old one: no word of the new change, and none taken back.
  const said = useRef('');
  if (freshness !== 'updating')
    said.current =
      before?.question === question && now !== undefined && freshness !== 'failed'
        ? changeSentence(before.label, before.figure, now, MAIN_FIGURES[question], workbench.speedUnit.value)
        : '';
  return (
    <p class="change" role="status">
      {said.current}
    </p>
  );
}

/** The range the inputs leave open; keeps its line while it is worked out, so that nothing jumps. */
function RangeLine({ question }: { question: Question }) {
  const workbench = useWorkbench();
  const resting = workbench.restsOn.value.value;
  const { basis } = workbench.answers[MAIN_FIGURES[question].slot].value;
  const mine = resting?.question === question ? resting : undefined;
  const isOld = mine?.basis.revision !== basis?.revision || mine?.basis.choice !== basis?.choice;
  const found = mine?.state === 'done' ? mine.found : undefined;
  return (
    <p class={isOld || found === undefined ? 'range stale' : 'range'}>
      {found === undefined
        ? 'How far to trust it: being worked out from the spread of every input …'
        : rangeSentence(found, MAIN_FIGURES[question], workbench.speedUnit.value)}
    </p>
  );
}

/** One line for small screens: it stays in sight while the fields below are worked. */
export function AnswerStrip({ question }: { question: Question }) {
  const workbench = useWorkbench();
  const figure = MAIN_FIGURES[question];
  const shown = workbench.answers[figure.slot].value;
  const now = useMainFigure(question);
  const late = useLate(shown.freshness === 'updating') || shown.freshness === 'failed';
  const unit = workbench.speedUnit.value;
  if (now === undefined || shown.basis === undefined) return null;
  const before = workbench.before.value;
  const change = before?.question === question ? now - before.figure : 0;
  const place =
    figure.slot === 'lap' ? shown.basis.project.tracks[shown.basis.choice.track]?.name : figure.words;
  return (
    <div class={late ? 'strip stale' : 'strip'} aria-hidden="true">
      <span>{place}</span>
      <strong>{figureWords(now, figure.kind, unit)}</strong>
      <span>
        {isNoticed(change, figure)
          ? `${differenceWords(change, figure.kind, unit)} ${betterWord(change, figure)}`
          : ''}
      </span>
    </div>
  );
}
