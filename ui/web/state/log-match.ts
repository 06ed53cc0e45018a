/**
 * A builder's log against the estimate: matched in the background, run by run; the log stays in this page.
 *
 * In: a runner for work that may wait. Out: one signal with what was read and found.
 */
import type { ReadonlySignal } from '@preact/signals';
import { signal } from '@preact/signals';
import type { InputNote, MatchOptions, MatchResult, matchLog, Project, RawEdit } from '../../../sim/index.ts';
import type { Runner } from '../../../workers/protocol.ts';
import type { ColumnChoices } from '../../log-files/log-columns.ts';
import type { LogRead } from '../../log-files/read-log.ts';
import type { ProjectDocument } from './document.ts';

/** What a log is laid against: the project as read, and the document it was read from. */
export interface Matched {
  readonly project: Project;
  readonly notes: readonly InputNote[];
  readonly document: ProjectDocument;
}

export interface ShownMatch {
  readonly name?: string;
  readonly read?: LogRead;
  /** The file itself, to be read again with other columns, and the builder's word on them so far. */
  readonly file?: File;
  readonly columns?: ColumnChoices;
  /** The ground the log was driven on, where the builder has named it. */
  readonly drivenOn?: string;
  readonly result?: MatchResult;
  /** What it was matched with, and against. */
  readonly options?: MatchOptions;
  readonly against?: Matched;
  /** What of the result has been put into the project, by the value's name. */
  readonly taken?: Readonly<Record<string, readonly RawEdit[]>>;
  readonly runs: number;
  readonly state: 'none' | 'working' | 'done' | 'stopped' | 'failed';
  readonly trouble?: string;
}

export interface LogMatch {
  readonly value: ReadonlySignal<ShownMatch>;
  /** Takes a log as read; matching starts with `start`. */
  take(name: string, read: LogRead, from?: { readonly file: File; readonly columns: ColumnChoices }): void;
  /** Names the ground the log was driven on. */
  driveOn(ground: string): void;
  /** `match` comes from the view that asks: no other view waits for its code. */
  start(match: typeof matchLog, against: Matched, options: MatchOptions): void;
  /** Keeps what was put into the project, so that it is known while the project holds it. */
  tookOver(id: string, edits: readonly RawEdit[]): void;
  /** What has been found so far stays, marked as stopped. */
  stop(): void;
}

export function createLogMatch(runner: Runner): LogMatch {
  const value = signal<ShownMatch>({ runs: 0, state: 'none' });
  let current = 0;
  /** The match told to stop: it asks no more, and says what it has. */
  let halted = 0;
  let asked = 0;

  const work = async (
    match: typeof matchLog,
    against: Matched,
    options: MatchOptions,
    mine: number,
  ): Promise<void> => {
    const { read } = value.peek();
    if (read?.log === undefined) return;
    let runs = 0;
    const { project, notes } = against;
    const result = await match(project, notes, read.log, options, async (changed, requests) => {
      if (current !== mine || halted === mine) return requests.map(() => undefined);
      asked += 1;
      const outcome = await runner.run({ project: changed, revision: `match ${asked}`, requests });
      runs += requests.length;
      if (current === mine) value.value = { ...value.peek(), runs };
      return outcome.answers;
    });
    if (current !== mine) return;
    value.value = {
      ...value.peek(),
      result,
      options,
      against,
      taken: {},
      state: halted === mine ? 'stopped' : 'done',
    };
  };

  return {
    value,
    take(name, read, from) {
      current += 1;
      const { drivenOn } = value.peek();
      value.value = {
        name,
        read,
        ...from,
        ...(drivenOn === undefined ? {} : { drivenOn }),
        runs: 0,
        state: 'none',
      };
    },
    driveOn(ground) {
      value.value = { ...value.peek(), drivenOn: ground };
    },
    start(match, against, options) {
      current += 1;
      const mine = current;
      value.value = { ...value.peek(), runs: 0, state: 'working' };
      work(match, against, options, mine).catch((error: unknown) => {
        if (current === mine) value.value = { ...value.peek(), state: 'failed', trouble: String(error) };
      });
    },
    tookOver(id, edits) {
      value.value = { ...value.peek(), taken: { ...value.peek().taken, [id]: edits } };
    },
    stop() {
      halted = current;
      if (value.peek().state === 'working') value.value = { ...value.peek(), state: 'stopped' };
    },
  };
}
