/** A log matched on the page: a stop keeps what has been found so far, a newer log takes the place of an older. */
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import type { Request } from '../../../../sim/index.ts';
import { matchLog, perform } from '../../../../sim/index.ts';
import { readDemo } from '../../../../ui/demo/demo-project.ts';
import { readLog } from '../../../../ui/log-files/read-log.ts';
import { createLogMatch } from '../../../../ui/web/state/log-match.ts';
import type { Batch, BatchOutcome, Runner } from '../../../../workers/protocol.ts';

const { project, notes } = readDemo();
const against = { project: project!, notes, document: {} };
const OUTING = readFileSync('ui/demo/made-up-outing.csv', 'utf8');
const options = {
  kart: 'clodlet-four-asphalt',
  day: 'mild',
  surface: 'asphalt',
  fit: ['drag area'],
} as const;

/** Answers at once, and tells after how many batches. */
function counting(onBatch: (count: number) => void): Runner {
  let count = 0;
  return {
    async run<R extends Request>({ project: changed, requests }: Batch<R>): Promise<BatchOutcome<R>> {
      count += 1;
      const answers: unknown = requests.map((request: Request) => perform(changed, request));
      onBatch(count);
      return { status: 'done', answers: answers as BatchOutcome<R>['answers'], problems: [] };
    },
    idle: async () => {},
    dispose() {},
  };
}

const ended = async (match: ReturnType<typeof createLogMatch>) => {
  await expect.poll(() => match.value.value.result !== undefined, { timeout: 10_000 }).toBe(true);
  return match.value.value;
};

test('stopped on the way it keeps the runs found and what was fitted till then', async () => {
  let stop = (): void => {};
  const match = createLogMatch(counting((count) => count === 12 && stop()));
  stop = match.stop;
  match.take('outing.csv', readLog('outing.csv', OUTING));
  match.start(matchLog, against, options);
  const { state, result, runs } = await ended(match);
  expect(state).toBe('stopped');
  expect(result!.segments.length).toBeGreaterThan(3);
  const whole = createLogMatch(counting(() => {}));
  whole.take('outing.csv', readLog('outing.csv', OUTING));
  whole.start(matchLog, against, options);
  const done = await ended(whole);
  expect(done.state).toBe('done');
  expect(runs).toBeLessThan(done.runs);
});

test('another log taken meanwhile is not answered by the older one', async () => {
  let take = (): void => {};
  const match = createLogMatch(counting((count) => count === 3 && take()));
  take = () => match.take('other.csv', readLog('other.csv', OUTING));
  match.take('outing.csv', readLog('outing.csv', OUTING));
  match.start(matchLog, against, options);
  await new Promise((resolve) => setTimeout(resolve, 300));
  expect(match.value.value).toMatchObject({ name: 'other.csv', state: 'none' });
  expect(match.value.value.result).toBeUndefined();
});

test('the ground named stays with another file; what was found of the one before does not', async () => {
  const match = createLogMatch(counting(() => {}));
  const file = new File([OUTING], 'outing.csv');
  match.driveOn('asphalt');
  match.take('outing.csv', readLog('outing.csv', OUTING), { file, columns: {} });
  match.start(matchLog, against, options);
  expect((await ended(match)).against).toBe(against);
  const columns = { speed: { column: null } };
  match.take('outing.csv', readLog('outing.csv', OUTING, columns), { file, columns });
  expect(match.value.value).toMatchObject({ drivenOn: 'asphalt', file, columns, state: 'none' });
  expect(match.value.value.result).toBeUndefined();
});
