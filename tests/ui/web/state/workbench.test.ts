/** The page's state with the real solver in place of a worker: answers follow edits, failures keep the last answer. */
import { effect, signal } from '@preact/signals';
import { describe, expect, test } from 'vitest';
import type { Outcome, Request } from '../../../../sim/index.ts';
import { perform } from '../../../../sim/index.ts';
import { demoInput } from '../../../../ui/demo/demo-project.ts';
import { setTeeth } from '../../../../ui/web/state/commands.ts';
import { type ProjectDocument, withValue, written } from '../../../../ui/web/state/document.ts';
import { heldWorkbench } from '../../../../ui/web/state/held-while.tsx';
import { currentDocument } from '../../../../ui/web/state/history.ts';
import { SLOTS, SLOTS_OF } from '../../../../ui/web/state/requests.ts';
import type { View } from '../../../../ui/web/state/views.ts';
import { OTHERS, QUESTIONS, STUDIES } from '../../../../ui/web/state/views.ts';
import { createWorkbench } from '../../../../ui/web/state/workbench.ts';
import type { Batch, BatchOutcome, Runner, RunOptions } from '../../../../workers/protocol.ts';

const KART = 'clodlet-four-knobbly';

/** Answers one request per turn of the event loop; a newer batch on the channel supersedes. */
function runnerHere(): Runner & { readonly batches: Batch[] } {
  const batches: Batch[] = [];
  let newest = 0;
  const run = async (batch: Batch, options: RunOptions = {}): Promise<BatchOutcome> => {
    batches.push(batch);
    newest += 1;
    const mine = newest;
    const answers: (Outcome<never> | undefined)[] = batch.requests.map(() => undefined);
    for (const [i, request] of batch.requests.entries()) {
      await new Promise((resolve) => setTimeout(resolve, 0));
      if (mine !== newest) return { status: 'superseded', answers, problems: [] };
      answers[i] = perform(batch.project, request as Request) as Outcome<never>;
      options.onProgress?.({ done: i + 1, total: answers.length, first: i, answers: [answers[i]] });
    }
    return { status: 'done', answers, problems: [] };
  };
  return { batches, run: run as Runner['run'], idle: async () => {}, dispose: () => {} };
}

/** Takes work that may wait and never comes to it. */
const idle: Runner = { run: () => new Promise(() => {}), idle: async () => {}, dispose: () => {} };

function open(view: View = 'how-quick') {
  const runner = runnerHere();
  const workbench = createWorkbench({
    document: demoInput(),
    view,
    runner,
    background: idle,
    now: () => 1000,
    clock: () => 0,
  });
  return { runner, workbench };
}

/** A kart that no track of the demo is wide enough to turn on. */
function wideKart(document: ProjectDocument): ProjectDocument {
  return withValue(document, ['chassis', 'clodlet', 'turningRadius'], '40 m');
}

describe('workbench', () => {
  test('every view has its slots answered and no others, and the lap is that of the simulator', async () => {
    for (const view of [...QUESTIONS, ...STUDIES, ...OTHERS]) {
      const { workbench: other } = open(view);
      await other.settled();
      for (const slot of SLOTS)
        expect([view, slot, other.answers[slot].value.freshness]).toEqual([
          view,
          slot,
          SLOTS_OF[view].includes(slot) ? 'fresh' : 'none',
        ]);
    }
    const { runner, workbench } = open();
    await workbench.settled();
    const direct = perform(workbench.project.value, {
      verb: 'lap',
      kart: KART,
      day: 'mild',
      track: 'tansy-hollow',
    });
    expect(workbench.answers.lap.value.result?.time).toBe(direct.result?.time);
    expect(runner.batches).toHaveLength(1);
  });

  test('an edit asks again under a new revision; a choice keeps the revision', async () => {
    const { runner, workbench } = open();
    await workbench.settled();
    workbench.edit(setTeeth(KART, 'rear', 40));
    expect(workbench.answers.lap.value.freshness).toBe('updating');
    await workbench.settled();
    workbench.choose({ track: 'oval' });
    await workbench.settled();
    const [a, b, c] = runner.batches;
    expect(b?.revision).not.toBe(a?.revision);
    expect(c?.revision).toBe(b?.revision);
    expect(b?.project.karts[KART]?.sprockets?.rear).toBe(40);
    expect(workbench.answers.lap.value.result?.track).toBe('Oval');
  });

  test('edits faster than the solver: every lap that came is shown, and the last edit has the last word', async () => {
    const { runner, workbench } = open();
    await workbench.settled();
    for (let teeth = 48; teeth >= 36; teeth--) {
      workbench.edit(setTeeth(KART, 'rear', teeth), 'drag');
      await new Promise((resolve) => setTimeout(resolve, 0));
    }
    await workbench.settled();
    expect(runner.batches.at(-1)?.project.karts[KART]?.sprockets?.rear).toBe(36);
    const finalBasis = workbench.answers.bestHereGear.value.basis;
    expect(finalBasis?.project.karts[KART]?.sprockets?.rear).toBe(36);
    expect(workbench.history.value.steps).toHaveLength(2);
  });

  test('a gesture withdrawn leaves no trace: the document, undo and redo are what they were before it', () => {
    const { workbench } = open();
    workbench.edit(setTeeth(KART, 'rear', 48), 'drag 1');
    workbench.edit(setTeeth(KART, 'rear', 47));
    workbench.undo();
    const before = workbench.history.value;
    for (const teeth of [46, 45, 44]) workbench.edit(setTeeth(KART, 'rear', teeth), 'drag 2');
    expect(workbench.history.value.steps).toHaveLength(3);
    workbench.withdraw('drag 2');
    expect(workbench.history.value).toBe(before);
    expect(workbench.read.value.project?.karts[KART]?.sprockets?.rear).toBe(48);
    // What is not the newest step, or not under way any more, stays.
    workbench.withdraw('drag 1');
    workbench.withdraw('drag 2');
    expect(workbench.history.value).toBe(before);
    workbench.edit(setTeeth(KART, 'rear', 43), 'drag 3');
    workbench.undo();
    workbench.withdraw('drag 3');
    expect(workbench.history.value.steps).toHaveLength(3);
  });

  test('a document the reader refuses keeps the last answers, marked and dated; undo brings it back', async () => {
    const { workbench } = open();
    await workbench.settled();
    const time = workbench.answers.lap.value.result?.time;
    workbench.edit(setTeeth(KART, 'rear', 900));
    await workbench.settled();
    const lap = workbench.answers.lap.value;
    expect([lap.freshness, lap.result?.time, lap.basis?.at]).toEqual(['failed', time, 1000]);
    expect(workbench.read.value.problems[0]).toMatchObject({
      path: `karts.${KART}.sprockets.rear`,
      limit: '5 to 120',
    });
    workbench.undo();
    await workbench.settled();
    expect(workbench.answers.lap.value.freshness).toBe('fresh');
    expect(workbench.read.value.problems).toEqual([]);
  });

  test('a kept answer keeps its own warnings, and has none of the run that failed', async () => {
    for (const hotFirst of [true, false]) {
      const { workbench } = open();
      if (hotFirst) workbench.choose({ day: 'high-heat' });
      await workbench.settled();
      workbench.edit({ label: 'wide kart', apply: wideKart });
      await workbench.settled();
      workbench.choose({ day: hotFirst ? 'mild' : 'high-heat' });
      await workbench.settled();
      const { freshness, problems, basis } = workbench.answers.lap.value;
      expect([freshness, basis?.choice.day]).toEqual(['failed', hotFirst ? 'high-heat' : 'mild']);
      expect(problems.map(({ code }) => code)).toEqual(
        hotFirst ? ['too-tight', 'beyond-correction'] : ['too-tight'],
      );
    }
  });

  test('a lap that fails keeps the lap before it, and the other answers are new', async () => {
    const { workbench } = open();
    await workbench.settled();
    workbench.edit({ label: 'wide kart', apply: wideKart });
    await workbench.settled();
    expect(workbench.answers.lap.value.freshness).toBe('failed');
    expect(workbench.answers.lap.value.problems[0]?.code).toBe('too-tight');
    expect(workbench.answers.lap.value.result).toBeDefined();
    expect(workbench.answers.sheet.value.freshness).toBe('fresh');
  });

  test('says what the last step did, for the newest step only', async () => {
    const { workbench } = open();
    await workbench.settled();
    const time = workbench.answers.lap.value.result?.time;
    workbench.edit(setTeeth(KART, 'rear', 45));
    await workbench.settled();
    expect(workbench.before.value).toEqual({
      question: 'how-quick',
      label: 'rear sprocket 45',
      figure: time,
    });
    workbench.undo();
    expect(workbench.before.value).toBeUndefined();
  });

  test('another view has its own slots answered for the newest state', async () => {
    const { workbench } = open();
    await workbench.settled();
    workbench.edit(setTeeth(KART, 'rear', 45));
    workbench.show('shift');
    await workbench.settled();
    const { top } = workbench.answers;
    expect([top.value.freshness, top.value.basis?.project.karts[KART]?.sprockets?.rear]).toEqual([
      'fresh',
      45,
    ]);
  });

  test('a kart chosen that an edit takes away gives way to one that is there', async () => {
    const { workbench } = open();
    await workbench.settled();
    workbench.edit({
      label: 'without it',
      apply: (document) => {
        const { [KART]: _, ...karts } = document['karts'] as Record<string, unknown>;
        return { ...document, karts };
      },
    });
    await workbench.settled();
    expect(Object.keys(workbench.project.value.karts)).toContain(workbench.choice.value.kart);
    expect(workbench.answers.lap.value.freshness).toBe('fresh');
  });

  test('a part held while a hand works sees the state before it, all of one piece, and the newest when it lets go', () => {
    const { workbench } = open();
    const held = signal(false);
    const still = heldWorkbench(workbench, held);
    const stop = effect(() => void still.project.value);
    const rear = (): unknown[] => [
      still.project.value.karts[KART]?.sprockets?.rear,
      written(still.document.value, ['karts', KART, 'sprockets', 'rear']),
      currentDocument(still.history.value) === still.document.value,
    ];
    workbench.edit(setTeeth(KART, 'rear', 45));
    expect(rear()).toEqual([45, 45, true]);
    held.value = true;
    workbench.edit(setTeeth(KART, 'rear', 46));
    // What such a part does goes to the workbench itself.
    still.edit(setTeeth(KART, 'front', 14));
    expect(rear()).toEqual([45, 45, true]);
    expect(workbench.project.value.karts[KART]?.sprockets).toMatchObject({ rear: 46, front: 14 });
    held.value = false;
    expect(rear()).toEqual([46, 46, true]);
    expect(still.project.value).toBe(workbench.project.value);
    stop();
  });
});
