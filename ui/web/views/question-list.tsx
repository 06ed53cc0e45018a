/** The questions and what carries their answers, as links; the one in view is marked. */
import { useEffect, useRef } from 'preact/hooks';
import { useWorkbench } from '../state/context.ts';
import type { View } from '../state/views.ts';
import { ASKED, hrefOf, OTHERS, VIEW_WORDS } from '../state/views.ts';

export function QuestionList() {
  const { view } = useWorkbench();
  return (
    <nav class="questions" aria-label="Questions">
      <ul>
        {ASKED.map((entry) => (
          <Entry key={entry} view={entry} current={view.value} />
        ))}
      </ul>
      <ul>
        {OTHERS.map((entry) => (
          <Entry key={entry} view={entry} current={view.value} />
        ))}
      </ul>
    </nav>
  );
}

function Entry({ view, current }: { view: View; current: View }) {
  const entry = useRef<HTMLLIElement>(null);
  // On a phone the list is a strip: the view shown must be in sight in it. Not by scrollIntoView, which has Tab go on here.
  useEffect(() => {
    const strip = entry.current?.closest('ul');
    if (view !== current || strip == null || entry.current === null) return;
    const [own, whole] = [entry.current.getBoundingClientRect(), strip.getBoundingClientRect()];
    if (own.left < whole.left) strip.scrollLeft += own.left - whole.left;
    else if (own.right > whole.right) strip.scrollLeft += own.right - whole.right;
  }, [view === current]);
  return (
    <li ref={entry}>
      <a href={hrefOf(view)} {...(view === current ? { 'aria-current': 'page' as const } : {})}>
        {VIEW_WORDS[view]}
      </a>
    </li>
  );
}
