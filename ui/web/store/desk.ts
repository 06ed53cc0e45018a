/**
 * What the views may do with projects: open, begin, take in, put aside, and settle a conflict of two tabs.
 *
 * In: the workbench, the store, and what the page started with. Each change of project first has the present one
 * stored, and is refused where that cannot be: nothing is lost by opening something else. Knows nothing of markup.
 */
import type { Signal } from '@preact/signals';
import { signal } from '@preact/signals';
import type { Problem } from '../../../sim/index.ts';
import { problem } from '../../../sim/index.ts';
import type { Incoming } from '../exchange/incoming.ts';
import { readIncoming, refused } from '../exchange/incoming.ts';
import { unpackShared } from '../exchange/share-link.ts';
import type { ProjectDocument } from '../state/document.ts';
import type { Command, History } from '../state/history.ts';
import { openHistory } from '../state/history.ts';
import type { Keeping, Kept } from './keep-saved.ts';
import { keepSaved } from './keep-saved.ts';
import type { Store } from './kept-projects.ts';
import { freeName, nameOf, setName } from './project-name.ts';
import type { Session } from './records.ts';

/** What the desk needs of the workbench. */
export interface Shown extends Kept {
  edit(command: Command): void;
  reopen(history: History, session?: Session): void;
}

export interface Desk {
  readonly store: Store;
  /** A project that came by file or link and waits for a decision. */
  readonly arrival: Signal<Incoming | undefined>;
  /** Each resolves to what stood in the way, if anything did. */
  open(id: string): Promise<Problem | undefined>;
  openNew(history: History): Promise<Problem | undefined>;
  openDemo(): Promise<Problem | undefined>;
  putAside(id: string): Promise<Problem | undefined>;
  /** Another document in place of the present one, as a step that can be undone. */
  replace(document: ProjectDocument, label: string): void;
  /** Unpacks a shared project into `arrival`. */
  receive(fragment: string): Promise<void>;
  /** This tab goes on with a copy, under a name of its own. */
  branch(): void;
  /** The other tab's state; this tab's own is put aside. */
  takeTheirs(): Promise<Problem | undefined>;
  /** Has what is shown stored now. */
  flush(): Promise<void>;
}

export interface DeskOptions {
  readonly workbench: Shown;
  readonly store: Store;
  readonly demo: () => ProjectDocument;
}

export function createDesk({ workbench, store, demo }: DeskOptions): Desk {
  const arrival = signal<Incoming | undefined>(undefined);
  let keeping: Keeping = keepSaved(workbench, store);
  let turn: Promise<unknown> = Promise.resolve();

  const isKept = (): boolean => store.isKept(workbench.history.peek());

  /** Stores what is shown, then lets `change` put something else in its place, with no autosave in between. */
  const change = (action: () => Promise<Problem | undefined>): Promise<Problem | undefined> => {
    const mine = turn.then(async () => {
      await keeping.flush();
      if (!isKept() && store.storing.peek().kind !== 'conflict') return notStored();
      await store.yieldToOther(workbench.history.peek());
      keeping.dispose();
      try {
        return await action();
      } finally {
        keeping = keepSaved(workbench, store);
      }
    });
    turn = mine;
    return mine;
  };

  const show = async (id: string): Promise<Problem | undefined> => {
    const found = await store.read(id);
    if (found === undefined) return problem('missing', '', 'the stored project is not there any more');
    if (!('history' in found)) return found.problem;
    const loaded = await store.load(id);
    if (loaded.kind !== 'document') return loaded.kind === 'unreadable' ? loaded.problem : undefined;
    workbench.reopen(loaded.history, loaded.session);
    return undefined;
  };

  const showDemo = (): void => {
    store.leaveCurrent();
    workbench.reopen(openHistory(demo()));
  };

  return {
    store,
    arrival,
    open: (id) => change(() => show(id)),
    async openNew(history) {
      if (store.storing.peek().kind === 'not-kept') {
        // One project at a time: the present one can be had back by an undo.
        this.replace(history.steps[history.at]?.document ?? {}, `open "${nameOf(history)}"`);
        return undefined;
      }
      const id = await store.add(history);
      return typeof id === 'string' ? change(() => show(id)) : id;
    },
    async openDemo() {
      if (store.storing.peek().kind === 'not-kept') {
        this.replace(demo(), 'open the demo');
        return undefined;
      }
      return change(async () => {
        showDemo();
        return undefined;
      });
    },
    async putAside(id) {
      if (id !== store.current.peek()) {
        await store.putAside(id);
        return undefined;
      }
      return change(async () => {
        store.leaveCurrent();
        await store.putAside(id);
        const next = store.projects
          .peek()
          .find(({ head }) => head !== undefined && head.asideAt === undefined);
        const trouble = next === undefined ? undefined : await show(next.id);
        if (next === undefined || trouble !== undefined) showDemo();
        return undefined;
      });
    },
    replace(document, label) {
      workbench.edit({ label, apply: () => document });
    },
    async receive(fragment) {
      const found = await unpackShared(fragment);
      arrival.value =
        'text' in found ? readIncoming(found.text, 'this link') : refused('this link', [found.problem]);
    },
    branch() {
      const name = freeName(`${nameOf(workbench.history.peek())}, copy`, store.projects.peek());
      store.branch();
      workbench.edit(setName(name));
    },
    takeTheirs: () =>
      change(async () => {
        const id = store.current.peek();
        const conflict = store.storing.peek();
        if (id !== undefined && conflict.kind === 'conflict' && conflict.at !== undefined) return show(id);
        showDemo();
        return undefined;
      }),
    flush: () => keeping.flush(),
  };
}

function notStored(): Problem {
  return problem('not-stored', '', 'the project shown is not stored, so nothing else was opened', {
    remedy: 'save it as a file first, or mend what keeps it from being stored',
  });
}
