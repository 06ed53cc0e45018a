/** A study on the page: counts, shows what it has, stops, and lets the newest question win. */
import { describe, expect, test } from 'vitest';
import type { Answer, Request } from '../../../../sim/index.ts';
import { readDemo } from '../../../../ui/demo/demo-project.ts';
import type { StudyPlan } from '../../../../ui/web/state/study.ts';
import { createStudy } from '../../../../ui/web/state/study.ts';
import type { Batch, BatchOutcome, Runner, RunOptions } from '../../../../workers/protocol.ts';

const project = readDemo().project!;

/** Answers each request with its place, a turn of the event loop apart; heeds the signal. */
function slowRunner(): Runner {
  const run = async (batch: Batch, options: RunOptions = {}): Promise<BatchOutcome> => {
    const answers: (Answer | undefined)[] = batch.requests.map(() => undefined);
    for (const i of batch.requests.keys()) {
      await new Promise((resolve) => setTimeout(resolve, 2));
      if (options.signal?.aborted === true) return { status: 'cancelled', answers, problems: [] };
      answers[i] = { status: 'done', problems: [], diagnostics: { place: i } };
      options.onProgress?.({ done: i + 1, total: answers.length, first: i, answers: [answers[i]] });
    }
    return { status: 'done', answers, problems: [] };
  };
  return { run: run as Runner['run'], idle: async () => {}, dispose: () => {} };
}

const request: Request = { verb: 'sheet', kart: 'clodlet-four-knobbly', day: 'mild' };
const plan = (count: number): StudyPlan<number> => ({
  project,
  revision: 'r',
  study: {
    requests: Array.from({ length: count }, () => request),
    combine: (answers) => {
      const there = answers.filter((answer) => answer !== undefined).length;
      return there === 0 ? undefined : there;
    },
  },
});

const until = async (holds: () => boolean): Promise<void> => {
  for (let i = 0; i < 500 && !holds(); i++) await new Promise((resolve) => setTimeout(resolve, 5));
  expect(holds()).toBe(true);
};

describe('study', () => {
  test('ends with the whole result, and the same question is not asked again', async () => {
    let time = 0;
    const study = createStudy<number>('s', slowRunner, () => (time += 100));
    study.start('a', () => plan(20));
    await until(() => study.value.value.state === 'done');
    expect(study.value.value).toMatchObject({ result: 20, done: 20, total: 20, isOld: false });
    study.start('a', () => {
      throw new Error('asked again');
    });
  });

  test('shows partial results while it works; the answer before stays until the first of them', async () => {
    let time = 0;
    const study = createStudy<number>('s', slowRunner, () => (time += 100));
    study.start('a', () => plan(3));
    await until(() => study.value.value.state === 'done');
    const seen: (number | undefined)[] = [];
    const unsubscribe = study.value.subscribe((shown) => void seen.push(shown.result));
    study.start('b', () => plan(30));
    expect(study.value.value).toMatchObject({ result: 3, isOld: true, state: 'working' });
    await until(() => study.value.value.state === 'done');
    unsubscribe();
    expect(seen.some((result) => result !== undefined && result > 3 && result < 30)).toBe(true);
    expect(seen.at(-1)).toBe(30);
  });

  test('asks the next round once the first is answered, with its answers behind those', async () => {
    const study = createStudy<number>('s', slowRunner, () => Date.now());
    const { study: first, ...rest } = plan(5);
    const asked: number[] = [];
    study.start('rounds', () => ({
      ...rest,
      study: {
        ...first,
        more: (answers) => {
          asked.push(answers.length);
          return answers.length < 8 ? [request, request, request] : [];
        },
      },
    }));
    await until(() => study.value.value.state === 'done');
    expect(asked).toEqual([5, 8]);
    expect(study.value.value).toMatchObject({ result: 8, done: 8, total: 8 });
  });

  test('stopped, it keeps what it has and can be asked anew; the newest question wins', async () => {
    const study = createStudy<number>('s', slowRunner, () => Date.now());
    study.start('a', () => plan(500));
    await new Promise((resolve) => setTimeout(resolve, 20));
    study.stop();
    expect(study.value.value.state).toBe('stopped');
    study.start('a', () => plan(400));
    study.start('b', () => plan(7));
    await until(() => study.value.value.state === 'done');
    expect(study.value.value.result).toBe(7);
    await new Promise((resolve) => setTimeout(resolve, 30));
    expect(study.value.value.result).toBe(7);
  });
});
