/** The project as a whole: its name, whether it is kept, as file and link, and the others beside it. */
import { useEffect, useState } from 'preact/hooks';
import { useWorkbench } from '../state/context.ts';
import { useStore } from '../store/context.ts';
import { nameOf, setName } from '../store/project-name.ts';
import { FileBox } from './project/file-box.tsx';
import { LinkBox } from './project/link-box.tsx';
import { SavedWord } from './project/saved-word.tsx';
import { StorageBox } from './project/storage-box.tsx';
import { StoredProjects } from './project/stored-projects.tsx';

export function ProjectPage() {
  return (
    <div class="project">
      <NameBox />
      <FileBox />
      <LinkBox />
      <StoredProjects />
      <StorageBox />
    </div>
  );
}

function NameBox() {
  const workbench = useWorkbench();
  const { store } = useStore().desk;
  const name = nameOf(workbench.history.value);
  const [typed, setTyped] = useState(name);
  useEffect(() => setTyped(name), [name]);
  useEffect(() => void store.refresh(), [store]);
  const isEmpty = typed.trim() === '';
  const steps = workbench.history.value.steps.length - 1;
  return (
    <section class="card" aria-labelledby="project-title">
      <h2 class="question" id="project-title">
        This project
      </h2>
      <div class="field">
        <label for="project-name">Name</label>
        <input
          id="project-name"
          type="text"
          maxLength={120}
          value={typed}
          aria-invalid={isEmpty}
          aria-describedby="project-name-says"
          onInput={(event) => setTyped(event.currentTarget.value)}
          onChange={() => {
            if (!isEmpty && typed.trim() !== name) workbench.edit(setName(typed.trim()));
          }}
        />
        <p class={isEmpty ? 'field-says refused' : 'field-says'} id="project-name-says">
          {isEmpty ? `A project has a name of 1 to 120 letters. It is still "${name}".` : ''}
        </p>
      </div>
      <p>
        <SavedWord />, {steps === 1 ? '1 step' : `${steps} steps`} to undo or redo.
      </p>
    </section>
  );
}
