/** Projects kept in the browser: round trips, two tabs, damage, a full disk, pages closed in mid-write. */
import { openDB } from 'idb';
import { describe, expect, test, vi } from 'vitest';
import type { History } from '../../../../ui/web/state/history.ts';
import { applied, currentDocument, redone, undoLabel, undone } from '../../../../ui/web/state/history.ts';
import type { Loaded, Store } from '../../../../ui/web/store/kept-projects.ts';
import { openStore } from '../../../../ui/web/store/store.ts';
import { asNewTab, counted, set, useBrowserStorage } from './browser-storage.ts';

const { openTab } = useBrowserStorage();
const SESSION = { kart: 'clodlet', route: '#/how-quick' };

function loadedHistory(loaded: Loaded): History {
  if (loaded.kind !== 'document') throw new Error(`loaded ${JSON.stringify(loaded)}`);
  return loaded.history;
}

const documents = (history: History) => history.steps.map((step) => step.document);
const kinds = (store: Store) => store.storing.value.kind;

describe('one tab', () => {
  test('nothing stored: nothing loaded; an untouched demo is not stored, what it looked at is', async () => {
    const store = await openTab();
    expect(await store.load()).toEqual({ kind: 'none', session: {} });
    await store.save(counted(0), SESSION);
    expect(kinds(store)).toBe('nothing');
    expect(await (await openTab()).load()).toEqual({ kind: 'none', session: SESSION });
  });

  test('document, history, names, position and session come back', async () => {
    const store = await openTab();
    await store.load();
    const history = undone(undone(counted(5)));
    await store.save(history, SESSION);
    expect(kinds(store)).toBe('kept');
    const again = await (await openTab()).load();
    expect(again).toMatchObject({ kind: 'document', session: SESSION });
    const read = loadedHistory(again);
    expect(documents(read)).toEqual(documents(history));
    expect([read.at, undoLabel(read)]).toEqual([3, 'n 3']);
    expect(currentDocument(redone(redone(read)))).toMatchObject({ n: 5 });
    expect(currentDocument(undone(undone(undone(read))))).toMatchObject({ n: 0 });
  });

  test('edits after a reload go on from there; what had been undone is gone from the store too', async () => {
    const store = await openTab();
    await store.load();
    await store.save(counted(5), {});
    const second = await openTab();
    const back = undone(undone(loadedHistory(await second.load())));
    const branched = applied(back, set('n', 99));
    await second.save(branched, {});
    const read = loadedHistory(await (await openTab()).load());
    expect(read.steps.map((step) => step.label)).toEqual(['', 'n 1', 'n 2', 'n 3', 'n 99']);
    expect(read.at).toBe(4);
  });

  test('an edit writes its own step and the head, not the history; a gesture writes its step anew', async () => {
    const store = await openTab();
    await store.load();
    let history = counted(1000);
    await store.save(history, {});
    const put = vi.spyOn(IDBObjectStore.prototype, 'put');
    const bytes = () => JSON.stringify(put.mock.calls.map(([value]) => value)).length;
    history = applied(history, set('n', 'x'), 'drag');
    await store.save(history, {});
    expect(put.mock.calls.length).toBe(3); // step, head, visit
    history = applied(history, set('n', 'y'), 'drag');
    await store.save(history, {});
    expect(put.mock.calls.length).toBe(6);
    // One step of one value, one head, one visit weigh about 400 characters; the document alone would be more often.
    expect(bytes()).toBeLessThan(1200);
    put.mockClear();
    await store.save(undone(history), {});
    expect(put.mock.calls.length).toBe(2); // head, visit
    const read = loadedHistory(await (await openTab()).load());
    expect(read.steps).toHaveLength(1002);
    expect(documents(read)).toEqual(documents(history));
  });

  test('a thousand loaded steps share what they do not change', async () => {
    const store = await openTab();
    await store.load();
    await store.save(counted(1000), {});
    const read = loadedHistory(await (await openTab()).load());
    expect(new Set(documents(read).map((document) => document['karts'])).size).toBe(1);
  });

  test('projects are listed, added, renamed, copied, put aside, taken back and discarded', async () => {
    const store = await openTab();
    await store.load();
    await store.save(counted(2), {});
    const other = await store.add(counted(1, 'Spring'));
    if (typeof other !== 'string') throw new Error('not added');
    const names = () => store.projects.value.map((entry) => entry.head?.name);
    expect(names()).toEqual(['Spring', 'Clodlet']);
    await store.rename(other, 'Autumn');
    await store.duplicate(other);
    await store.duplicate(other);
    expect(names()).toEqual(['Autumn, copy 2', 'Autumn, copy', 'Autumn', 'Clodlet']);
    await store.putAside(other);
    const entry = () => store.projects.value.find(({ id }) => id === other);
    expect(entry()?.head?.asideAt).toBeGreaterThan(0);
    await store.takeBack(other);
    expect(entry()?.head?.asideAt).toBeUndefined();
    const read = loadedHistory(await store.load(other));
    expect(read.steps.map((step) => step.label)).toEqual(['', 'n 1', 'name "Autumn"']);
    await store.discard(other);
    expect(entry()).toBeUndefined();
    expect(await store.read(other)).toBeUndefined();
  });

  test('a project put aside is not opened by itself; a tab keeps its own project', async () => {
    const store = await openTab();
    await store.load();
    await store.save(counted(2), {});
    const other = (await store.add(counted(1, 'Spring'))) as string;
    expect(loadedHistory(await (await openTab()).load()).steps).toHaveLength(3);
    asNewTab();
    expect(loadedHistory(await (await openTab()).load()).steps).toHaveLength(2);
    await store.putAside(other);
    asNewTab();
    expect(loadedHistory(await (await openTab()).load()).steps).toHaveLength(3);
  });
});

describe('two tabs on one project', () => {
  async function twoTabs() {
    const one = await openTab('one');
    await one.load();
    await one.save(counted(2), {});
    const two = await openTab('two');
    return { one, two, theirs: loadedHistory(await two.load()) };
  }

  test('the second writer is stopped and told; the first one stands', async () => {
    const { one, two, theirs } = await twoTabs();
    const mine = applied(loadedHistory(await one.load()), set('n', 'one'));
    await one.save(mine, {});
    const other = applied(theirs, set('n', 'two'));
    await two.save(other, {});
    expect(two.storing.value).toMatchObject({ kind: 'conflict', at: expect.any(Number) });
    expect(two.isKept(other)).toBe(false);
    await two.save(applied(other, set('n', 'three')), {});
    expect(currentDocument(loadedHistory(await (await openTab()).load()))['n']).toBe('one');
  });

  test('going on as a branch keeps both', async () => {
    const { one, two, theirs } = await twoTabs();
    await one.save(applied(loadedHistory(await one.load()), set('n', 'one')), {});
    const other = applied(theirs, set('n', 'two'));
    await two.save(other, {});
    two.branch();
    await two.save(other, {});
    expect(kinds(two)).toBe('kept');
    const stored = await Promise.all(two.projects.value.map(({ id }) => two.read(id)));
    const numbers = stored.map((read) =>
      read !== undefined && 'history' in read ? currentDocument(read.history)['n'] : undefined,
    );
    expect(numbers.sort()).toEqual(['one', 'two']);
  });

  test("taking the other tab's state puts one's own aside", async () => {
    const { one, two, theirs } = await twoTabs();
    await one.save(applied(loadedHistory(await one.load()), set('n', 'one')), {});
    const other = applied(theirs, set('n', 'two'));
    await two.save(other, {});
    await two.yieldToOther(other);
    expect(currentDocument(loadedHistory(await two.load(two.current.value)))['n']).toBe('one');
    const aside = two.projects.value.find(({ head }) => head?.asideAt !== undefined);
    expect(aside?.head?.name).toBe('Clodlet, set aside');
    const read = await two.read(aside?.id ?? '');
    expect(read !== undefined && 'history' in read && currentDocument(read.history)['n']).toBe('two');
    expect(kinds(two)).toBe('kept');
  });

  test('a tab is told before it writes, and of a project put aside elsewhere', async () => {
    const { one, two } = await twoTabs();
    await one.save(applied(loadedHistory(await one.load()), set('n', 'one')), {});
    await expect.poll(() => kinds(two)).toBe('conflict');
    const three = await openTab('three');
    const history = loadedHistory(await three.load());
    await one.putAside(one.current.value ?? '');
    await expect.poll(() => three.storing.value).toEqual({ kind: 'conflict' });
    await three.save(applied(history, set('n', 'three')), {});
    expect(three.storing.value).toEqual({ kind: 'conflict' });
  });
});

describe('a page closed before its edits were stored', () => {
  test('they are there at the next start', async () => {
    const store = await openTab('one');
    await store.load();
    await store.save(counted(2), {});
    const history = undone(applied(applied(loadedHistory(await store.load()), set('n', 3)), set('n', 4)));
    expect(store.leave(history, SESSION)).toBe(true);
    const read = loadedHistory(await (await openTab('two')).load());
    expect(documents(read)).toEqual(documents(history));
    expect(read.at).toBe(3);
    expect(localStorage.length).toBe(0);
  });

  test('what was looked at is there too, in this tab, for this project', async () => {
    const store = await openTab('one');
    await store.load();
    await store.save(counted(2), { kart: 'old' });
    const other = (await store.add(counted(1, 'Spring'))) as string;
    store.leave(counted(2), SESSION);
    const left = { ...sessionStorage } as Record<string, string>;
    expect(await (await openTab('two')).load()).toMatchObject({ session: SESSION });
    expect(await (await openTab('three')).load()).toMatchObject({ session: { kart: 'old' } });
    for (const [key, value] of Object.entries(left)) sessionStorage.setItem(key, value);
    expect(await (await openTab('four')).load(other)).toMatchObject({ session: {} });
  });

  test('so is a project that had never been stored', async () => {
    const store = await openTab('one');
    await store.load();
    store.leave(counted(3), SESSION);
    const read = loadedHistory(await (await openTab('two')).load());
    expect(documents(read)).toEqual(documents(counted(3)));
  });

  test('where the write came through after all, nothing is there twice', async () => {
    const store = await openTab('one');
    await store.load();
    await store.save(counted(2), {});
    const history = applied(loadedHistory(await store.load()), set('n', 3));
    store.leave(history, SESSION);
    const journal = Object.entries(localStorage)[0] as [string, string];
    await store.save(history, {});
    localStorage.setItem(...journal);
    const second = await openTab('two');
    expect(documents(loadedHistory(await second.load()))).toEqual(documents(history));
    expect(second.projects.value).toHaveLength(1);
  });

  test('where another tab has written meanwhile, they become a project of their own, with a word about it', async () => {
    const store = await openTab('one');
    await store.load();
    await store.save(counted(2), {});
    const other = await openTab('two');
    const theirs = applied(loadedHistory(await other.load()), set('n', 'theirs'));
    store.leave(applied(loadedHistory(await store.load()), set('n', 'mine')), SESSION);
    await other.save(theirs, {});
    const third = await openTab('three');
    await third.load();
    expect(third.projects.value.map(({ head }) => head?.name).sort()).toEqual([
      'Clodlet',
      'Clodlet, from a closed tab',
    ]);
    expect(third.remarks.value.join()).toContain('"Clodlet, from a closed tab"');
  });
});

describe('trouble', () => {
  async function spoil(table: 'heads' | 'steps', key: IDBValidKey, value: unknown): Promise<void> {
    const raw = await openDB('kartwright');
    const found = (await raw.get(table, key)) as object;
    await raw.put(table, { ...found, ...(value as object) });
    raw.close();
  }

  async function stored(steps: number): Promise<string> {
    const store = await openTab('one');
    await store.load();
    await store.save(counted(steps), {});
    store.close();
    return store.projects.value[0]?.id ?? '';
  }

  test('a damaged step: said, salvaged up to it, and left as it was', async () => {
    const id = await stored(6);
    await spoil('steps', [id, 4], { patch: 'eaten' });
    const store = await openTab('two');
    const loaded = await store.load();
    expect(loaded).toMatchObject({ kind: 'unreadable', id, problem: { code: 'damaged-step' } });
    if (loaded.kind !== 'unreadable') throw new Error('readable');
    expect(loaded.salvage?.steps.map((step) => step.label)).toEqual(['', 'n 1', 'n 2', 'n 3']);
    expect(JSON.stringify(await store.raw(id))).toContain('eaten');
    await store.save(applied(counted(0), set('n', 'new')), {});
    expect(JSON.stringify(await store.raw(id))).toContain('eaten');
    expect(store.projects.value).toHaveLength(2);
    await store.discard(id);
    expect(store.projects.value).toHaveLength(1);
  });

  test('a damaged head: said and salvaged', async () => {
    const id = await stored(3);
    await spoil('heads', id, { at: 'nowhere' });
    const loaded = await (await openTab('two')).load();
    expect(loaded).toMatchObject({ kind: 'unreadable', problem: { code: 'unreadable' } });
    expect(loaded.kind === 'unreadable' && loaded.salvage?.steps.length).toBe(4);
  });

  test('records of a newer program are refused without harm', async () => {
    const id = await stored(3);
    await spoil('heads', id, { format: 2 });
    const loaded = await (await openTab('two')).load();
    expect(loaded).toMatchObject({ kind: 'unreadable', problem: { code: 'newer-version', limit: '1' } });
    expect(loaded).not.toHaveProperty('salvage');
  });

  test('a database of a newer program is not touched, and can be taken out whole', async () => {
    const newer = await openDB('kartwright', 2, {
      upgrade: (db) => void db.createObjectStore('other', { keyPath: 'id' }),
    });
    await newer.put('other', { id: 'a', text: 'precious' });
    newer.close();
    const store = await openTab('two');
    expect(store.storing.value).toMatchObject({ kind: 'not-kept', problem: { code: 'newer-version' } });
    expect((await store.load()).kind).toBe('none');
    expect(JSON.stringify(await store.raw())).toContain('precious');
  });

  test('storage refused or missing: the page starts, and says that nothing is kept', async () => {
    vi.spyOn(indexedDB, 'open').mockImplementation(() => {
      throw new DOMException('not in this mode', 'SecurityError');
    });
    const refused = await openTab();
    expect(refused.storing.value).toMatchObject({ kind: 'not-kept', problem: { code: 'storage-refused' } });
    expect((await refused.load()).kind).toBe('none');
    await refused.save(counted(2), {});
    expect(kinds(refused)).toBe('not-kept');
    expect(refused.isKept(counted(2))).toBe(false);
    expect(await refused.add(counted(1))).toMatchObject({ code: 'storage-missing' });
    vi.stubGlobal('indexedDB', undefined);
    const missing = await openTab();
    expect(missing.storing.value).toMatchObject({ kind: 'not-kept', problem: { code: 'storage-missing' } });
  });

  test('storage that never answers does not keep the page waiting', async () => {
    // Another tab holds on to it while it is to be deleted: whoever opens it then waits for ever.
    const held = await openDB('kartwright', 1);
    indexedDB.deleteDatabase('kartwright');
    const store = await openStore({ patience: 50 });
    expect(store.storing.value).toMatchObject({ kind: 'not-kept', problem: { code: 'storage-silent' } });
    expect((await store.load()).kind).toBe('none');
    held.close();
  });

  test('a full disk: said, nothing half-written, and kept once there is room', async () => {
    const store = await openTab();
    await store.load();
    await store.save(counted(2), {});
    const full = vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(() => {
      throw new DOMException('no room', 'QuotaExceededError');
    });
    const history = applied(loadedHistory(await store.load()), set('n', 'big'));
    await store.save(history, {});
    expect(store.storing.value).toMatchObject({ kind: 'failed', problem: { code: 'storage-full' } });
    expect(store.isKept(history)).toBe(false);
    full.mockRestore();
    expect(loadedHistory(await (await openTab('two')).load()).steps).toHaveLength(3);
    await store.save(history, {});
    expect(kinds(store)).toBe('kept');
    expect(loadedHistory(await (await openTab('three')).load()).steps).toHaveLength(4);
  });

  test('small storages that refuse do no harm', async () => {
    const refuse = () => {
      throw new DOMException('no', 'SecurityError');
    };
    vi.stubGlobal('sessionStorage', { getItem: refuse, setItem: refuse, removeItem: refuse });
    vi.stubGlobal('localStorage', { getItem: refuse, setItem: refuse, removeItem: refuse });
    const store = await openTab();
    await store.load();
    await store.save(counted(2), {});
    expect(kinds(store)).toBe('kept');
    expect(store.leave(counted(3), SESSION)).toBe(false);
  });
});
