/**
 * The first minute: one prompt leads to the next, each done by doing it. Only for a project nobody has changed much.
 *
 * In: choice and history. Out: the next thing worth trying; every number in it is the solver's.
 */
import { useSignal } from '@preact/signals';
import { useWorkbench } from '../state/context.ts';
import { MAIN_FIGURES } from '../state/main-figure.ts';
import { hrefOf } from '../state/views.ts';
import { differenceWords } from '../words/figure-words.ts';

export function FirstSteps() {
  const workbench = useWorkbench();
  const put = useSignal(false);
  const looked = useSignal(false);
  const project = workbench.project.value;
  const choice = workbench.choice.value;
  const { steps } = workbench.history.value;
  const opening = useSignal(choice.track);
  if (put.value || workbench.view.value !== 'how-quick' || !isDemo(workbench.document.value)) return null;
  const other = Object.keys(project.tracks).find(
    (id) => project.tracks[id]?.surface !== project.tracks[opening.value]?.surface,
  );
  const step = nextStep();
  if (step === undefined) return null;
  return (
    <section class="first-steps" aria-label="What to try first">
      <p class="first-steps-words" role="status">
        {step.words}
      </p>
      {step.button}
      <button
        type="button"
        class="quiet"
        onClick={() => {
          put.value = true;
        }}
      >
        Put this away
      </button>
    </section>
  );

  function nextStep() {
    if (choice.track === opening.value && other !== undefined && steps.length === 1)
      return {
        words:
          'This is an invented kart on an invented track, already answered. What does other ground do to it?',
        button: (
          <button type="button" onClick={() => workbench.choose({ track: other })}>
            Take it to {project.tracks[other]?.name}
          </button>
        ),
      };
    if (steps.length === 1)
      return {
        words: `Now the teeth: what are three more at the rear worth on ${project.tracks[choice.track]?.name}?`,
        button: (
          <button
            type="button"
            onClick={() =>
              document.querySelector<HTMLElement>('[aria-label="Rear sprocket: one tooth more"]')?.focus()
            }
          >
            Show me the rear sprocket
          </button>
        ),
      };
    const found = workbench.restsOn.value.value;
    const most = found?.question === 'how-quick' ? found.found?.effects[0] : undefined;
    if (!looked.value && most !== undefined)
      return {
        words: `One guess alone moves this by ${differenceWords(
          Math.max(Math.abs(most.less), Math.abs(most.more)),
          MAIN_FIGURES['how-quick'].kind,
          workbench.speedUnit.value,
        )}. Which, and how to measure it?`,
        button: (
          <button
            type="button"
            onClick={() => {
              const rests = document.querySelector<HTMLDetailsElement>('#rests-on');
              if (rests === null) return;
              rests.open = true;
              rests.querySelector('summary')?.focus();
              rests.scrollIntoView({ block: 'nearest' });
              looked.value = true;
            }}
          >
            Show what it rests on
          </button>
        ),
      };
    return {
      words: 'That is the round. Put your own kart in place of the invented one, part by part.',
      button: (
        <a class="button" href={hrefOf('kart')}>
          Make it mine
        </a>
      ),
    };
  }
}

/** The demo says so in its note; a project of the builder's own has no need of a guide. */
function isDemo(document: Readonly<Record<string, unknown>>): boolean {
  return typeof document['note'] === 'string' && document['note'].startsWith('Demo data');
}
