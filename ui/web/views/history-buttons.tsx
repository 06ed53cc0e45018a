/** Undo and redo, each naming the step it would take back or repeat; also Ctrl+Z, and Ctrl+Y or Ctrl+Shift+Z. */
import { useEffect } from 'preact/hooks';
import { useWorkbench } from '../state/context.ts';
import { redoLabel, undoLabel } from '../state/history.ts';

export function HistoryButtons() {
  const workbench = useWorkbench();
  const undo = undoLabel(workbench.history.value);
  const redo = redoLabel(workbench.history.value);
  useEffect(() => {
    const onKey = (event: KeyboardEvent): void => {
      const inText = event.target instanceof HTMLInputElement && event.target.type === 'text';
      if (inText || !(event.ctrlKey || event.metaKey)) return;
      const key = event.key.toLowerCase();
      if (key !== 'z' && key !== 'y') return;
      event.preventDefault();
      if (key === 'y' || event.shiftKey) workbench.redo();
      else workbench.undo();
    };
    addEventListener('keydown', onKey);
    return () => removeEventListener('keydown', onKey);
  }, [workbench]);
  return (
    <div class="history">
      <button type="button" disabled={undo === undefined} title={undo} onClick={() => workbench.undo()}>
        Undo{undo === undefined ? '' : <small>{undo}</small>}
      </button>
      <button type="button" disabled={redo === undefined} title={redo} onClick={() => workbench.redo()}>
        Redo{redo === undefined ? '' : <small>{redo}</small>}
      </button>
    </div>
  );
}
