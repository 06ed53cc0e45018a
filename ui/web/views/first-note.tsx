/** The note of the first run: what this is, what it is not; gone once read. */
import { useWorkbench } from '../state/context.ts';

export function FirstNote() {
  const { noteRead } = useWorkbench();
  if (noteRead.value) return null;
  return (
    <section class="first-note" aria-labelledby="first-note-title">
      <h2 id="first-note-title">Before you lean on a number</h2>
      <p class="first-note-words">
        Everything here is an estimate, worked out on your own machine and sent nowhere. Drive only on closed
        ground, with leave to use it and somebody watching. The class rules, local law and an inspector’s word
        stand over any number on this page; frame, brakes and guards want the eye of somebody who does it for
        a living.
      </p>
      <button
        type="button"
        onClick={() => {
          noteRead.value = true;
        }}
      >
        I have read this
      </button>
    </section>
  );
}
