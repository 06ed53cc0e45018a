/** Whether what is shown is kept, in one short line. */
import { useWorkbench } from '../../state/context.ts';
import { useStore } from '../../store/context.ts';
import { storingWord } from '../../words/store-words.ts';

export function SavedWord() {
  const { store } = useStore().desk;
  const history = useWorkbench().history.value;
  const stored = store.storing.value;
  // Between an edit and its write, what was kept is no longer what is shown.
  const isBehind = (stored.kind === 'kept' || stored.kind === 'nothing') && !store.isKept(history);
  const storing = isBehind ? ({ kind: 'saving' } as const) : stored;
  const isWell = storing.kind === 'kept' || storing.kind === 'nothing' || storing.kind === 'saving';
  return (
    <span class={isWell ? 'saved-word' : 'saved-word unsaved'} role="status">
      {storingWord(storing, Date.now())}
    </span>
  );
}
