/** The desk: opening something else never costs what is shown. */
import { signal } from '@preact/signals';
import { afterEach, expect, test, vi } from 'vitest';
import { demoInput } from '../../../../ui/demo/demo-project.ts';
import type { Command, History } from '../../../../ui/web/state/history.ts';
import { applied, currentDocument, openHistory, undone } from '../../../../ui/web/state/history.ts';
import type { Desk } from '../../../../ui/web/store/desk.ts';
import { createDesk } from '../../../../ui/web/store/desk.ts';
import type { Store } from '../../../../ui/web/store/kept-projects.ts';
import { counted, set, useBrowserStorage } from './browser-storage.ts';

const { openTab } = useBrowserStorage();
const desks: Desk[] = [];
afterEach(async () => {
  for (const desk of desks.splice(0)) await desk.flush();
});

async function desk(store: Store) {
  await store.load();
  const history = signal<History>(openHistory(demoInput()));
  const made = createDesk({
    workbench: {
      history,
      session: signal({}),
      inHand: signal(false),
      edit(command: Command) {
        history.value = applied(history.value, command);
      },
      reopen(next) {
        history.value = next;
      },
    },
    store,
    demo: demoInput,
  });
  desks.push(made);
  const edit = (value: unknown): void => {
    history.value = applied(history.value, set('note', value));
  };
  return { made, history, edit, note: () => currentDocument(history.value)['note'] };
}

test('a change of project stores the present one first, and autosave goes on with the other', async () => {
  const store = await openTab();
  const { made, edit, note } = await desk(store);
  edit('first');
  expect(await made.openNew(counted(3))).toBeUndefined();
  expect(note()).toBeUndefined();
  edit('second');
  await made.flush();
  const first = store.projects.value.find(({ id }) => id !== store.current.value)?.id ?? '';
  expect(await made.open(first)).toBeUndefined();
  expect(note()).toBe('first');
  expect(store.projects.value).toHaveLength(2);
});

test('where the present one cannot be stored, nothing else is opened', async () => {
  const store = await openTab();
  const { made, edit, note } = await desk(store);
  const other = (await store.add(counted(3))) as string;
  vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(() => {
    throw new DOMException('no room', 'QuotaExceededError');
  });
  edit('precious');
  expect(await made.open(other)).toMatchObject({ code: 'not-stored' });
  expect(await made.openDemo()).toMatchObject({ code: 'not-stored' });
  expect(note()).toBe('precious');
});

test('without any storage another project is a step that can be undone', async () => {
  vi.stubGlobal('indexedDB', undefined);
  const { made, edit, note, history } = await desk(await openTab());
  edit('precious');
  expect(await made.openNew(counted(3))).toBeUndefined();
  expect(note()).toBeUndefined();
  history.value = undone(history.value);
  expect(note()).toBe('precious');
});

test('the open project put aside: the next one is shown, or the demo', async () => {
  const store = await openTab();
  const { made, edit, note, history } = await desk(store);
  edit('mine');
  await made.flush();
  const mine = store.current.value ?? '';
  await store.add(counted(2));
  await made.putAside(mine);
  expect(currentDocument(history.value)['n']).toBe(2);
  await made.putAside(store.current.value ?? '');
  expect(currentDocument(history.value)).toEqual(demoInput());
  expect(store.current.value).toBeUndefined();
  await store.takeBack(mine);
  await made.open(mine);
  expect(note()).toBe('mine');
});

test('a project that cannot be read is not opened, and the present one goes on', async () => {
  const store = await openTab();
  const { made, edit, note } = await desk(store);
  edit('mine');
  await made.flush();
  const mine = store.current.value;
  expect(await made.open('nobody')).toMatchObject({ code: 'missing' });
  edit('still mine');
  await made.flush();
  expect([note(), store.current.value, store.storing.value.kind]).toEqual(['still mine', mine, 'kept']);
});
