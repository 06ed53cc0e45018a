/** Tables on a telephone: a figure cut off at the edge of the screen would be read as another figure. */
import { expect, test } from 'vitest';
import { describeInBrowser } from './harness.ts';
import { axeFindings, DESK, SMALL } from './looking.ts';

/** Compared across as well as down, these are moved along with a finger. */
const KEEPS_COLUMNS = /^Pairs on |^Road speed in each |: the numbers$|on paper$/;

describeInBrowser('tables on a telephone', ({ open }) => {
  test.each(['engine', 'stop', 'shift'])(
    '%s: no cell lies beyond the edge; each figure stands beside what it is',
    async (view) => {
      const { page, expectNoComplaints, close } = await open(`#/${view}`, SMALL);
      await expect
        .poll(() => page.locator('.table-frame.stacked').count(), { timeout: 40_000 })
        .toBeGreaterThan(0);
      await expect
        .poll(() => page.getByRole('button', { name: 'Stop', exact: true }).count(), { timeout: 60_000 })
        .toBe(0);
      const beyond = () =>
        page
          .locator('.table-frame')
          .evaluateAll((frames) =>
            frames.flatMap((frame) =>
              frame.scrollWidth > frame.clientWidth + 1 ? [frame.getAttribute('aria-label') ?? ''] : [],
            ),
          );
      // Answers still come in, and a table is measured anew with each.
      await expect
        .poll(async () => (await beyond()).filter((label) => !KEEPS_COLUMNS.test(label)))
        .toEqual([]);
      const cell = page.locator('.row-by-row td:not(:empty)').first();
      const head = await cell.getAttribute('data-head');
      expect(head?.length).toBeGreaterThan(0);
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

  test('what rows are compared by stays in columns; the rest is told below, row by row, when asked for', async () => {
    const { page, expectNoComplaints, close } = await open('#/teeth', SMALL);
    const pairs = page.getByRole('region', { name: /^The best pairs on / });
    await expect.poll(() => pairs.locator('.behind').count(), { timeout: 40_000 }).toBe(1);
    expect(await pairs.locator('table').first().locator('thead th').allTextContents()).toEqual([
      'pair',
      'lap',
      'behind',
      'yours',
    ]);
    const { right, edge } = await pairs
      .locator('table')
      .first()
      .evaluate((table) => ({
        right: table.getBoundingClientRect().right,
        edge: table.parentElement!.getBoundingClientRect().right,
      }));
    expect(right).toBeLessThanOrEqual(edge + 1);
    await pairs.locator('summary').click();
    const speeds = pairs.getByRole('cell', { name: 'm/s' }).first();
    expect(await speeds.isVisible()).toBe(true);
    // The study goes on beside it: figures change, and what was opened stays open.
    await expect
      .poll(() => page.getByRole('button', { name: 'Stop', exact: true }).count(), { timeout: 40_000 })
      .toBe(0);
    expect(await speeds.isVisible()).toBe(true);
    expectNoComplaints();
    await close();
  }, 60_000);

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
