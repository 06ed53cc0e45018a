/** The main figure of a question as last shown, for views; undefined while there is none. */
import { figuresOf } from '../../../sim/index.ts';
import { useWorkbench } from './context.ts';
import { MAIN_FIGURES, mainFigure } from './main-figure.ts';
import { requestFor } from './requests.ts';
import type { Question } from './views.ts';

export function useMainFigure(question: Question): number | undefined {
  const { answers } = useWorkbench();
  const { slot } = MAIN_FIGURES[question];
  const { result, basis } = answers[slot].value;
  if (result === undefined || basis === undefined) return undefined;
  const { verb } = requestFor(slot, basis.choice, basis.project);
  return mainFigure(question, figuresOf(verb, result as never));
}
