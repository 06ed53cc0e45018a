/** The sheet of keys: `?` opens it, and says what every key does. */
import { useEffect, useRef } from 'preact/hooks';
import { useWorkbench } from '../state/context.ts';
import { hrefOf, QUESTIONS, VIEW_WORDS } from '../state/views.ts';

export function KeysSheet() {
  const workbench = useWorkbench();
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    const onKey = (event: KeyboardEvent): void => {
      const { target } = event;
      const isTyping =
        target instanceof HTMLInputElement ||
        target instanceof HTMLTextAreaElement ||
        target instanceof HTMLSelectElement;
      if (isTyping || event.ctrlKey || event.metaKey || event.altKey) return;
      if (event.key === '?') {
        event.preventDefault();
        dialog.current?.showModal();
        return;
      }
      const question = QUESTIONS[Number(event.key) - 1];
      if (question !== undefined) location.hash = hrefOf(question);
      else if (event.key === 'p') workbench.pin();
      else return;
      event.preventDefault();
    };
    addEventListener('keydown', onKey);
    return () => removeEventListener('keydown', onKey);
  }, [workbench]);
  return (
    <>
      <button
        type="button"
        class="bar-button"
        aria-label="Keys"
        aria-keyshortcuts="?"
        onClick={() => dialog.current?.showModal()}
      >
        ?
      </button>
      <dialog ref={dialog} class="keys-sheet" aria-labelledby="keys-title">
        <h2 id="keys-title">Keys</h2>
        <dl>
          {QUESTIONS.map((question, i) => (
            <div key={question}>
              <dt>
                <kbd>{i + 1}</kbd>
              </dt>
              <dd>{VIEW_WORDS[question]}</dd>
            </div>
          ))}
          {KEYS.map(([keys, words]) => (
            <div key={words}>
              <dt>
                {keys.map((key) => (
                  <kbd key={key}>{key}</kbd>
                ))}
              </dt>
              <dd>{words}</dd>
            </div>
          ))}
        </dl>
        <form method="dialog">
          <button type="submit">Close</button>
        </form>
      </dialog>
    </>
  );
}

const KEYS: readonly (readonly [keys: readonly string[], words: string])[] = [
  [['p'], 'pin the answer in view'],
  [['Ctrl', 'Z'], 'take the last step back'],
  [['Ctrl', 'Shift', 'Z'], 'and put it back'],
  [['Ctrl', 'Y'], 'the same'],
  [['←', '→'], 'on a plot or slider: along; with Shift further'],
  [['+', '−'], 'on a plot: closer, wider'],
  [['Home', 'End'], 'on a plot: to its ends'],
  [['Tab'], 'to the next field, button or plot'],
  [['?'], 'this sheet'],
];
