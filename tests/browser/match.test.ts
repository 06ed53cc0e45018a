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
    // How to drive, for who has no log yet.
    await page.getByText(/^Roll out with the clutch in/).waitFor();
    await page
      .getByLabel('Choose a log')
      .setInputFiles({ name: 'outing.csv', mimeType: 'text/csv', buffer: OUTING });
    await page.getByLabel('Driven on').selectOption({ label: 'Asphalt' });
    expect(await page.getByText(/^Roll out with the clutch in/).count()).toBe(0);
    await expect
      .poll(() => page.locator('#match-sentence').textContent())
      .toMatch(/^outing\.csv: \d+ rows over \d+ s/);
    await page.getByRole('button', { name: /^Lay it against Clodlet, four, asphalt on asphalt/ }).click();
    await expect
      .poll(() => page.locator('#match-sentence').textContent(), { timeout: 50_000 })
      .toMatch(/^Clodlet, four, asphalt, on asphalt: logged and estimated speeds lie [\d.]+ km\/h apart/);
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
    // What it put in itself makes no other project of it; another kart in view does, and that is said for as long.
    const old = page.getByText(
      /^Found for Clodlet, four, asphalt, on asphalt, not for (the kart in view|the ground named here):/,
    );
    expect(await page.getByText(/^Found for/).count()).toBe(0);
    await page.getByLabel('Kart', { exact: true }).selectOption({ label: 'Clodlet, single, asphalt' });
    await expect.poll(() => old.count()).toBe(1);
    expect(await page.locator('#match-sentence.stale').count()).toBe(1);
    expect(await others.count()).toBe(0);
    expect(await axeFindings(page)).toEqual([]);
    await page.getByLabel('Kart', { exact: true }).selectOption({ label: 'Clodlet, four, asphalt' });
    await expect.poll(() => old.count()).toBe(0);
    await page.getByLabel('Driven on').selectOption({ label: 'Grass' });
    await expect.poll(() => old.count()).toBe(1);
    await page.getByLabel('Driven on').selectOption({ label: 'Asphalt' });
    await expect.poll(() => old.count()).toBe(0);
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
    const everywhere = page.getByLabel('Straight-line runs on');
    const ground = await everywhere.inputValue();
    await page.getByLabel('Kart', { exact: true }).selectOption({ label: 'Clodlet, single, knobbly' });
    await page
      .getByRole('button', { name: 'Try it with a made-up outing of Clodlet, four, asphalt' })
      .click();
    await expect
      .poll(() => page.locator('#match-sentence').textContent())
      .toMatch(/^made-up-outing\.csv: 3120 rows/);
    await page.getByText(/^Kart in view is now Clodlet, four, asphalt/).waitFor();
    // The outing's ground is the outing's alone: a stop is asked for on the ground it was asked for before.
    expect(await page.getByLabel('Driven on').locator('option:checked').textContent()).toBe('Asphalt');
    expect(await everywhere.inputValue()).toBe(ground);
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

  test('columns nobody can tell are chosen on the page, and read again by keys alone', async () => {
    const { page, expectNoComplaints, close } = await open('#/match', DESK);
    const rows = Array.from({ length: 60 }, (_, i) => `${i / 10};${i / 10};${(3 + i / 100).toFixed(2)};7`);
    await page.getByLabel('Choose a log').setInputFiles({
      name: 'letters.csv',
      mimeType: 'text/csv',
      buffer: Buffer.from(`a;b;Drehzahl U/min;c\n${rows.join('\n')}\n`),
    });
    await page.getByText('Say below which column is what.').waitFor();
    expect(await page.locator('.problems').textContent()).not.toContain('--columns');
    const choose = (label: string) => page.getByLabel(label, { exact: true });
    const chosen = (label: string) => choose(label).locator('option:checked').textContent();
    expect(await chosen('Engine speed')).toBe('Drehzahl U/min');
    expect(await chosen('Time')).toBe('not in this file');
    expect(await axeFindings(page)).toEqual([]);
    await choose('Time').selectOption({ label: 'a' });
    await expect.poll(() => page.locator('.problems').textContent()).toMatch(/No column of speeds/);
    await choose('Speed').focus();
    await choose('Speed').selectOption({ label: 'b' });
    await expect
      .poll(() => page.locator('#match-sentence').textContent())
      .toMatch(/^letters\.csv: 60 rows over 6 s/);
    // The fields stay where they were, and the keys in them.
    expect(await page.evaluate(() => (document.activeElement as HTMLSelectElement).value)).toBe('1');
    expect(await chosen('Speed')).toBe('b');
    const remarks = page.locator('ul.worked').first();
    expect(await remarks.textContent()).toContain('"Drehzahl U/min": engine speed, rpm x 1000.');
    expect(await remarks.textContent()).toContain('Not used: "c".');
    await choose('Speed, unit').selectOption({ label: 'mph' });
    await expect.poll(() => remarks.textContent()).toContain('"b": speed, mph.');
    // A column has one role.
    await choose('Number of the lap').selectOption({ label: 'b' });
    await expect.poll(() => page.locator('.problems').textContent()).toMatch(/No column of speeds/);
    expect(await chosen('Speed')).toBe('not in this file');
    await choose('Speed').selectOption({ label: 'b' });
    await expect.poll(() => page.locator('.problems').count()).toBe(0);
    expect(await chosen('Number of the lap')).toBe('not in this file');
    expectNoComplaints();
    await close();
  });

  test('what is read well keeps its columns closed behind a heading; an empty file is said to be one', async () => {
    const { page, expectNoComplaints, close } = await open('#/match', DESK);
    await page
      .getByLabel('Choose a log')
      .setInputFiles({ name: 'outing.csv', mimeType: 'text/csv', buffer: OUTING });
    const columns = page.getByText('Which column is what');
    await columns.waitFor();
    expect(await page.getByLabel('Engine speed', { exact: true }).count()).toBe(0);
    await columns.click();
    await expect.poll(() => page.getByLabel('Engine speed', { exact: true }).count()).toBe(1);
    expect(
      await page.getByLabel('Speed, unit', { exact: true }).locator('option:checked').textContent(),
    ).toBe('as the file tells (km/h)');
    for (const [text, said] of [
      ['', /The file is empty/],
      ['time [s],speed [km/h],rpm', /There are headers, but no rows of numbers below them/],
    ] as const) {
      await page
        .getByLabel('Choose a log')
        .setInputFiles({ name: 'none.csv', mimeType: 'text/csv', buffer: Buffer.from(text) });
      await page.getByText(said).waitFor();
      expect(await columns.count()).toBe(0);
    }
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
