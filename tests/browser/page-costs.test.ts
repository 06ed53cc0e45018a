/** What the page keeps in memory and what a first visit must fetch: both grow unseen. */
import { expect, test } from 'vitest';
import { firstLoadSize } from './first-load.ts';
import { describeInBrowser, pageAddress } from './harness.ts';
import { DESK } from './looking.ts';
import { memoryOverEdits } from './memory-over-edits.ts';

describeInBrowser('what the page costs', ({ open, openBlank }) => {
  test('edits leave nothing behind but their steps to undo', async () => {
    const { page, close } = await open('', DESK);
    await page.waitForFunction(() => performance.getEntriesByName('kartwright:all', 'measure').length > 0);
    const { before, after } = await memoryOverEdits(page, 50, 100);
    // Kept by an old drawing, each of the hundred would be 0.65 MB; a step to undo is under 2 kB.
    expect(after - before).toBeLessThan(6);
    await close();
  });

  test('the first answer comes with less than 250 kB, compressed', async () => {
    const { page, close } = await openBlank({ ...DESK, serviceWorkers: 'block' });
    const size = await firstLoadSize(page, pageAddress());
    // Less would mean that something was not counted: the plots alone are 50 kB.
    expect(size).toBeGreaterThan(150);
    expect(size).toBeLessThan(250);
    await close();
  });
});
