/** The project as a file: saving it, and opening one by choosing or dropping it. */
import { readFile } from '../../exchange/incoming.ts';
import { fileName, fileText } from '../../exchange/project-file.ts';
import { saveJson } from '../../exchange/save-file.ts';
import { useWorkbench } from '../../state/context.ts';
import { useStore } from '../../store/context.ts';
import { nameOf } from '../../store/project-name.ts';

export function FileBox() {
  const workbench = useWorkbench();
  const { arrival } = useStore().desk;
  const take = async (files: FileList | null | undefined): Promise<void> => {
    const file = files?.[0];
    if (file !== undefined) arrival.value = await readFile(file);
  };
  return (
    <section class="card" aria-labelledby="file-title">
      <h2 class="question" id="file-title">
        As a file
      </h2>
      <p>
        One readable file holds the whole project. Open one here, or drop it anywhere on the page: you see
        what it would change before anything happens.
      </p>
      <div class="actions">
        <button
          type="button"
          onClick={() => {
            const text = fileText(workbench.document.peek());
            const name = fileName(nameOf(workbench.history.peek()));
            saveJson(name, text);
          }}
        >
          Save as a file
        </button>
        <label class="file-choice">
          Open a file
          <input
            type="file"
            accept=".json,application/json"
            onChange={(event) => {
              const input = event.currentTarget;
              void take(input.files).then(() => {
                // The same file can be chosen again after it has been mended.
                input.value = '';
              });
            }}
          />
        </label>
      </div>
    </section>
  );
}
