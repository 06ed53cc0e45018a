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
  // On a phone the list is a strip: the view shown must be in sight in it.
  useEffect(() => {
    if (view === current) entry.current?.scrollIntoView({ inline: 'nearest', block: 'nearest' });
  }, [view === current]);
  return (
    <li ref={entry}>
      <a href={hrefOf(view)} {...(view === current ? { 'aria-current': 'page' as const } : {})}>
        {VIEW_WORDS[view]}
      </a>
    </li>
  );
}
