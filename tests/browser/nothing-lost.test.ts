/** Nothing is lost: reloads, two tabs, no network, links and files from anywhere, damaged storage. */
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import axe from 'axe-core';
import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { demoInput } from '../../ui/demo/demo-project.ts';
import { shareAddress } from '../../ui/web/exchange/share-link.ts';
import { describeInBrowser, pageAddress } from './harness.ts';
import { serveFolder } from './serve-folder.ts';

const DESK = { viewport: { width: 1280, height: 900 } };
const BUILT = fileURLToPath(new URL('../../dist/web', import.meta.url));

const undoButton = (page: Page) => page.getByRole('button', { name: /^Undo/ });
const redoButton = (page: Page) => page.getByRole('button', { name: /^Redo/ });
const rearTeeth = (page: Page) => page.getByRole('textbox', { name: 'Rear sprocket' });
const oneToothLess = (page: Page) => page.getByRole('button', { name: 'Rear sprocket: one tooth less' });
const nameField = (page: Page) => page.getByLabel('Name', { exact: true });
const conflict = (page: Page) => page.getByRole('alert').filter({ hasText: /in another tab/ });
const stored = (page: Page) =>
  page.locator('section:has(#stored-title) .entry-name strong').allTextContents();

async function toProject(page: Page): Promise<void> {
  await page.evaluate(() => {
    location.hash = '#/project';
  });
  await nameField(page).waitFor();
}

async function toFirstView(page: Page): Promise<void> {
  await page.evaluate(() => {
    location.hash = '#/how-quick';
  });
  await rearTeeth(page).waitFor();
}

async function rename(page: Page, name: string): Promise<void> {
  await nameField(page).fill(name);
  await nameField(page).press('Tab');
}

async function untilKept(page: Page): Promise<void> {
  await expect
    .poll(() => page.locator('.saved-word').textContent())
    .toMatch(/^kept in this browser, \d\d:\d\d/);
}

/** The page with its service worker in charge. */
async function untilReadyForOffline(page: Page): Promise<void> {
  await page.evaluate(async () => {
    await navigator.serviceWorker.ready;
    while (navigator.serviceWorker.controller === null)
      await new Promise((resolve) => setTimeout(resolve, 20));
  });
}

/** Changes the stored records of the page's database behind its back. */
function spoilSteps(page: Page): Promise<void> {
  return page.evaluate(
    () =>
      new Promise<void>((resolve, reject) => {
        const opening = indexedDB.open('kartwright');
        opening.onerror = () => reject(opening.error);
        opening.onsuccess = () => {
          const tx = opening.result.transaction('steps', 'readwrite');
          const cursor = tx.objectStore('steps').openCursor();
          cursor.onsuccess = () => {
            const at = cursor.result;
            if (at === null) return;
            if (at.value.index === 2) at.update({ ...at.value, patch: 'eaten by a mouse' });
            at.continue();
          };
          tx.oncomplete = () => {
            opening.result.close();
            resolve();
          };
        };
      }),
  );
}

describeInBrowser('nothing lost', ({ open, openBlank }) => {
  test('edits and their undo survive a reload that comes at once', async () => {
    const { page, complaints, close } = await open('#/project', DESK);
    const first = await nameField(page).inputValue();
    for (const name of ['One', 'Two', 'Three']) await rename(page, name);
    await page.reload();
    await expect.poll(() => nameField(page).inputValue()).toBe('Three');
    await undoButton(page).click();
    await undoButton(page).click();
    await page.reload();
    await expect.poll(() => nameField(page).inputValue()).toBe('One');
    expect(await redoButton(page).textContent()).toContain('name "Two"');
    await redoButton(page).click();
    await redoButton(page).click();
    await expect.poll(() => nameField(page).inputValue()).toBe('Three');
    for (let i = 0; i < 3; i++) await undoButton(page).click();
    await expect.poll(() => nameField(page).inputValue()).toBe(first);
    expect(await undoButton(page).isDisabled()).toBe(true);
    // A reload breaks off what was on its way: the file of a worker, perhaps.
    expect(complaints.filter((complaint) => !complaint.endsWith('net::ERR_ABORTED'))).toEqual([]);
    await close();
  });

  test('two tabs never overwrite each other: going on as a copy keeps both', async () => {
    const { page: one, expectNoComplaints, close } = await open('#/project', DESK);
    await rename(one, 'Morning');
    await untilKept(one);
    const two = await one.context().newPage();
    await two.goto(`${pageAddress()}#/project`);
    await expect.poll(() => nameField(two).inputValue()).toBe('Morning');
    await rename(one, 'Noon');
    await untilKept(one);
    await conflict(two).waitFor();
    await rename(two, 'Evening');
    expect(await two.locator('.saved-word').textContent()).toBe('not kept: changed in another tab');
    await two.getByRole('button', { name: 'Go on here, as a copy' }).click();
    await untilKept(two);
    expect(await conflict(two).count()).toBe(0);
    await expect.poll(async () => (await stored(two)).sort()).toEqual(['Evening, copy', 'Noon']);
    await one.reload();
    await expect.poll(() => nameField(one).inputValue()).toBe('Noon');
    await two.reload();
    await expect.poll(() => nameField(two).inputValue()).toBe('Evening, copy');
    await undoButton(two).click();
    await expect.poll(() => nameField(two).inputValue()).toBe('Evening');
    expectNoComplaints();
    await close();
  });

  test("taking the other tab's state puts one's own aside, to be had back", async () => {
    const { page: one, expectNoComplaints, close } = await open('#/project', DESK);
    await rename(one, 'Morning');
    await untilKept(one);
    const two = await one.context().newPage();
    await two.goto(`${pageAddress()}#/project`);
    await expect.poll(() => nameField(two).inputValue()).toBe('Morning');
    await rename(one, 'Noon');
    await conflict(two).waitFor();
    await rename(two, 'Evening');
    await two.getByRole('button', { name: "Take the other tab's state" }).click();
    await expect.poll(() => nameField(two).inputValue()).toBe('Noon');
    await two.getByText('Put aside: 1').click();
    await two.getByRole('listitem', { name: 'Evening, set aside' }).getByText('Take back').click();
    await expect.poll(async () => (await stored(two)).sort()).toEqual(['Evening, set aside', 'Noon']);
    expectNoComplaints();
    await close();
  });

  test('without a network the page opens, starts its workers, answers and keeps', async () => {
    const server = await serveFolder(BUILT);
    const { page, close } = await openBlank(DESK);
    await page.goto(server.address);
    await oneToothLess(page).click();
    const track = page.getByLabel('Track', { exact: true });
    await track.selectOption({ label: 'Brindlequag Works' });
    const chosen = await track.inputValue();
    await untilReadyForOffline(page);
    await server.stop();
    await page.reload();
    await expect.poll(() => rearTeeth(page).inputValue()).toBe('48');
    await expect.poll(() => track.inputValue()).toBe(chosen);
    await settledOnce(page);
    await oneToothLess(page).click();
    await expect.poll(() => rearTeeth(page).inputValue()).toBe('47');
    // A solver that does not heed a stop is replaced by a fresh one: that works too.
    const started = await page.evaluate(
      () =>
        new Promise<string>((resolve) => {
          const file = performance
            .getEntriesByType('resource')
            .map((entry) => entry.name)
            .find((name) => name.includes('browser-worker'));
          const worker = new Worker(file ?? '', { type: 'module' });
          worker.onerror = (event) => resolve(`failed: ${event.message}`);
          worker.addEventListener('message', () => resolve('answers'));
          // Asked for the type of something that is not there, any worker of comlink answers.
          worker.postMessage({ id: '1', type: 'GET', path: ['nothing'] });
        }),
    );
    expect(started).toBe('answers');
    await page.context().setOffline(true);
    await page.getByText('No network. Everything here works all the same.').waitFor();
    await close();
  });

  test('a new version waits for a word, and everything is there after it', async () => {
    const server = await serveFolder(BUILT);
    const { page, expectNoComplaints, close } = await openBlank(DESK);
    await page.goto(`${server.address}#/project`);
    await rename(page, 'Marsh trial');
    await untilReadyForOffline(page);
    expect(await page.getByText('A new version').count()).toBe(0);
    const worker = readFileSync(`${BUILT}/service-worker.js`, 'utf8');
    server.replace('/service-worker.js', worker.replace(/(OWN = PREFIX \+ ")/, '$1next-'));
    await page.evaluate(async () => (await navigator.serviceWorker.ready).update());
    await page.getByText('A new version of Kartwright is ready.').waitFor();
    await Promise.all([page.waitForEvent('load'), page.getByRole('button', { name: 'Reload now' }).click()]);
    await expect.poll(() => nameField(page).inputValue()).toBe('Marsh trial');
    expect(await page.getByText('A new version').count()).toBe(0);
    expect(await page.evaluate(() => caches.keys())).toHaveLength(2);
    expectNoComplaints();
    await close();
    await server.stop();
  });

  test('a link carries the project; who opens it loses nothing', async () => {
    const { page: sender, expectNoComplaints, close } = await open('#/project', DESK);
    await rename(sender, 'Ours <b>& theirs</b>');
    await sender.getByRole('button', { name: 'Make a link' }).click();
    const link = await sender.getByLabel('Link to this project').inputValue();
    await close();
    const { page, ...other } = await open('#/project', DESK);
    await rename(page, 'Mine');
    await toFirstView(page);
    await oneToothLess(page).click();
    await page.evaluate((address) => location.assign(address), link);
    await page
      .getByRole('heading', { name: 'A project came with this link: Ours <b>& theirs</b>' })
      .waitFor();
    expect(await page.evaluate(() => location.hash)).not.toContain('shared');
    await page.getByRole('button', { name: 'Look at what it changes' }).click();
    const choice = page.getByLabel('Clodlet, four, knobbly: mine and theirs differ');
    await choice.selectOption('take theirs');
    await page.getByRole('button', { name: 'Merge', exact: true }).click();
    await expect.poll(() => rearTeeth(page).inputValue()).toBe('49');
    await undoButton(page).click();
    await expect.poll(() => rearTeeth(page).inputValue()).toBe('48');
    await page.evaluate((address) => location.assign(address), link);
    await page.getByRole('button', { name: 'Open as a new project' }).click();
    await expect.poll(() => rearTeeth(page).inputValue()).toBe('49');
    await toProject(page);
    expect(await nameField(page).inputValue()).toBe('Ours <b>& theirs</b>');
    await expect.poll(async () => (await stored(page)).sort()).toEqual(['Mine', 'Ours <b>& theirs</b>']);
    other.expectNoComplaints();
    expectNoComplaints();
    await other.close();
  });

  test('a link that is damaged, or opened first of all, says so and harms nothing', async () => {
    const packed = await shareAddress(demoInput(), pageAddress());
    const address = 'address' in packed ? packed.address : '';
    const { page, expectNoComplaints, close } = await openBlank(DESK);
    await page.goto(address.slice(0, -200));
    await page.getByRole('heading', { name: 'This link cannot be opened' }).waitFor();
    await expect.poll(() => rearTeeth(page).inputValue()).toBe('49');
    await page.getByRole('button', { name: 'Close', exact: true }).first().click();
    await page.evaluate(() => {
      location.hash = '#/shared/<img src=x onerror=alert(1)>';
    });
    await page.getByRole('heading', { name: 'This link cannot be opened' }).waitFor();
    expect(await page.locator('img').count()).toBe(0);
    expectNoComplaints();
    await close();
  });

  test('a broken file is refused with every problem, a sound one is an undo away, a saved one reads back', async () => {
    const { page, expectNoComplaints, close } = await open('#/project', DESK);
    await rename(page, 'Mine');
    const broken = demoInput() as { karts: Record<string, { sprockets: unknown; driver: unknown }> };
    broken.karts['clodlet-four-knobbly']!.sprockets = { front: 14, rear: 900 };
    broken.karts['clodlet-four-knobbly']!.driver = { mass: '<script>alert(1)</script>' };
    const choose = (name: string, text: string) =>
      page
        .getByLabel('Open a file')
        .setInputFiles({ name, mimeType: 'application/json', buffer: Buffer.from(text) });
    await choose('broken.kartwright.json', JSON.stringify(broken));
    const arrival = page.locator('.arrival');
    await expect
      .poll(() => arrival.locator('code').allTextContents())
      .toEqual(
        expect.arrayContaining([
          'karts.clodlet-four-knobbly.sprockets.rear',
          'karts.clodlet-four-knobbly.driver.mass',
        ]),
      );
    expect(await arrival.textContent()).toMatch(/900.*5 to 120/);
    expect(await page.locator('script:not([src])').count()).toBe(0);
    expect(await arrival.getByRole('button', { name: 'Open as a new project' }).count()).toBe(0);
    await choose('torn.kartwright.json', JSON.stringify(demoInput()).slice(0, 5000));
    await expect
      .poll(() => arrival.textContent())
      .toMatch(/torn\.kartwright\.json cannot be opened.*not JSON/);
    await arrival.getByRole('button', { name: 'Close' }).click();
    await page.evaluate(() => {
      const files = new DataTransfer();
      files.items.add(new File(['not a project'], 'dropped.txt'));
      document.body.dispatchEvent(
        new DragEvent('drop', { dataTransfer: files, bubbles: true, cancelable: true }),
      );
    });
    await expect.poll(() => arrival.textContent()).toMatch(/dropped\.txt cannot be opened/);
    await arrival.getByRole('button', { name: 'Close' }).click();
    expect(await nameField(page).inputValue()).toBe('Mine');
    await choose('sound.kartwright.json', JSON.stringify({ ...demoInput(), name: 'Theirs' }));
    await arrival.getByRole('button', { name: 'Replace this project' }).click();
    await expect.poll(() => nameField(page).inputValue()).toBe('Theirs');
    await undoButton(page).click();
    await expect.poll(() => nameField(page).inputValue()).toBe('Mine');
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Save as a file' }).click(),
    ]);
    expect(download.suggestedFilename()).toBe('mine.kartwright.json');
    const saved = readFileSync(await download.path(), 'utf8');
    expect(JSON.parse(saved)).toEqual({ ...demoInput(), name: 'Mine' });
    expectNoComplaints();
    await close();
  });

  test('projects are copied, put aside and had back; the open one too', async () => {
    const { page, expectNoComplaints, close } = await open('#/project', DESK);
    await rename(page, 'First');
    await untilKept(page);
    await page.getByRole('listitem', { name: 'First' }).getByRole('button', { name: 'Copy' }).click();
    await page.getByRole('listitem', { name: 'First, copy' }).getByRole('button', { name: 'Open' }).click();
    await expect.poll(() => nameField(page).inputValue()).toBe('First, copy');
    await undoButton(page).click();
    await expect.poll(() => nameField(page).inputValue()).toBe('First');
    await redoButton(page).click();
    const copy = page.getByRole('listitem', { name: 'First, copy' });
    await copy.getByRole('button', { name: 'Put aside' }).click();
    await expect.poll(() => nameField(page).inputValue()).toBe('First');
    await page.getByText('Put aside: 1').click();
    await copy.getByRole('button', { name: 'Discard for good' }).click();
    await copy.getByRole('button', { name: 'Keep it' }).click();
    await copy.getByRole('button', { name: 'Take back' }).click();
    await expect.poll(async () => (await stored(page)).sort()).toEqual(['First', 'First, copy']);
    expectNoComplaints();
    await close();
  });

  test('damaged storage: the page says so, offers every way on, and keeps what is there', async () => {
    const { page, expectNoComplaints, close } = await open('#/project', DESK);
    for (const name of ['One', 'Two', 'Three']) await rename(page, name);
    await untilKept(page);
    await spoilSteps(page);
    await page.reload();
    await page.getByRole('heading', { name: 'Your last project cannot be opened' }).waitFor();
    await expectAccessible(page);
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Save what is stored as a file' }).click(),
    ]);
    expect(readFileSync(await download.path(), 'utf8')).toContain('eaten by a mouse');
    await page.getByRole('button', { name: 'Start from the demo' }).click();
    await expect.poll(() => nameField(page).inputValue()).toBe(demoInput()['name']);
    await page.reload();
    await page.getByRole('button', { name: /^Go on, as a copy, from what can be read: one step/ }).click();
    await expect.poll(() => nameField(page).inputValue()).toBe('One, recovered');
    await untilKept(page);
    await expect.poll(async () => (await stored(page)).sort()).toEqual(['One, recovered', 'Three']);
    await page.reload();
    await expect.poll(() => nameField(page).inputValue()).toBe('One, recovered');
    expectNoComplaints();
    await close();
  });

  test('where storage is refused the page works, says that nothing is kept, and saves a file', async () => {
    const { page, expectNoComplaints, close } = await openBlank(DESK);
    await page.addInitScript(() => {
      IDBFactory.prototype.open = () => {
        throw new DOMException('refused', 'SecurityError');
      };
    });
    await page.goto(`${pageAddress()}#/project`);
    await page.getByText("Edits will not be kept: the browser's storage was refused").waitFor();
    await rename(page, 'For now');
    await page.getByRole('button', { name: 'Open the demo anew' }).click();
    await expect.poll(() => nameField(page).inputValue()).toBe(demoInput()['name']);
    await undoButton(page).click();
    await expect.poll(() => nameField(page).inputValue()).toBe('For now');
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Save as a file' }).click(),
    ]);
    expect(download.suggestedFilename()).toBe('for-now.kartwright.json');
    await toFirstView(page);
    await oneToothLess(page).click();
    await expect.poll(() => rearTeeth(page).inputValue()).toBe('48');
    expectNoComplaints();
    await close();
  });

  test('axe finds nothing on the project page; at 360 px it fits, and targets are large enough', async () => {
    const { page, close } = await open('#/project', DESK);
    await rename(page, 'A');
    await page.getByRole('button', { name: 'Make a link' }).click();
    const theirs = { ...demoInput(), units: { speed: 'mph' } };
    await page.getByLabel('Open a file').setInputFiles({
      name: 'theirs.kartwright.json',
      mimeType: 'application/json',
      buffer: Buffer.from(JSON.stringify(theirs)),
    });
    await page.getByRole('button', { name: 'Look at what it changes' }).click();
    await page.locator('.merge').waitFor();
    await expectAccessible(page);
    await page.setViewportSize({ width: 360, height: 740 });
    await expectAccessible(page);
    const found = await page.evaluate(() => ({
      wide: document.documentElement.scrollWidth - innerWidth,
      small: [...document.querySelectorAll('.project, .notices')]
        .flatMap((part) => [...part.querySelectorAll('button, select, input[type=text], .file-choice')])
        .filter((e) => e.getBoundingClientRect().height < 43.5)
        .map((e) => e.outerHTML.slice(0, 80)),
    }));
    expect(found).toEqual({ wide: 0, small: [] });
    await close();
  });
});

async function expectAccessible(page: Page): Promise<void> {
  await page.evaluate(axe.source);
  const found = await page.evaluate(async () => {
    const { violations } = await (globalThis as unknown as { axe: typeof axe }).axe.run(document, {
      runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
    });
    return violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target.join(' ')).join(', ')}`);
  });
  expect(found).toEqual([]);
}

/** Waits until answers have been painted. */
async function settledOnce(page: Page): Promise<void> {
  await expect
    .poll(() => page.evaluate(() => performance.getEntriesByName('kartwright:all', 'measure').length))
    .toBeGreaterThan(0);
}
