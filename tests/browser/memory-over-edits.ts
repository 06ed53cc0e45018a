/** What a page keeps in memory over many edits: its heap and the columns of numbers outside it, garbage taken out. */
import type { Page } from 'playwright-core';

/** MB after `warmUp` edits and after `edits` more; each one press on a sprocket, in one gesture. */
export async function memoryOverEdits(
  page: Page,
  warmUp: number,
  edits: number,
): Promise<{ before: number; after: number }> {
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
    await page.waitForTimeout(1500);
    await page.evaluate(() => performance.clearMeasures());
    await chrome.send('HeapProfiler.collectGarbage');
    const heap = (await chrome.send('Runtime.getHeapUsage')) as {
      usedSize: number;
      backingStorageSize: number;
    };
    return (heap.usedSize + heap.backingStorageSize) / 1e6;
  };
  await edit(warmUp);
  const before = await megabytes();
  await edit(edits);
  return { before, after: await megabytes() };
}
