/** One whole question by keys alone and by ear: what has the focus, what is announced, what reads in which order. */
import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { describeInBrowser } from './harness.ts';
import { DESK } from './looking.ts';

interface Announcing extends Window {
  announced: string[];
}

describeInBrowser('by ear', ({ open }) => {
  test('will it stop straight: found, read, changed, pinned, with every change announced once and right', async () => {
    const { page, expectNoComplaints, close } = await open('', DESK);
    await page.locator('#answer-sentence').waitFor();
    // The first stop of the Tab key goes past the list of questions.
    await page.keyboard.press('Tab');
    expect(await focused(page)).toBe('To the answer');
    await page.keyboard.press('Enter');
    expect(await page.evaluate(() => document.activeElement?.tagName)).toBe('MAIN');
    await page.keyboard.press('Shift+Tab');
    await tabTo(page, 'Will it stop straight?', 'Shift+Tab');
    await page.keyboard.press('Enter');
    await expect.poll(() => page.locator('#question-title').textContent()).toBe('Will it stop straight?');
    await expect.poll(() => page.title()).toMatch(/^Will it stop straight\?/);
    expect(await page.locator('[aria-current="page"]').textContent()).toBe('Will it stop straight?');

    // Headings in the order a reader jumps: the question, then each part of the answer.
    const headings = await page
      .locator('main :is(h2, h3)')
      .evaluateAll((list) => list.map((h) => `${h.tagName} ${h.textContent}`));
    expect(headings.filter((h) => h.startsWith('H2'))).toContain('H2 Will it stop straight?');
    expect(headings.indexOf('H2 Will it stop straight?')).toBeLessThan(headings.indexOf('H3 The four stops'));

    await listen(page);
    await tabTo(page, 'Balance bar, front share, slider', 'Tab');
    const before = await page.locator('#answer-sentence').textContent();
    for (let i = 0; i < 4; i++) await page.keyboard.press('ArrowLeft');
    await expect.poll(() => page.locator('#answer-sentence').textContent()).not.toBe(before);
    await expect.poll(async () => (await announced(page)).at(-1)).toMatch(/^Front brakes .*shorter/);
    // Never a word about a change that the solver has not answered yet.
    expect((await announced(page)).filter((said) => /no difference/.test(said))).toEqual([]);

    await tabTo(page, 'Pin this answer', 'Shift+Tab');
    await page.keyboard.press('Enter');
    await expect.poll(() => page.locator('section.pins').count()).toBe(1);
    // Every part that answers has a name, and every plot says what it shows.
    for (const region of await page.locator('main section').all())
      expect(
        `${(await region.getAttribute('aria-labelledby')) ?? ''}${(await region.getAttribute('aria-label')) ?? ''}`,
      ).toMatch(/\w/);
    for (const plot of await page.locator('.plot-frame').all())
      expect((await plot.getAttribute('aria-label'))!.length).toBeGreaterThan(30);
    expectNoComplaints();
    await close();
  });
});

function focused(page: Page): Promise<string> {
  return page.evaluate(() => {
    const has = document.activeElement;
    return has?.getAttribute('aria-label') ?? has?.textContent ?? '';
  });
}

async function tabTo(page: Page, name: string, key: 'Tab' | 'Shift+Tab'): Promise<void> {
  for (let i = 0; i < 80; i++) {
    if ((await focused(page)) === name) return;
    await page.keyboard.press(key);
  }
  throw new Error(`no way to '${name}' by ${key}`);
}

/** Keeps what live regions say from here on. */
function listen(page: Page): Promise<void> {
  return page.evaluate(() => {
    const all: string[] = [];
    (window as unknown as Announcing).announced = all;
    const hear = new MutationObserver((changes) => {
      for (const { target } of changes) {
        const node = target instanceof Element ? target : target.parentElement;
        const said = node?.closest('[role=status], [role=alert]')?.textContent ?? '';
        if (said !== '' && all.at(-1) !== said) all.push(said);
      }
    });
    hear.observe(document.body, { childList: true, characterData: true, subtree: true });
  });
}

function announced(page: Page): Promise<string[]> {
  return page.evaluate(() => (window as unknown as Announcing).announced);
}
