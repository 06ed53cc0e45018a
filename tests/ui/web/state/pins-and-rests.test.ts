/** Pins freeze an answer with what made it, and come back; what an answer rests on is found in the background. */
import { describe, expect, test } from 'vitest';
import type { Outcome, Request } from '../../../../sim/index.ts';
import { firstOrderDifference, perform } from '../../../../sim/index.ts';
import { demoInput } from '../../../../ui/demo/demo-project.ts';
import { setTeeth } from '../../../../ui/web/state/commands.ts';
import { createWorkbench } from '../../../../ui/web/state/workbench.ts';
import { differences } from '../../../../ui/web/words/differing-inputs.ts';
import { guessesOf, guessSentence } from '../../../../ui/web/words/guess-words.ts';
import type { Batch, BatchOutcome, Runner, RunOptions } from '../../../../workers/protocol.ts';

const KART = 'clodlet-four-knobbly';

/** Answers at once, a slice per request, heeding the signal. */
function runnerHere(): Runner {
  const run = async (batch: Batch, options: RunOptions = {}): Promise<BatchOutcome> => {
    const answers: (Outcome<never> | undefined)[] = batch.requests.map(() => undefined);
    for (const [i, request] of batch.requests.entries()) {
      await new Promise((resolve) => setTimeout(resolve, 0));
      if (options.signal?.aborted === true) return { status: 'cancelled', answers, problems: [] };
      answers[i] = perform(batch.project, request as Request) as Outcome<never>;
      options.onProgress?.({ done: i + 1, total: answers.length, first: i, answers: [answers[i]] });
    }
    return { status: 'done', answers, problems: [] };
  };
  return { run: run as Runner['run'], idle: async () => {}, dispose: () => {} };
}

function open(session: Readonly<Record<string, unknown>> = {}) {
  return createWorkbench({
    document: demoInput(),
    session,
    view: 'shift',
    runner: runnerHere(),
    background: runnerHere(),
    now: () => 1000,
    clock: () => 0,
  });
}

const until = async (holds: () => boolean): Promise<void> => {
  for (let i = 0; i < 400 && !holds(); i++) await new Promise((resolve) => setTimeout(resolve, 10));
  expect(holds()).toBe(true);
};

describe('pins', () => {
  test('a pin keeps its answer while the kart goes on changing, and says only what differs', async () => {
    const workbench = open();
    await workbench.settled();
    workbench.pin();
    const frozen = workbench.answers.top.value.result?.topSpeed;
    workbench.edit(setTeeth(KART, 'rear', 38));
    await workbench.settled();
    const [pin] = workbench.pins.all.value;
    expect(pin?.results.top?.topSpeed).toBe(frozen);
    expect(workbench.answers.top.value.result?.topSpeed).not.toBe(frozen);
    const found = differences(
      { project: pin!.project, notes: pin!.notes, choice: pin!.choice },
      {
        project: workbench.project.value,
        notes: workbench.read.value.notes,
        choice: workbench.choice.value,
      },
    );
    expect(found).toEqual([{ words: 'rear sprocket', from: '49', to: '38' }]);
  });

  test('the line driven is a difference; lines merely kept with a track are none', () => {
    const workbench = open();
    const [drawn, { notes }, choice] = [
      workbench.project.value,
      workbench.read.value,
      { ...workbench.choice.value, track: 'oval' },
    ];
    const keeping = (offset: number): typeof drawn => {
      const line = { kind: 'fastest', kart: choice.kart, day: choice.day, time: 13, madeFor: {} } as const;
      const lines = [{ ...line, distance: [0, 50, 100], offset: [offset, offset, offset] }];
      return { ...drawn, tracks: { ...drawn.tracks, oval: { ...drawn.tracks['oval']!, lines } } };
    };
    const before = { project: drawn, notes, choice };
    expect(differences(before, { project: keeping(0.5), notes, choice })).toEqual([]);
    const fastest = { ...choice, line: 'fastest' } as const;
    expect(differences(before, { project: drawn, notes, choice: fastest })).toEqual([]);
    const onIt = { project: keeping(0.5), notes, choice: fastest };
    expect(differences(before, onIt)).toEqual([{ words: 'line', from: 'as drawn', to: 'fastest' }]);
    expect(differences(onIt, { ...onIt, project: keeping(0.7) })).toEqual([
      { words: 'fastest line', from: '', to: 'another one kept with the track' },
    ]);
  });

  test('parts exchanged whole are named and not listed value by value', async () => {
    const workbench = open();
    await workbench.settled();
    workbench.pin();
    workbench.choose({ kart: 'clodlet-single-knobbly' });
    await workbench.settled();
    const [pin] = workbench.pins.all.value;
    const found = differences(
      { project: pin!.project, notes: pin!.notes, choice: pin!.choice },
      { project: workbench.project.value, notes: workbench.read.value.notes, choice: workbench.choice.value },
    );
    const words = found.map((d) => d.words);
    expect(words).toContain('donor');
    expect(words).toContain('kart');
    // The karts share driver and chain; what is set on each and differs is said too.
    expect(found).toContainEqual({ words: 'sprockets', from: '14/49', to: '15/38' });
    expect(words.some((w) => w.includes('driver') || w.includes('sprocket,'))).toBe(false);
    const lengths = found.map((d) => d.words.length + d.from.length + d.to.length);
    expect(lengths).toEqual([...lengths].sort((a, b) => a - b));
    expect(words.some((w) => w.includes('torque curve'))).toBe(false);
  });

  test('two karts of one driver: the driver is one unknown of the difference, not two', async () => {
    const workbench = open();
    workbench.show('how-quick');
    await workbench.settled();
    workbench.pin();
    workbench.choose({ kart: 'clodlet-single-knobbly' });
    await workbench.settled();
    await until(() => workbench.pins.all.value[0]?.restsOn !== undefined);
    await until(
      () =>
        workbench.restsOn.value.value?.state === 'done' &&
        workbench.restsOn.value.value.basis.choice.kart === 'clodlet-single-knobbly',
    );
    const [then, now] = [
      workbench.pins.all.value[0]!.restsOn!,
      workbench.restsOn.value.value!.found!,
    ] as const;
    const ofDriver = (of: typeof then) =>
      of.effects.find(({ note }) => note.path.endsWith('.driver.gripUse'))!.swing;
    const { spread } = firstOrderDifference(then, now);
    // Counted apart it would be at least both of them in squares.
    expect(spread).toBeLessThan(0.5 * Math.hypot(ofDriver(then), ofDriver(now)));
    expect(spread).toBeGreaterThan(Math.abs(ofDriver(now) - ofDriver(then)));
  });

  test('four at most; one taken off makes room, and its letter is free again', async () => {
    const workbench = open();
    await workbench.settled();
    for (let i = 0; i < 5; i++) workbench.pin();
    expect(workbench.pins.all.value.map((p) => p.letter)).toEqual(['A', 'B', 'C', 'D']);
    expect(workbench.pins.hasRoom.value).toBe(false);
    workbench.pins.remove(workbench.pins.all.value[1]!.id);
    workbench.pin();
    expect(workbench.pins.all.value.map((p) => p.letter)).toEqual(['A', 'C', 'D', 'B']);
  });

  test('kept pins come back with the same answer to the last bit', async () => {
    const workbench = open();
    await workbench.settled();
    workbench.pin();
    const kept = JSON.parse(JSON.stringify(workbench.session.value));
    const again = open(kept);
    await until(() => again.pins.all.value[0]?.results.top !== undefined);
    expect(again.pins.all.value[0]?.results.top?.topSpeed).toBe(
      workbench.pins.all.value[0]?.results.top?.topSpeed,
    );
  });

  test('kept pins that are no pins are left out', async () => {
    const workbench = open({
      pins: [null, 7, { id: 'x' }, { id: 'a', question: 'shift', at: 1, choice: {}, document: {} }],
    });
    await workbench.settled();
    expect(workbench.pins.all.value).toEqual([]);
  });
});

describe('what an answer rests on', () => {
  test('is found for the question in view: inputs by effect, and the spread they leave', async () => {
    const workbench = open();
    await workbench.settled();
    await until(() => workbench.restsOn.value.value?.state === 'done');
    const resting = workbench.restsOn.value.value!;
    expect(resting.question).toBe('shift');
    expect(resting.done).toBe(resting.total);
    const { found } = resting;
    expect(found!.base).toBe(workbench.answers.top.value.result?.topSpeed);
    expect(found!.spread).toBeGreaterThan(0);
    const sizes = found!.effects.map((e) => Math.max(Math.abs(e.less), Math.abs(e.more)));
    expect(sizes).toEqual([...sizes].sort((a, b) => b - a));
  });

  test('the sheet for the paddock names the guesses that move its lap, the largest first', async () => {
    const workbench = open();
    workbench.show('paper');
    await workbench.settled();
    await until(() => workbench.restsOn.value.value?.question === 'how-quick');
    await until(() => workbench.restsOn.value.value?.state === 'done');
    const { found } = workbench.restsOn.value.value!;
    const guesses = guessesOf(found!);
    const paths = guesses.map(({ note }) => note.path);
    const surface = workbench.project.value.tracks[workbench.choice.value.track]!.surface;
    expect(paths[0]).toBe(`tyres.knobbly-rear.grip.${surface}.peak`);
    expect(paths.join()).not.toMatch(/peakSlip/);
    for (const { note, less, more } of guesses) {
      expect(note.origin).toMatch(/assumed|borrowed|given/);
      expect(Math.max(Math.abs(less), Math.abs(more))).toBeGreaterThanOrEqual(0.005);
    }
    const sizes = guesses.map((e) => Math.max(Math.abs(e.less), Math.abs(e.more)));
    expect(sizes).toEqual([...sizes].sort((a, b) => b - a));
    expect(guessSentence(guesses[0]!, workbench.project.value)).toMatch(
      /peak grip.* ±\d+ % .*: the lap (give or take|[\d.]+\ss quicker to|up to) [\d.]+\ss/,
    );
  });

  test('stops when told, and when the kart changes', async () => {
    const workbench = open();
    await workbench.settled();
    await until(() => workbench.restsOn.value.value?.state === 'working');
    workbench.restsOn.stop();
    expect(workbench.restsOn.value.value?.state).toBe('stopped');
    workbench.edit(setTeeth(KART, 'rear', 44));
    await workbench.settled();
    await until(() => workbench.restsOn.value.value?.basis.revision === 1);
  });
});
