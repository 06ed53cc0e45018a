/**
 * What is typed into worksheets, paste boxes and traced pictures: kept while the page is open, never in the project.
 *
 * In: a key and what it starts with. Out: a signal, the same one whenever the view is opened again.
 */
import type { Signal } from '@preact/signals';
import { signal } from '@preact/signals';
import { useWorkbench } from '../state/context.ts';
import type { Workbench } from '../state/workbench.ts';

const KEPT = new WeakMap<Workbench, Map<string, Signal<unknown>>>();

export function useKept<T>(key: string, initial: T): Signal<T> {
  const workbench = useWorkbench();
  let kept = KEPT.get(workbench);
  if (kept === undefined) {
    kept = new Map();
    KEPT.set(workbench, kept);
  }
  let found = kept.get(key) as Signal<T> | undefined;
  if (found === undefined) {
    found = signal(initial);
    kept.set(key, found as Signal<unknown>);
  }
  return found;
}
