/**
 * Has the inputs an answer rests on tried out, one by one, by a runner.
 *
 * In: question, basis, the reader's notes. Out: the first-order study, whole or as far as it got, and progress on the
 * way. Shared by what the answer in view rests on and by pins.
 */
import type {
  FirstOrder,
  InputNote,
  Outcome,
  RunRequest,
  SweepRequest,
  SweepResult,
} from '../../../sim/index.ts';
import { firstOrder, probesOf, STUDY_LAP_SPACING } from '../../../sim/index.ts';
import type { Runner } from '../../../workers/protocol.ts';
import type { Basis } from './answers.ts';
import { inputsInUse } from './inputs-in-use.ts';
import { MAIN_FIGURES } from './main-figure.ts';
import { requestFor } from './requests.ts';
import type { Question } from './views.ts';

export interface FirstOrderRun {
  readonly question: Question;
  readonly basis: Pick<Basis, 'project' | 'choice'>;
  readonly notes: readonly InputNote[];
  /** Names this state of the project to the runner. */
  readonly revision: string;
  /** A newer run on the channel ends this one. */
  readonly channel: string;
  readonly signal?: AbortSignal;
  readonly onProgress?: (state: FirstOrderState) => void;
}

export interface FirstOrderState {
  /** Inputs tried so far. */
  readonly done: number;
  readonly total: number;
  /** The study of those; undefined before the first, or where the kart cannot run at all. */
  found(): FirstOrder | undefined;
}

export async function runFirstOrder(
  runner: Runner,
  { question, basis, notes, revision, channel, signal, onProgress }: FirstOrderRun,
): Promise<FirstOrderState & { readonly isWhole: boolean }> {
  const { slot, name } = MAIN_FIGURES[question];
  const of = requestFor(slot, basis.choice, basis.project);
  const probes = probesOf(inputsInUse(notes, of, basis.project));
  const variants = [[], ...probes.flatMap((probe) => [[probe.less], [probe.more]])];
  const requests = chunksOf(variants, CHUNK).map(
    (part): SweepRequest => ({ verb: 'sweep', of: thriftily(of), variants: part }),
  );
  const figures: (number | null)[] = [];
  const take = (first: number, answers: readonly (Outcome<SweepResult> | undefined)[]): void => {
    for (const [i, answer] of answers.entries())
      for (const [k, found] of (answer?.result?.figures ?? []).entries())
        figures[(first + i) * CHUNK + k] = found?.[name] ?? null;
  };
  const state = (): FirstOrderState => {
    const done = Math.max(0, Math.floor((figures.length - 1) / 2));
    return {
      done,
      total: probes.length,
      found() {
        const base = figures[0];
        if (base === undefined || base === null || done < 1) return undefined;
        const tried = probes.slice(0, done);
        return firstOrder(
          base,
          tried,
          tried.map((_, i) => ({ less: figures[1 + 2 * i] ?? null, more: figures[2 + 2 * i] ?? null })),
        );
      },
    };
  };
  const outcome = await runner.run(
    { project: basis.project, revision, requests },
    {
      channel,
      ...(signal === undefined ? {} : { signal }),
      onProgress: (progress) => {
        take(progress.first, progress.answers);
        onProgress?.(state());
      },
    },
  );
  if (outcome.status === 'done') take(0, outcome.answers);
  return { ...state(), isWhole: outcome.status === 'done' };
}

/** Variants in one request: some 20 ms of work, so that a stop is heard. */
const CHUNK = 12;

function thriftily(of: RunRequest): RunRequest {
  return of.verb === 'lap' ? { ...of, spacing: STUDY_LAP_SPACING } : of;
}

function chunksOf<T>(list: readonly T[], size: number): T[][] {
  return Array.from({ length: Math.ceil(list.length / size) }, (_, i) =>
    list.slice(i * size, (i + 1) * size),
  );
}
