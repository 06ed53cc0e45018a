/** A log against the estimate in a real browser: read with its guesses told, raw gap, values put in one by one, undone. */
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { describeInBrowser } from './harness.ts';
import { axeFindings, DESK } from './looking.ts';

/** An invented outing, made by the model from other values than the demo's. */
const OUTING = readFileSync(fileURLToPath(new URL('../../ui/demo/made-up-outing.csv', import.meta.url)));

describeInBrowser('does it match', ({ open }) => {
  test('an outing is read, laid against the kart, and a value put in and taken out again', async () => {
    const { page, expectNoComplaints, close } = await open('#/match', DESK);
    await page.getByLabel('Kart', { exact: true }).selectOption({ label: 'Clodlet, four, asphalt' });
    await page.getByLabel('Straight-line runs on').selectOption({ label: 'Asphalt' });
    await page
      .getByLabel('Choose a log')
      .setInputFiles({ name: 'outing.csv', mimeType: 'text/csv', buffer: OUTING });
    await expect
      .poll(() => page.locator('#match-sentence').textContent())
      .toMatch(/^outing\.csv: \d+ rows over \d+ s/);
    await page.getByRole('button', { name: /^Lay it against Clodlet, four, asphalt on asphalt/ }).click();
    await expect
      .poll(() => page.locator('#match-sentence').textContent(), { timeout: 50_000 })
      .toMatch(/^Logged and estimated speeds lie [\d.]+ km\/h apart/);
    expect(await page.locator('section[aria-label="Found in the log"]').textContent()).toMatch(
      /(pull|stop|rolling out)/,
    );
    expect(await axeFindings(page)).toEqual([]);
    const put = page.getByRole('button', { name: 'Put drag area into the project' });
    const others = page.getByRole('button', { name: /^Put .* into the project/ });
    const count = await others.count();
    const said = page.getByRole('status').filter({ hasText: 'In the project now' });
    await put.focus();
    await page.keyboard.press('Enter');
    await expect
      .poll(() => page.getByRole('button', { name: /^Undo/ }).textContent())
      .toMatch(/from outing\.csv/);
    // Said in place of the button, where keys go on from; of this value only.
    await expect
      .poll(() => said.allTextContents())
      .toEqual(['In the project now, from outing.csv; Undo takes it out again.']);
    expect(await page.evaluate(() => document.activeElement?.textContent)).toMatch(/^In the project now/);
    expect(await put.count()).toBe(0);
    expect(await others.count()).toBe(count - 1);
    expect(await axeFindings(page)).toEqual([]);
    // Still known after a look elsewhere.
    await page.evaluate(() => {
      location.hash = '#/how-quick';
    });
    await expect.poll(() => page.locator('#match-sentence').count()).toBe(0);
    await page.evaluate(() => {
      location.hash = '#/match';
    });
    await expect.poll(() => said.count()).toBe(1);
    await page.getByRole('button', { name: /^Undo/ }).click();
    await expect.poll(() => page.getByRole('button', { name: /^Undo/ }).isDisabled()).toBe(true);
    await expect.poll(() => said.count()).toBe(0);
    expect(await put.count()).toBe(1);
    expect(await page.getByText(/NaN|undefined|Infinity/).count()).toBe(0);
    expectNoComplaints();
    await close();
  }, 90_000);

  test('a large log is read beside the page: a key is answered meanwhile, and Stop ends it', async () => {
    const { page, expectNoComplaints, close } = await open('#/match', DESK);
    await page.getByText('Choose a log').waitFor();
    const choose = (copies: number) =>
      page.getByLabel('Choose a log').evaluate((input, count) => {
        // Half an hour of a drive up and down a straight, ten rows a second, again and again.
        const rows = Array.from({ length: 18_000 }, (_, i) => {
          const speed = 12 + 6 * Math.sin(i / 40);
          return `${(i / 10).toFixed(1)},${speed.toFixed(3)},${(300 * speed).toFixed(1)},0.000000,0.000000\n`;
        }).join('');
        const files = new DataTransfer();
        files.items.add(new File(['time (s),speed (m/s),rpm,a,b\n', ...Array(count).fill(rows)], 'long.csv'));
        const chooser = input as HTMLInputElement;
        chooser.files = files.files;
        chooser.dispatchEvent(new Event('change', { bubbles: true }));
      }, copies);
    await page.evaluate(() => {
      const log: string[] = [];
      (globalThis as unknown as { happened: string[] }).happened = log;
      const note = (what: string): void => {
        if (log.at(-1) !== what) log.push(what);
      };
      new MutationObserver(() => {
        if (/Reading long/.test(document.body.textContent ?? '')) note('reading');
        if (/^long\.csv: /.test(document.querySelector('#match-sentence')?.textContent ?? '')) note('read');
      }).observe(document.body, { subtree: true, childList: true, characterData: true });
      // Answered is what has been painted.
      document.addEventListener('keydown', () =>
        requestAnimationFrame(() => setTimeout(() => note('answered'))),
      );
    });
    const happened = () =>
      page.evaluate(() => (globalThis as unknown as { happened: string[] }).happened.join(' '));
    await choose(20);
    await page.getByText('Reading long.csv …').waitFor();
    await page.keyboard.press('Shift');
    await expect.poll(happened, { timeout: 30_000 }).toBe('reading answered read');
    await choose(20);
    await page.getByRole('button', { name: 'Stop', exact: true }).focus();
    await page.keyboard.press('Enter');
    await page.getByText('Stopped: long.csv was not read to its end.').waitFor();
    expect(await page.evaluate(() => (document.activeElement as HTMLInputElement | null)?.type)).toBe('file');
    const reading = () => page.workers().filter((worker) => worker.url().includes('log-worker')).length;
    await expect.poll(reading).toBe(0);
    expectNoComplaints();
    await close();
  });

  test('without a log of one’s own the made-up outing of the demo is one press away, kart and ground with it', async () => {
    const { page, expectNoComplaints, close } = await open('#/match', DESK);
    await page
      .getByRole('button', { name: 'Try it with a made-up outing of Clodlet, four, asphalt' })
      .click();
    await expect
      .poll(() => page.locator('#match-sentence').textContent())
      .toMatch(/^made-up-outing\.csv: 3120 rows/);
    const level = page.getByLabel('Ground level, give or take');
    await level.fill('12 %');
    await expect.poll(() => page.getByText(/From 0 to 10 %/i).count()).toBe(1);
    await level.fill('0.3 %');
    await expect.poll(() => page.getByText(/From 0 to 10 %/i).count()).toBe(0);
    await page.getByRole('button', { name: /^Lay it against Clodlet, four, asphalt on asphalt/ }).click();
    await expect.poll(() => page.getByRole('button', { name: 'Stop', exact: true }).count()).toBe(1);
    await page.getByRole('button', { name: 'Stop', exact: true }).click();
    await expect.poll(() => page.getByText(/^Stopped early: this rests on/).count()).toBe(1);
    expectNoComplaints();
    await close();
  });

  test('laps alone: what is left out is said, and a share at its bound is nothing to put into the project', async () => {
    const { page, expectNoComplaints, close } = await open('#/match', DESK);
    await page.getByLabel('Kart', { exact: true }).selectOption({ label: 'Clodlet, four, asphalt' });
    await page.getByLabel('Track', { exact: true }).selectOption({ label: 'Oval' });
    // Rounds of the oval's own length, far slower than its laps at any share of the grip.
    const [length, speed] = [214.25, 4];
    const radius = length / (2 * Math.PI);
    const rows = Array.from({ length: 2200 }, (_, i) => {
      const angle = (speed * i) / 10 / radius;
      return `${(i / 10).toFixed(1)},${speed},${(radius * Math.cos(angle)).toFixed(2)},${(radius * Math.sin(angle)).toFixed(2)}`;
    });
    await page.getByLabel('Choose a log').setInputFiles({
      name: 'rounds.csv',
      mimeType: 'text/csv',
      buffer: Buffer.from(`time [s],speed [m/s],x [m],y [m]\n${rows.join('\n')}\n`),
    });
    await page.getByLabel('Laps in it').selectOption({ label: 'of Oval' });
    await page.getByRole('button', { name: /^Lay it against/ }).click();
    await page.getByText(/s of the log are laps, 21\d m round: left out/).waitFor({ timeout: 30_000 });
    await page.getByText(/^To drive such laps .* Do not trust it\.$/).waitFor();
    expect(await page.getByRole('button', { name: /^Put / }).count()).toBe(0);
    expect(await axeFindings(page)).toEqual([]);
    expectNoComplaints();
    await close();
  });

  test('what is no log is refused with its reason', async () => {
    const { page, expectNoComplaints, close } = await open('#/match', DESK);
    await page.getByLabel('Choose a log').setInputFiles({
      name: 'notes.txt',
      mimeType: 'text/plain',
      buffer: Buffer.from('we went out and it was good'),
    });
    await expect.poll(() => page.locator('.problems').textContent()).toMatch(/no row with two numbers/);
    expectNoComplaints();
    await close();
  });
});
