/**
 * What a store of projects says and does: the terms shared by autosave, desk and views. store.ts makes one.
 */
import type { ReadonlySignal, Signal } from '@preact/signals';
import type { Problem } from '../../../sim/index.ts';
import type { History } from '../state/history.ts';
import type { HistoryRead, Session, StoredEntry } from './records.ts';

export type Storing =
  /** Nothing has been changed yet, so there is nothing to keep. */
  | { readonly kind: 'nothing' }
  | { readonly kind: 'saving' }
  /** `at`: ms since 1970 */
  | { readonly kind: 'kept'; readonly at: number }
  /** The browser keeps nothing at all. */
  | { readonly kind: 'not-kept'; readonly problem: Problem }
  /** The last write failed; the next edit tries again. */
  | { readonly kind: 'failed'; readonly problem: Problem }
  /** Another tab wrote (`at`) or discarded (no `at`) the project meanwhile: nothing is written until the choice is made. */
  | { readonly kind: 'conflict'; readonly at?: number };

export type Loaded =
  | { readonly kind: 'none'; readonly session: Session }
  | {
      readonly kind: 'document';
      readonly id: string;
      readonly history: History;
      readonly session: Session;
    }
  /** `salvage`: what could be read of it. */
  | {
      readonly kind: 'unreadable';
      readonly id?: string;
      readonly problem: Problem;
      readonly salvage?: History;
    };

export interface Store {
  readonly storing: ReadonlySignal<Storing>;
  /** The one saved last first; those put aside too. */
  readonly projects: ReadonlySignal<readonly StoredEntry[]>;
  /** The project this tab works on; undefined until it has been stored. */
  readonly current: ReadonlySignal<string | undefined>;
  /** What happened at the start that the builder should know of, in sentences. */
  readonly remarks: Signal<readonly string[]>;
  /** The project named, else the one this tab had, else the one looked at last; it becomes the current one. */
  load(id?: string): Promise<Loaded>;
  /** Writes what is new. An untouched first document is not stored. */
  save(history: History, session: Session): Promise<void>;
  isKept(history: History): boolean;
  /** Stores another project beside the current one; its id, or what stood in the way. */
  add(history: History): Promise<string | Problem>;
  /** What is shown goes on as a new project; the stored one stays as it is. */
  branch(): void;
  /** This tab's own state is put aside; then `load(id)` gives the other tab's. */
  yieldToOther(history: History): Promise<void>;
  /** The next save begins a project of its own. */
  leaveCurrent(): void;
  read(id: string): Promise<HistoryRead | undefined>;
  rename(id: string, name: string): Promise<void>;
  duplicate(id: string): Promise<void>;
  putAside(id: string): Promise<void>;
  takeBack(id: string): Promise<void>;
  discard(id: string): Promise<void>;
  /** The records as they are: of one project, or all there is. */
  raw(id?: string): Promise<unknown>;
  refresh(): Promise<void>;
  /** Called as the page goes: writes down at once what has not been stored. */
  leave(history: History, session: Session): boolean;
  close(): void;
}
