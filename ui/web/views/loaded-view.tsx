/**
 * A view whose code is fetched when it is first shown: the questions alone are what a first visit waits for.
 *
 * In: how to import it. Out: a component; words while it comes, and what to do where it does not. Offline the service
 * worker has it.
 */
import type { ComponentType } from 'preact';
import { useEffect, useState } from 'preact/hooks';

export function loadedView(load: () => Promise<ComponentType>): ComponentType {
  let loaded: ComponentType | undefined;
  return function LoadedView() {
    const [Shown, setShown] = useState<{ readonly view: ComponentType } | undefined>(
      loaded === undefined ? undefined : { view: loaded },
    );
    const [trouble, setTrouble] = useState('');
    const [tries, setTries] = useState(0);
    useEffect(() => {
      if (Shown !== undefined) return;
      load().then(
        (view) => {
          loaded = view;
          setShown({ view });
        },
        (error: unknown) => setTrouble(String(error)),
      );
    }, [tries]);
    if (Shown !== undefined) return <Shown.view />;
    if (trouble === '') return <p class="card dated">One moment …</p>;
    return (
      <section class="card">
        <p>This part of the page could not be fetched: {trouble}. What you have entered is untouched.</p>
        <button
          type="button"
          onClick={() => {
            setTrouble('');
            setTries(tries + 1);
          }}
        >
          Try again
        </button>
      </section>
    );
  };
}
