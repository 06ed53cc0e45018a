/** Tables on a telephone: a figure cut off at the edge of the screen would be read as another figure. */
import { expect, test } from 'vitest';
import { describeInBrowser } from './harness.ts';
import { axeFindings, DESK, SMALL } from './looking.ts';

/** Compared across as well as down, these are moved along with a finger. */
const KEEPS_COLUMNS = /^Pairs on |^Road speed in each |: the numbers$|on paper$/;

describeInBrowser('tables on a telephone', ({ open }) => {
  test.each(['engine', 'unknowns', 'stop', 'shift'])(
    '%s: no cell lies beyond the edge; each figure stands beside what it is',
    async (view) => {
      const { page, expectNoComplaints, close } = await open(`#/${view}`, SMALL);
      await expect
        .poll(() => page.locator('.table-frame.stacked').count(), { timeout: 40_000 })
        .toBeGreaterThan(0);
      await expect
        .poll(() => page.getByRole('button', { name: 'Stop', exact: true }).count(), { timeout: 60_000 })
        .toBe(0);
      const beyond = await page
        .locator('.table-frame')
        .evaluateAll((frames) =>
          frames.flatMap((frame) =>
            frame.scrollWidth > frame.clientWidth + 1 ? [frame.getAttribute('aria-label') ?? ''] : [],
          ),
        );
      expect(beyond.filter((label) => !KEEPS_COLUMNS.test(label))).toEqual([]);
      const cell = page.locator('.table-frame.stacked td:not(:empty)').first();
      const head = await cell.getAttribute('data-head');
      expect(head).toBeTruthy();
      expect(await cell.evaluate((td) => getComputedStyle(td, '::before').content)).toBe(
        JSON.stringify(head),
      );
      // A table to a screen reader still.
      expect(
        await page.locator('.table-frame.stacked').first().getByRole('columnheader').count(),
      ).toBeGreaterThan(1);
      expect(await axeFindings(page)).toEqual([]);
      expectNoComplaints();
      await close();
    },
    90_000,
  );

  test('a wider screen has its columns back, and so has a telephone turned on its side', async () => {
    const { page, expectNoComplaints, close } = await open('#/engine', SMALL);
    const stacked = () => page.locator('.table-frame.stacked').count();
    await expect.poll(stacked, { timeout: 40_000 }).toBeGreaterThan(0);
    await page.setViewportSize(DESK.viewport);
    await expect.poll(stacked).toBe(0);
    await page.setViewportSize(SMALL.viewport);
    await expect.poll(stacked).toBeGreaterThan(0);
    expectNoComplaints();
    await close();
  });
});
