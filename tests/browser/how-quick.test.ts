/** How quick here, in a real browser: it answers, follows edits, keeps bad input, works by keyboard and on a phone. */
import { expect, test } from 'vitest';
import { describeInBrowser } from './harness.ts';
import { axeFindings, DESK, fitOf, inkOf, answer as lapSentence, PHONE, SMALL, settled } from './looking.ts';

describeInBrowser('how quick here', ({ open, openBlank }) => {
  test('opens with an answer in words, drawn map and plots, and no complaint', async () => {
    const { page, expectNoComplaints, close } = await open('', DESK);
    const sentence = await lapSentence(page);
    expect(sentence).toMatch(/^Round .+: \d+\.\d\ss for a flying lap\.$/);
    // Map and plots come a frame after the sentence.
    await expect.poll(() => page.locator('.map-line').count()).toBeGreaterThan(1);
    expect(await page.locator('.map-label').count()).toBeGreaterThan(4);
    for (const canvas of await page.locator('.plot canvas').all())
      expect(await inkOf(canvas)).toBeGreaterThan(500);
    expect(await page.locator('.plot canvas').count()).toBe(3);
    expect(await page.getByText(/NaN|undefined|Infinity/).count()).toBe(0);
    expectNoComplaints();
    await close();
  });

  test('a press on the sprocket changes the lap, says by how much, and undo takes it back', async () => {
    const { page, expectNoComplaints, close } = await open('', DESK);
    await page.getByLabel('Track', { exact: true }).selectOption({ label: 'Brindlequag Works' });
    await expect.poll(() => lapSentence(page)).toMatch(/Brindlequag Works/);
    const before = await lapSentence(page);
    for (let i = 0; i < 10; i++)
      await page.getByRole('button', { name: 'Front sprocket: one tooth more' }).click();
    await expect.poll(() => lapSentence(page)).not.toBe(before);
    await expect.poll(() => page.locator('.change').textContent()).toMatch(/quicker|slower|no difference/);
    for (let i = 0; i < 10; i++) await page.getByRole('button', { name: /^Undo/ }).click();
    await expect.poll(() => lapSentence(page)).toBe(before);
    expect(await page.getByRole('textbox', { name: 'Front sprocket' }).inputValue()).toBe('14');
    expectNoComplaints();
    await close();
  });

  test('kart, track and day change the answer', async () => {
    const { page, expectNoComplaints, close } = await open('', DESK);
    const seen = new Set([await lapSentence(page)]);
    for (const [label, option] of [
      ['Track', 'Brindlequag Works'],
      ['Kart', 'Clodlet, single, asphalt'],
      ['Day', 'Damp morning'],
      ['Track', 'Fettlebrow'],
    ] as const) {
      await page.getByLabel(label, { exact: true }).selectOption({ label: option });
      await expect.poll(async () => seen.has(await lapSentence(page))).toBe(false);
      seen.add(await lapSentence(page));
    }
    expect(await lapSentence(page)).toMatch(/^Along Fettlebrow/);
    expectNoComplaints();
    await close();
  });

  test('a run that is answered with a warning says it below its answer', async () => {
    const { page, expectNoComplaints, close } = await open('#/how-quick', DESK);
    const caution = page.locator('.headline .caution', { hasText: 'The air of the day is so far' });
    await page.locator('#answer-sentence').waitFor();
    expect(await caution.count()).toBe(0);
    await page
      .getByRole('combobox', { name: 'Day', exact: true })
      .selectOption({ label: 'Hot day on the plateau' });
    await expect.poll(() => caution.count()).toBe(1);
    expect(await caution.textContent()).toMatch(/% of the sheet; corrections are stated for factors/);
    expectNoComplaints();
    await close();
  });

  test('the cursor moves on both plots, the map and the readout together', async () => {
    const { page, close } = await open('', DESK);
    await lapSentence(page);
    await page.getByRole('button', { name: 'I have read this' }).click();
    await page.getByRole('button', { name: 'Put this away' }).click();
    const plots = page.locator('.plot-frame.with-cursor');
    await page.locator('.map-frame').scrollIntoViewIfNeeded();
    const state = () =>
      page.evaluate(() => ({
        lines: [...document.querySelectorAll<HTMLElement>('.plot-cursor')].map((l) => l.style.transform),
        dot: document.querySelector('.map-dot')?.getAttribute('transform'),
        readout: document.querySelector('.readout')?.textContent,
      }));
    /** Waits until readout, map and both lines have moved on from `old`, the lines alike. */
    const movedFrom = async (old: Awaited<ReturnType<typeof state>>) => {
      await expect.poll(async () => (await state()).readout).not.toBe(old.readout);
      const now = await state();
      expect(now.dot).not.toBe(old.dot);
      expect(now.lines[0]).not.toBe(old.lines[0]);
      expect(now.lines[0]).toBe(now.lines[1]);
      return now;
    };
    const first = await state();
    const box = (await plots.first().boundingBox())!;
    await page.mouse.move(box.x + box.width * 0.75, box.y + box.height / 2, { steps: 3 });
    const pointed = await movedFrom(first);
    await plots.nth(1).focus();
    await page.keyboard.press('Shift+ArrowLeft');
    const keyed = await movedFrom(pointed);
    const map = (await page.locator('.map-frame').boundingBox())!;
    await page.mouse.move(map.x + 40, map.y + map.height / 2, { steps: 3 });
    await movedFrom(keyed);
    expect(await plots.first().getAttribute('aria-valuetext')).toMatch(/\d+\sm: \d+\skm\/h, gear/);
    await close();
  });

  test('bad input stays as typed, with limit and remedy, and the answer stands', async () => {
    const { page, expectNoComplaints, close } = await open('', DESK);
    const before = await lapSentence(page);
    const rear = page.getByRole('textbox', { name: 'Rear sprocket' });
    await rear.fill('500');
    await rear.blur();
    expect(await rear.inputValue()).toBe('500');
    const says = page.locator(`[id="${await rear.getAttribute('aria-describedby')}"]`);
    expect(await says.textContent()).toMatch(/5 to 120.*Still reckoning with 49/);
    expect(await rear.getAttribute('aria-invalid')).toBe('true');
    const driver = page.getByLabel('Driver with kit');
    await driver.fill('heavy');
    await driver.blur();
    expect(await driver.inputValue()).toBe('heavy');
    expect(await lapSentence(page)).toBe(before);
    await driver.fill('220 lb');
    const echo = page.locator(`[id="${await driver.getAttribute('aria-describedby')}"]`);
    expect(await echo.textContent()).toMatch(/99\.8 kg = 220 lb/);
    await expect.poll(() => lapSentence(page)).not.toBe(before);
    expectNoComplaints();
    await close();
  });

  test('one edit by keyboard alone, with focus in sight', async () => {
    const { page, close } = await open('', DESK);
    await lapSentence(page);
    let label = '';
    for (let i = 0; i < 30 && label !== 'Track'; i++) {
      await page.keyboard.press('Tab');
      label = await page.evaluate(
        () => document.querySelector(`label[for="${document.activeElement?.id}"]`)?.textContent ?? '',
      );
    }
    expect(label).toBe('Track');
    await page.keyboard.type('Brin');
    await expect.poll(() => lapSentence(page)).toMatch(/Brindlequag Works/);
    const before = await lapSentence(page);
    let name = '';
    for (let i = 0; i < 30 && name !== 'Rear sprocket: one tooth less'; i++) {
      await page.keyboard.press('Tab');
      name = await page.evaluate(() => document.activeElement?.getAttribute('aria-label') ?? '');
    }
    expect(name).toBe('Rear sprocket: one tooth less');
    const outline = await page.evaluate(() => getComputedStyle(document.activeElement!).outlineWidth);
    expect(Number.parseFloat(outline)).toBeGreaterThanOrEqual(2);
    for (let i = 0; i < 15; i++) await page.keyboard.press('Enter');
    await expect.poll(() => lapSentence(page)).not.toBe(before);
    await page.keyboard.press('Tab');
    await page.keyboard.press('ArrowUp');
    await expect.poll(() => page.getByRole('textbox', { name: 'Rear sprocket' }).inputValue()).toBe('35');
    await close();
  });

  test('the map says gear and limit too, in words and dashes', async () => {
    const { page, close } = await open('', DESK);
    await lapSentence(page);
    await page.getByLabel('Track', { exact: true }).selectOption({ label: 'Brindlequag Works' });
    await expect.poll(() => lapSentence(page)).toMatch(/Brindlequag Works/);
    await page.getByRole('radio', { name: 'gear' }).check();
    expect(await page.locator('.map-key').textContent()).toMatch(/gear 2/);
    expect(await page.locator('.map-key').textContent()).toMatch(/Asphalt\s*Packed earth/);
    await page.getByRole('radio', { name: 'what holds it back' }).check();
    expect(await page.locator('.map-key').textContent()).toMatch(/grip, \d+\s% of the time/);
    await close();
  });

  test('numbers behind a plot open as a table and save as CSV', async () => {
    const { page, expectNoComplaints, close } = await open('', DESK);
    await lapSentence(page);
    await page.getByText('Speed along the course: the numbers').click();
    await expect.poll(() => page.locator('.behind[open] tbody tr').count()).toBeGreaterThan(30);
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Save every row as CSV' }).click(),
    ]);
    expect(download.suggestedFilename()).toBe('speed-along-the-course.csv');
    expectNoComplaints();
    await close();
  });

  for (const [name, size] of [
    ['desktop', DESK],
    ['phone', PHONE],
  ] as const) {
    test(`axe finds nothing at ${name} width, tables open included`, async () => {
      const { page, close } = await open('', size);
      await lapSentence(page);
      await page.getByText('What this rests on, and how to measure it').click();
      await expect.poll(() => page.locator('.effect').count(), { timeout: 15_000 }).toBe(6);
      await page.getByText('Speed along the course: the numbers').click();
      await page.getByRole('textbox', { name: 'Rear sprocket' }).fill('500');
      expect(await axeFindings(page)).toEqual([]);
      await close();
    });
  }

  for (const [name, size] of [
    ['390', PHONE],
    ['360', SMALL],
  ] as const) {
    test(`at ${name} px nothing scrolls sideways and targets are large enough`, async () => {
      const { page, expectNoComplaints, close } = await open('', size);
      await lapSentence(page);
      const found = await fitOf(page);
      expect(found.wide).toBe(0);
      expect(found.small).toEqual([]);
      await page.getByRole('button', { name: 'Rear sprocket: one tooth less' }).tap();
      await expect.poll(() => page.locator('.strip').textContent()).toMatch(/Tansy Hollow\s*\d+\.\d\ss/);
      expectNoComplaints();
      await close();
    });
  }

  test('no select box cuts off what it says, whichever entry is chosen', async () => {
    const { page, close } = await open('', DESK);
    await settled(page);
    const cut = await page.evaluate(() => {
      const pen = document.createElement('canvas').getContext('2d')!;
      return [...document.querySelectorAll('select')].flatMap((select) => {
        const style = getComputedStyle(select);
        pen.font = style.font;
        const padding = Number.parseFloat(style.paddingLeft) + Number.parseFloat(style.paddingRight);
        // 20 px: the arrow of a select in Chromium, with the space before it, read off a picture.
        const room = select.clientWidth - padding - 20;
        return [...select.options]
          .filter((option) => pen.measureText(option.text).width > room)
          .map((option) => `${option.text}: ${pen.measureText(option.text).width} px of ${room}`);
      });
    });
    expect(cut).toEqual([]);
    await close();
  });

  test('nothing is asked of the network once loaded', async () => {
    const { page, close } = await openBlank(DESK);
    const asked: string[] = [];
    const { pageAddress } = await import('./harness.ts');
    await page.goto(pageAddress());
    await settled(page);
    // A solver that is slow to stop is replaced: its file comes from what the service worker keeps.
    await page.evaluate(async () => {
      await navigator.serviceWorker.ready;
      while (navigator.serviceWorker.controller === null) await new Promise((done) => setTimeout(done, 20));
    });
    page.on('response', (response) => {
      if (!response.fromServiceWorker()) asked.push(response.url());
    });
    page.on('requestfailed', (request) => asked.push(request.url()));
    await page.getByRole('button', { name: 'Rear sprocket: one tooth less' }).click();
    await settled(page, 1);
    await page.getByLabel('Track', { exact: true }).selectOption({ label: 'Brindlequag Works' });
    await expect.poll(() => lapSentence(page)).toMatch(/Brindlequag Works/);
    expect(asked).toEqual([]);
    await close();
  });

  test('every change is measured to its repaint', async () => {
    const { page, close } = await open('', DESK);
    await lapSentence(page);
    await page.getByRole('button', { name: 'Rear sprocket: one tooth less' }).click();
    const measured = (name: string) =>
      page.evaluate((n) => performance.getEntriesByName(n, 'measure').map((m) => m.duration), name);
    await expect.poll(async () => (await measured('kartwright:first')).length).toBeGreaterThanOrEqual(2);
    await expect.poll(async () => (await measured('kartwright:all')).length).toBeGreaterThanOrEqual(2);
    await close();
  });
});
