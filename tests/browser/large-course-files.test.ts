/**
 * A course file too large to be read between two frames: the page answers while it is read, and Stop ends it. Told by the
 * order of what happens on the page, not by a clock.
 */
import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { describeInBrowser } from './harness.ts';
import { chooseRecording } from './large-recording.ts';
import { axeFindings, DESK, fitOf, SMALL, settled } from './looking.ts';

const VIEW = '#/track';

describeInBrowser('a large course file', ({ open }) => {
  test('the page answers keys while it is read, and then shows the course', async () => {
    const { page, expectNoComplaints, close } = await open(VIEW, DESK);
    await openPanel(page);
    await watch(page);
    await chooseRecording(page, 200_000);
    await page.getByLabel('Latitude of the start').press('End');
    await page.keyboard.type('1');
    await expect.poll(() => happened(page), { timeout: 40_000 }).toContain('course');
    expect(await page.locator('.file-facts').textContent()).toMatch(/Closed, \d{3} m long/);
    const order = await happened(page);
    expect(order.indexOf('reading')).toBeGreaterThanOrEqual(0);
    expect(order.indexOf('places')).toBeGreaterThan(order.indexOf('reading'));
    // The key was answered between the beginning and the end of the reading.
    expect(order.indexOf('typed')).toBeGreaterThan(order.indexOf('reading'));
    expect(order.indexOf('read')).toBeGreaterThan(order.indexOf('typed'));
    expect(order.indexOf('course')).toBeGreaterThan(order.indexOf('read'));
    expectNoComplaints();
    await close();
  });

  test('Stop ends the reading; nothing comes of it, and another file can be chosen', async () => {
    const { page, expectNoComplaints, close } = await open(VIEW, SMALL);
    await openPanel(page);
    await watch(page);
    // Some 45 MB: seconds of reading on any machine.
    await chooseRecording(page, 400_000);
    await page.getByText(/thousand places so far/).waitFor();
    const { wide, small } = await fitOf(page);
    expect({ wide, small }).toEqual({ wide: 0, small: [] });
    expect(await axeFindings(page)).toEqual([]);
    await page.getByRole('button', { name: 'Stop', exact: true }).focus();
    await page.keyboard.press('Enter');
    await page.getByText('Stopped: evening.gpx was not read to its end; the project is as it was.').waitFor();
    // The keyboard is where another file is chosen.
    expect(await page.evaluate(() => (document.activeElement as HTMLInputElement | null)?.type)).toBe('file');
    const reading = () => page.workers().filter((worker) => worker.url().includes('course-worker')).length;
    await expect.poll(reading).toBe(0);
    await chooseRecording(page, 2000);
    await expect.poll(() => happened(page), { timeout: 40_000 }).toContain('course');
    const order = await happened(page);
    expect(order.indexOf('stopped')).toBeGreaterThan(order.indexOf('reading'));
    expect(order.slice(0, order.indexOf('stopped'))).not.toContain('read');
    expectNoComplaints();
    await close();
  });

  test('spoilt at its end it is refused with the line', async () => {
    const { page, expectNoComplaints, close } = await open(VIEW, DESK);
    await openPanel(page);
    const says = () => page.locator('.file-result').textContent();
    await chooseRecording(page, 50_000, '<trkpt lat="95" lon="8"/>');
    await expect.poll(says, { timeout: 40_000 }).toMatch(/no such latitude \(95\).*line 50001, column/s);
    expectNoComplaints();
    await close();
  });
});

async function openPanel(page: Page): Promise<void> {
  await settled(page);
  await page.getByText('Take a course from a file, or save this one').click();
  await page.getByText('Choose a course file').waitFor();
}

/** Notes, in their order, what the page shows and when a typed key was answered. */
async function watch(page: Page): Promise<void> {
  await page.evaluate(() => {
    const log: string[] = [];
    (globalThis as unknown as { happened: string[] }).happened = log;
    const note = (what: string): void => {
      if (log.at(-1) !== what) log.push(what);
    };
    const look = (): void => {
      const said = document.querySelector('.track-files [role=status]')?.textContent ?? '';
      if (said.startsWith('Reading')) note('reading');
      if (said.startsWith('Stopped')) note('stopped');
      if (/\d/.test(document.querySelector('.file-so-far')?.textContent ?? '')) note('places');
      if (document.querySelector('.file-result') !== null) note('read');
      if (/m long/.test(document.querySelector('.file-facts')?.textContent ?? '')) note('course');
    };
    new MutationObserver(look).observe(document.body, {
      subtree: true,
      childList: true,
      characterData: true,
    });
    // Answered is what has been painted.
    document.addEventListener('input', () => requestAnimationFrame(() => setTimeout(() => note('typed'))));
  });
}

function happened(page: Page): Promise<readonly string[]> {
  return page.evaluate(() => (globalThis as unknown as { happened: string[] }).happened);
}
