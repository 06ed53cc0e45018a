/** What the page keeps in memory and what a first visit must fetch: both grow unseen. */
import { expect, test } from 'vitest';
import { firstLoadSize } from './first-load.ts';
import { describeInBrowser, pageAddress } from './harness.ts';
import { DESK } from './looking.ts';

describeInBrowser('what the page costs', ({ open, openBlank }) => {
  test('edits leave nothing behind but their steps to undo', async () => {
    const { page, close } = await open('', DESK);
    await page.waitForFunction(() => performance.getEntriesByName('kartwright:all', 'measure').length > 0);
    const chrome = await page.context().newCDPSession(page);
    const edit = (count: number): Promise<void> =>
      page.evaluate(async (n) => {
        for (let i = 0; i < n; i++) {
          const way = i % 2 === 0 ? 'less' : 'more';
          document.querySelector<HTMLElement>(`[aria-label="Rear sprocket: one tooth ${way}"]`)?.click();
          await new Promise((resolve) => requestAnimationFrame(resolve));
        }
      }, count);
    const megabytes = async (): Promise<number> => {
      await page.waitForTimeout(1000);
      await page.evaluate(() => performance.clearMeasures());
      await chrome.send('HeapProfiler.collectGarbage');
      const heap = (await chrome.send('Runtime.getHeapUsage')) as {
        usedSize: number;
        backingStorageSize: number;
      };
      return (heap.usedSize + heap.backingStorageSize) / 1e6;
    };
    await edit(50);
    const before = await megabytes();
    await edit(100);
    const after = await megabytes();
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
