/** What the browser tests look at: sizes of screens, the answer, the drawn ink, axe, what scrolls or is too small. */
import axe from 'axe-core';
import type { Locator, Page } from 'playwright-core';
import { expect } from 'vitest';

export const DESK = { viewport: { width: 1440, height: 900 } };
export const PHONE = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true };
export const SMALL = { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true };

/** Waits until every answer, not the first alone, has been painted for the opening and for `changes` changes. */
export async function settled(page: Page, changes = 0): Promise<void> {
  await expect
    .poll(() => page.evaluate(() => performance.getEntriesByName('kartwright:all', 'measure').length), {
      timeout: 10_000,
    })
    .toBeGreaterThan(changes);
}

/** The answer of the question in view. */
export async function answer(page: Page): Promise<string> {
  return (await page.locator('#answer-sentence').textContent()) ?? '';
}

/** Pixels drawn on a canvas. */
export function inkOf(canvas: Locator): Promise<number> {
  return canvas.evaluate((element) => {
    const drawn = element as HTMLCanvasElement;
    const data = drawn.getContext('2d')?.getImageData(0, 0, drawn.width, drawn.height).data ?? [];
    let ink = 0;
    for (let i = 3; i < data.length; i += 4) if (data[i]! > 0) ink += 1;
    return ink;
  });
}

/** What axe finds on the page as it stands, WCAG 2.2 A and AA and best practice. */
export async function axeFindings(page: Page): Promise<string[]> {
  // What is greyed for the moment in which it is worked out anew is not meant to be read.
  await page.waitForFunction(() => document.querySelector('.answer[aria-busy="true"]') === null);
  await page.evaluate(axe.source);
  return page.evaluate(async () => {
    const { violations } = await (globalThis as unknown as { axe: typeof axe }).axe.run(document, {
      runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
    });
    return violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target.join(' ')).join(', ')}`);
  });
}

/** px the page scrolls sideways, and the targets lower than a finger wants. */
export function fitOf(page: Page): Promise<{ wide: number; small: string[] }> {
  return page.evaluate(() => ({
    wide: document.documentElement.scrollWidth - innerWidth,
    small: [
      ...document.querySelectorAll(
        'button, select, input[type=text], input[type=range], summary, nav a, a.button, textarea',
      ),
    ]
      .filter((e) => e.checkVisibility() && e.getBoundingClientRect().height < 43.5)
      .map((e) => e.outerHTML.slice(0, 80)),
  }));
}
