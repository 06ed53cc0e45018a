/** Every question of the workbench in a real browser: answered in words, drawn, pinned, by keyboard, on a phone. */
import { expect, test } from 'vitest';
import { describeInBrowser } from './harness.ts';
import { answer, axeFindings, DESK, fitOf, inkOf, PHONE, SMALL, settled } from './looking.ts';

const QUESTIONS = [
  { path: '#/how-quick', title: 'How quick here?', says: /^Round Tansy Hollow: \d+\.\d\ss/, plots: 3 },
  {
    path: '#/off-the-line',
    title: 'Off the line',
    says: /^From standing on loose clay: 100 m take \d/,
    plots: 2,
  },
  {
    path: '#/stop',
    title: 'Will it stop straight?',
    says: /^From 60\skm\/h on loose clay, clutch in/,
    plots: 3,
  },
  {
    path: '#/slide-or-tip',
    title: 'Slide or tip?',
    says: /^Round 12 m on loose clay it (slides|tips)/,
    plots: 2,
  },
  { path: '#/shift', title: 'When do I shift?', says: /rpm/, plots: 2 },
] as const;

describeInBrowser('questions', ({ open }) => {
  for (const { path, title, says, plots } of QUESTIONS) {
    test(`${title} is answered in words, with its range, drawn, and without complaint`, async () => {
      const { page, expectNoComplaints, close } = await open(path, DESK);
      await settled(page);
      expect(await page.locator('h2#question-title').textContent()).toBe(title);
      expect(await answer(page)).toMatch(says);
      await expect
        .poll(() => page.locator('.range').textContent(), { timeout: 15_000 })
        .toMatch(/give or take|standard deviation each way/);
      const canvases = await page.locator('.plot canvas').all();
      expect(canvases).toHaveLength(plots);
      for (const canvas of canvases) expect(await inkOf(canvas)).toBeGreaterThan(500);
      expect(await page.getByText(/NaN|undefined|Infinity/).count()).toBe(0);
      await page.getByText('What this rests on, and how to measure it').click();
      await expect.poll(() => page.locator('.effect').count(), { timeout: 15_000 }).toBe(6);
      await page.locator('.behind summary').first().click();
      expect(await axeFindings(page)).toEqual([]);
      expectNoComplaints();
      await close();
    });
  }

  test('on a phone every question fits, with targets for a finger and nothing for axe', async () => {
    for (const size of [PHONE, SMALL]) {
      const { page, expectNoComplaints, close } = await open('', size);
      for (const [i, { path, title }] of QUESTIONS.entries()) {
        await page.evaluate((hash) => {
          location.hash = hash;
        }, path);
        await settled(page, i);
        await expect.poll(() => page.locator('h2#question-title').textContent()).toBe(title);
        expect({ path, ...(await fitOf(page)) }).toEqual({ path, wide: 0, small: [] });
        if (size === PHONE) expect({ path, found: await axeFindings(page) }).toEqual({ path, found: [] });
      }
      expectNoComplaints();
      await close();
    }
  });

  test('at twice the size nothing is lost: a desktop page at 200 % has half the width', async () => {
    const { page, close } = await open('#/stop', {
      viewport: { width: 720, height: 450 },
      deviceScaleFactor: 2,
    });
    await settled(page);
    expect((await fitOf(page)).wide).toBe(0);
    await close();
  });

  test('the keys go from question to question, pin, and say what they do', async () => {
    const { page, expectNoComplaints, close } = await open('', DESK);
    await settled(page);
    await page.keyboard.press('5');
    await expect.poll(() => page.locator('h2#question-title').textContent()).toBe('When do I shift?');
    await expect.poll(() => page.title()).toBe('When do I shift? - Kartwright');
    await settled(page, 1);
    await page.keyboard.press('p');
    await expect.poll(() => page.locator('.pin').count()).toBe(1);
    await page.keyboard.press('?');
    await expect.poll(() => page.getByRole('dialog', { name: 'Keys' }).isVisible()).toBe(true);
    expect(await axeFindings(page)).toEqual([]);
    await page.keyboard.press('Escape');
    await expect.poll(() => page.getByRole('dialog', { name: 'Keys' }).isVisible()).toBe(false);
    expectNoComplaints();
    await close();
  });

  test('the view is in the address: back goes to the question before', async () => {
    const { page, close } = await open('', DESK);
    await settled(page);
    await page.getByRole('link', { name: 'Slide or tip?' }).click();
    await expect.poll(() => page.locator('h2#question-title').textContent()).toBe('Slide or tip?');
    await page.goBack();
    await expect.poll(() => page.locator('h2#question-title').textContent()).toBe('How quick here?');
    await close();
  });

  test('a pinned lap stays while the kart changes: differing inputs, both traces, time in hand', async () => {
    const { page, expectNoComplaints, close } = await open('', DESK);
    await page.getByLabel('Track', { exact: true }).selectOption({ label: 'Brindlequag Works' });
    await expect.poll(() => answer(page)).toMatch(/Brindlequag Works/);
    await page.getByRole('button', { name: 'Pin this answer' }).click();
    const frozen = (await answer(page)).match(/[\d.]+\ss/)?.[0];
    await page.getByLabel('Kart', { exact: true }).selectOption({ label: 'Clodlet, single, knobbly' });
    await expect.poll(() => answer(page)).not.toContain(frozen);
    const pins = page.locator('.pins');
    expect(await pins.locator('.differences').textContent()).toMatch(/donor: Four .*, now Single/);
    expect(await pins.locator('table').textContent()).toContain(frozen);
    expect(await pins.locator('table').textContent()).toMatch(/quicker|slower/);
    await expect
      .poll(() => page.locator('.plot-title').allTextContents())
      .toContain('Time in hand over the pinned laps');
    expect(await page.locator('.plot .key').first().textContent()).toMatch(/now.*pin A/);
    await page.getByRole('button', { name: 'Take pin A off' }).click();
    await expect.poll(() => page.locator('.pins').count()).toBe(0);
    expectNoComplaints();
    await close();
  });

  test('an input is changed where the answer says it rests on it, with its origin, and undone', async () => {
    const { page, expectNoComplaints, close } = await open('', DESK);
    await settled(page);
    await page.getByText('What this rests on, and how to measure it').click();
    await expect.poll(() => page.locator('.effect').count(), { timeout: 15_000 }).toBe(6);
    const first = page.locator('.effect').first();
    const before = await answer(page);
    const field = first.getByRole('textbox');
    await expect
      .poll(() => page.locator('.range').textContent(), { timeout: 15_000 })
      .toMatch(/give or take|standard deviation each way/);
    const was = await field.inputValue();
    await field.fill(was.replace(/[\d.]+/, (n) => String(Number(n) * 0.8)));
    await expect.poll(() => answer(page)).not.toBe(before);
    await first.getByRole('combobox').selectOption('measured');
    await page.getByRole('button', { name: /^Undo/ }).click();
    await page.getByRole('button', { name: /^Undo/ }).click();
    await expect.poll(() => answer(page)).toBe(before);
    expectNoComplaints();
    await close();
  });

  test('a plot is read and zoomed by keys, and saved as a picture', async () => {
    const { page, expectNoComplaints, close } = await open('#/shift', DESK);
    await settled(page);
    const plot = page.getByRole('slider', { name: /^Thrust in each gear/ });
    await plot.focus();
    for (let i = 0; i < 40; i++) await page.keyboard.press('ArrowRight');
    expect(await plot.getAttribute('aria-valuetext')).toMatch(/gear 2 \d/);
    expect(await page.locator('.reading').first().textContent()).toMatch(/km\/h.*resistance/);
    await page.keyboard.press('+');
    await expect.poll(() => page.getByRole('button', { name: /Thrust in each gear.*wider/ }).count()).toBe(1);
    await page.keyboard.press('-');
    await expect.poll(() => page.getByRole('button', { name: /Thrust in each gear.*wider/ }).count()).toBe(0);
    await page.getByText('Thrust in each gear over speed: the numbers').click();
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Save the plot as a picture' }).first().click(),
    ]);
    expect(download.suggestedFilename()).toBe('thrust-in-each-gear-over-speed.png');
    expectNoComplaints();
    await close();
  });

  test('sunlight is black on white, on canvases too, and still clean for axe', async () => {
    const { page, close } = await open('#/stop', DESK);
    await settled(page);
    await page.getByRole('button', { name: 'Sunlight' }).click();
    expect(await page.evaluate(() => getComputedStyle(document.body).color)).toBe('rgb(0, 0, 0)');
    expect(await axeFindings(page)).toEqual([]);
    await close();
  });

  test('the first minute: each prompt is done by doing it, and leads to the next', async () => {
    const { page, expectNoComplaints, close } = await open('', DESK);
    await settled(page);
    const steps = page.locator('.first-steps');
    await steps.getByRole('button', { name: /^Take it to/ }).click();
    await expect.poll(() => answer(page)).toMatch(/Brindlequag Works/);
    await steps.getByRole('button', { name: 'Show me the rear sprocket' }).click();
    await page.keyboard.press('Enter');
    await expect.poll(() => page.locator('.change').textContent()).toMatch(/Rear sprocket 50/);
    await steps.getByRole('button', { name: 'Show what it rests on' }).click({ timeout: 15_000 });
    await expect.poll(() => page.locator('.effect').count(), { timeout: 15_000 }).toBe(6);
    expect(await steps.getByRole('link', { name: 'Make it mine' }).getAttribute('href')).toBe('#/kart');
    await page.getByRole('button', { name: 'I have read this' }).click();
    expect(await page.locator('.first-note').count()).toBe(0);
    expectNoComplaints();
    await close();
  });

  test('the brake share redraws the stop and is one undo step per drag', async () => {
    const { page, close } = await open('#/stop', DESK);
    await settled(page);
    const table = page.locator('section:has(#stops-title) table').first();
    const before = await table.textContent();
    const slider = page.getByRole('slider', { name: /front share, slider/ });
    const box = (await slider.boundingBox())!;
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
    await page.mouse.down();
    for (let i = 1; i <= 12; i++)
      await page.mouse.move(box.x + box.width / 2 - 6 * i, box.y + box.height / 2);
    await page.mouse.up();
    await expect.poll(() => table.textContent()).not.toBe(before);
    await page.getByRole('button', { name: /^Undo/ }).click();
    await expect.poll(() => table.textContent()).toBe(before);
    expect(await page.getByRole('button', { name: /^Undo/ }).isDisabled()).toBe(true);
    await close();
  });

  test('a stop that would over-rev the engine is refused with place, value and limit; the rest still answers', async () => {
    const { page, expectNoComplaints, close } = await open('#/stop', DESK);
    await answer(page);
    await page.getByLabel('Stop from').fill('140 km/h');
    await page.getByLabel('In gear means').selectOption('1');
    await expect.poll(() => page.locator('.caution', { hasText: 'No stop in gear' }).count()).toBe(1);
    expect(await page.locator('.caution', { hasText: 'No stop in gear' }).textContent()).toMatch(
      /140 km\/h; limit/,
    );
    expect(await page.locator('section:has(#stops-title) table').first().textContent()).toMatch(/clutch in/);
    expectNoComplaints();
    await close();
  });
});
