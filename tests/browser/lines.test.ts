/** Lines in a real browser: found with a share, stopped with the best so far, kept, driven, and old once the kart changes. */
import { expect, test } from 'vitest';
import { describeInBrowser } from './harness.ts';
import { answer, axeFindings, DESK, settled } from './looking.ts';

const VIEW = '#/track';

describeInBrowser('lines', ({ open }) => {
  test('found, kept with the track as one step, driven, and said to be old when the kart changes much', async () => {
    const { page, expectNoComplaints, close } = await open(VIEW, DESK);
    await settled(page);
    const says = () => page.locator('#lines-sentence').textContent();
    await page.getByRole('button', { name: 'Find the fastest line' }).click();
    await expect.poll(says, { timeout: 50_000 }).toMatch(/^The fastest line: [\d.]+ s, [\d.]+ s quicker/);
    const time = Number(/: ([\d.]+) s/.exec((await says()) ?? '')?.[1]);
    expect(await page.locator('section[aria-label="Lines of the track"]').textContent()).toMatch(
      /as drawn.*smoothest.*fastest/s,
    );
    expect(await axeFindings(page)).toEqual([]);
    await page.getByRole('button', { name: 'Keep these lines with the track' }).click();
    await expect
      .poll(() => page.locator('.kept-lines').textContent())
      .toMatch(/fastest for .*It holds for the kart in view/);
    await page.evaluate(() => {
      location.hash = '#/how-quick';
    });
    const drawn = await answer(page);
    await page.getByLabel('Line', { exact: true }).selectOption('fastest');
    await expect.poll(() => answer(page)).not.toBe(drawn);
    const driven = Number(/([\d.]+)\ss/.exec(await answer(page))?.[1]);
    // The headline shows tenths.
    expect(Math.abs(driven - time)).toBeLessThan(0.06);
    // Every answer that rests on its laps names the line.
    expect(await answer(page)).toMatch(/on the fastest line\.$/);
    for (const [view, named] of [
      ['paper', / for a flying lap on the fastest line\./],
      ['rules', /Laps are driven on the fastest line kept with /],
      ['unknowns', /Laps are driven on the fastest line kept with /],
    ] as const) {
      await page.evaluate((hash) => {
        location.hash = hash;
      }, `#/${view}`);
      await expect.poll(() => page.locator('main').textContent(), { timeout: 30_000 }).toMatch(named);
    }
    await page.evaluate(() => {
      location.hash = '#/how-quick';
    });
    await page.getByLabel('Driver with kit').fill('120 kg');
    await page.evaluate(() => {
      location.hash = '#/track';
    });
    await expect
      .poll(() => page.locator('.kept-lines').textContent())
      .toMatch(/Old: .* has changed by \d+ %/);
    // So are the lines that are still shown: they are not offered to be kept again.
    expect(await says()).toMatch(/^Found before the kart or the day changed: find them again\./);
    expect(await page.getByRole('button', { name: 'Keep these lines with the track' }).count()).toBe(0);
    expect(await page.locator('.found-lines.stale.kept').count()).toBe(1);
    expectNoComplaints();
    await close();
  }, 90_000);

  test('stopped it keeps the best so far', async () => {
    const { page, expectNoComplaints, close } = await open(VIEW, DESK);
    await settled(page);
    await page.getByRole('button', { name: 'Find the fastest line' }).click();
    await expect
      .poll(() => page.locator('section[aria-label="Lines of the track"]').count(), { timeout: 30_000 })
      .toBe(1);
    const stop = page.getByRole('button', { name: 'Stop, keep the best so far' });
    if ((await stop.count()) > 0) await stop.click();
    await expect
      .poll(() => page.locator('#lines-sentence').textContent())
      .toMatch(/quicker than the line as drawn/);
    await expect
      .poll(() => page.getByRole('button', { name: 'Keep these lines with the track' }).count())
      .toBe(1);
    expectNoComplaints();
    await close();
  });
});
