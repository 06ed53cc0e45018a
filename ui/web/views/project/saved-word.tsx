/** Whether what is shown is kept, in one short line. */
import { useStore } from '../../store/context.ts';
import { storingWord } from '../../words/store-words.ts';

export function SavedWord() {
  const { store } = useStore().desk;
  const storing = store.storing.value;
  const isWell = storing.kind === 'kept' || storing.kind === 'nothing' || storing.kind === 'saving';
  return (
    <span class={isWell ? 'saved-word' : 'saved-word unsaved'} role="status">
      {storingWord(storing, Date.now())}
    </span>
  );
}
