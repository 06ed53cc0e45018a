/** The decisions in a real browser: which teeth, which engine, what is not known, every setting of the brakes. */
import { expect, test } from 'vitest';
import { describeInBrowser } from './harness.ts';
import { axeFindings, DESK, fitOf, PHONE, settled } from './looking.ts';

describeInBrowser('studies', ({ open }) => {
  test('which teeth: the best pair and its near-ties, fitted by a press, for one track and for all', async () => {
    const { page, expectNoComplaints, close } = await open('#/teeth', DESK);
    await page.getByLabel('Track', { exact: true }).selectOption({ label: 'Brindlequag Works' });
    const says = () => page.locator('#study-sentence').textContent();
    await expect
      .poll(says, { timeout: 40_000 })
      .toMatch(/^On Brindlequag Works (fit|keep) \d+\/\d+.*: [\d.]+\ss/);
    await expect
      .poll(() => page.getByRole('button', { name: 'Stop', exact: true }).count(), { timeout: 40_000 })
      .toBe(0);
    expect(await page.locator('table').first().textContent()).toMatch(/best/);
    expect(await axeFindings(page)).toEqual([]);
    const pair = /(?:fit|keep) (\d+)\/(\d+)/.exec((await says()) ?? '');
    const fit = page.getByRole('button', { name: /^Fit / });
    if ((await fit.count()) > 0) {
      await fit.click();
      await expect.poll(says, { timeout: 40_000 }).toMatch(/which is fitted/);
      await page.evaluate(() => {
        location.hash = '#/how-quick';
      });
      await expect
        .poll(() => page.getByRole('textbox', { name: 'Rear sprocket' }).inputValue())
        .toBe(pair?.[2]);
      await page.goBack();
    }
    await page.getByLabel('For', { exact: true }).selectOption('everywhere');
    await expect.poll(says, { timeout: 60_000 }).toMatch(/^For all \d tracks at once fit \d+\/\d+/);
    expectNoComplaints();
    await close();
  });

  test('which engine: each donor at its own best drive, how sure, where it arises, what small changes are worth', async () => {
    const { page, expectNoComplaints, close } = await open('#/engine', DESK);
    await page.getByLabel('Track', { exact: true }).selectOption({ label: 'Brindlequag Works' });
    const says = () => page.locator('#study-sentence').textContent();
    await expect
      .poll(says, { timeout: 60_000 })
      .toMatch(/^Against Four .*Single .*(quicker|slower) on Brindlequag Works/);
    await expect
      .poll(() => page.getByRole('button', { name: 'Stop', exact: true }).count(), { timeout: 60_000 })
      .toBe(0);
    expect(await says()).toMatch(/decided|likely|too close to call/);
    expect(await page.locator('#engine-what-if').locator('..').textContent()).toMatch(
      /10 kg off the frame.*10 hp more/,
    );
    expect(await page.locator('.plot-title').first().textContent()).toMatch(/^Time lost to Four/);
    expect(await axeFindings(page)).toEqual([]);
    expect(await page.getByText(/NaN|undefined|Infinity/).count()).toBe(0);
    expectNoComplaints();
    await close();
  });

  test('what is not known: the interval, a comparison on the same draws, what to measure first; on a phone', async () => {
    const { page, expectNoComplaints, close } = await open('#/unknowns', PHONE);
    const says = () => page.locator('#study-sentence').textContent();
    await expect
      .poll(says, { timeout: 60_000 })
      .toMatch(/nine times in ten the lap time lies between [\d.]+\ss and/);
    await page.getByLabel('Compared with').selectOption({ label: 'Clodlet, single, knobbly' });
    await expect
      .poll(() => page.locator('.study .headline').textContent(), { timeout: 60_000 })
      .toMatch(
        /(beats|is ahead of) .* in (over )?\d+\s% of the draws.*: (decided|likely|too close to call)\..*Measure first: /s,
      );
    const { wide, small } = await fitOf(page);
    expect({ wide, small }).toEqual({ wide: 0, small: [] });
    expect(await axeFindings(page)).toEqual([]);
    expectNoComplaints();
    await close();
  });

  test('every setting of the brakes: one that serves both grounds, the marks for the knob', async () => {
    const { page, expectNoComplaints, close } = await open('#/stop', DESK);
    await settled(page);
    await page.getByRole('button', { name: 'Try every setting' }).click();
    const card = page.locator('section[aria-labelledby="settings-title"]');
    await expect
      .poll(() => card.textContent(), { timeout: 60_000 })
      .toMatch(
        /serves loose clay and asphalt at once: it gives away [\d.]+ m on loose clay and [\d.]+ m on asphalt/,
      );
    await expect
      .poll(() => card.getByRole('button', { name: 'Stop', exact: true }).count(), { timeout: 60_000 })
      .toBe(0);
    expect(await card.textContent()).toMatch(/Two marks for the knob: \d+\s% at the bar for loose clay/);
    expect(await axeFindings(page)).toEqual([]);
    expectNoComplaints();
    await close();
  });
});
