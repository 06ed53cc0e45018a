/**
 * A part of the page that stands still while a hand is at work elsewhere on it: the time of a frame belongs to the hand.
 *
 * In: a signal that holds while the hand works. Out: the part below sees the workbench as it was when the hand began,
 * and as it is once the hand has let go. What it does to the workbench goes to the workbench itself.
 */
import type { ReadonlySignal } from '@preact/signals';
import { computed } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { useMemo } from 'preact/hooks';
import { useWorkbench, WorkbenchProvider } from './context.ts';
import type { Workbench } from './workbench.ts';

export interface HeldWhileProps {
  readonly held: ReadonlySignal<boolean>;
  readonly children: ComponentChildren;
}

export function HeldWhile({ held, children }: HeldWhileProps) {
  const workbench = useWorkbench();
  const still = useMemo(() => heldWorkbench(workbench, held), [workbench, held]);
  return <WorkbenchProvider value={still}>{children}</WorkbenchProvider>;
}

/** Document, project, what the reader says and the steps to undo: as they were when `held` began to hold. */
export function heldWorkbench(workbench: Workbench, held: ReadonlySignal<boolean>): Workbench {
  type Seen = Pick<Workbench, 'history' | 'document' | 'read' | 'project'>;
  type Values = { readonly [K in keyof Seen]: Seen[K]['value'] };
  const { history, document, read, project } = workbench;
  let seen: Values | undefined;
  // All four at once: a project goes with its document.
  const values = computed((): Values => {
    if (!held.value || seen === undefined)
      seen = { history: history.value, document: document.value, read: read.value, project: project.value };
    return seen;
  });
  return {
    ...workbench,
    history: computed(() => values.value.history),
    document: computed(() => values.value.document),
    read: computed(() => values.value.read),
    project: computed(() => values.value.project),
  };
}
