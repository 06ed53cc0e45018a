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
    await expect.poll(says, { timeout: 60_000 }).toMatch(/^For all \d tracks at once (fit|keep) \d+\/\d+/);
    await page.getByLabel('For', { exact: true }).selectOption('some');
    await page.getByRole('checkbox', { name: 'Fettlebrow' }).check();
    await expect.poll(says, { timeout: 40_000 }).toMatch(/^For all 2 tracks at once (fit|keep)/);
    expectNoComplaints();
    await close();
  });

  test('a study of a state that two steps at once have led to is a study of that state', async () => {
    const { page, expectNoComplaints, close } = await open('#/how-quick', DESK);
    await settled(page);
    const show = (view: string): Promise<void> =>
      page.evaluate((name) => {
        location.hash = `#/${name}`;
      }, view);
    const says = () => page.locator('#study-sentence').textContent();
    const said: (string | undefined)[] = [];
    for (const mass of ['70 kg', '110 kg', '150 kg']) {
      const field = page.getByLabel('Driver with kit');
      await field.fill(mass);
      // One stay in a field is one step.
      await field.blur();
      await settled(page);
      said.push(/[\d.]+\ss/.exec((await page.locator('#answer-sentence').textContent()) ?? '')?.[0]);
    }
    expect(new Set(said).size).toBe(3);
    await show('teeth');
    const fitted = async () => /fitted, ([\d.]+\ss)/.exec((await says()) ?? '')?.[1];
    await expect.poll(fitted, { timeout: 40_000 }).toBe(said[2]);
    // The second step comes before the page has been drawn for the first.
    await page.evaluate(async () => {
      const undo = () =>
        document.body.dispatchEvent(
          new KeyboardEvent('keydown', { key: 'z', ctrlKey: true, bubbles: true, cancelable: true }),
        );
      undo();
      await new Promise((resolve) => {
        const { port1, port2 } = new MessageChannel();
        port1.onmessage = resolve;
        port2.postMessage(undefined);
      });
      undo();
    });
    await expect.poll(fitted, { timeout: 20_000 }).toBe(said[0]);
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
      .poll(says, { timeout: 60_000 })
      .toMatch(
        /(beats|is ahead of) .* in (over )?\d+\s% of the draws, by .* \(nine in ten between .*\): (decided|likely|too close to call)\. (Most likely to settle it|No measurement listed here would settle it|Nothing need be measured)/,
      );
    // A comparison is answered as one: the intervals of each kart stand below it.
    expect(await says()).not.toMatch(/nine times in ten/);
    await expect
      .poll(() => page.getByRole('button', { name: 'Stop', exact: true }).count(), { timeout: 60_000 })
      .toBe(0);
    const blame = page.locator('section[aria-labelledby="unknowns-variance-2"]');
    expect(await blame.textContent()).toMatch(
      /of the doubt, by itself.*the driver of both karts: .*What to measure first.*To blame, but not to be measured by itself:/s,
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
        /One setting, clutch in, on loose clay and asphalt: .* gives away .*\sm on loose clay and .*\sm on asphalt/,
      );
    await expect
      .poll(() => card.getByRole('button', { name: 'Stop', exact: true }).count(), { timeout: 60_000 })
      .toBe(0);
    const says = await card.textContent();
    expect(says).toMatch(/good for stops with the clutch in only: \d+\s% at the bar .* for loose clay/);
    expect(says).toMatch(/Beware: left in gear the rear locks first/);
    expect(says).toMatch(/One setting, clutch in or in gear \d, on loose clay and asphalt/);
    expect(says).toMatch(/found by braking tests from walking pace up/);
    const bend = card.getByRole('region', { name: /^In a bend at 70 % of the side grip/ });
    expect(await bend.textContent()).toMatch(/any share.*dip the clutch/);
    // One answer for one setting: the panel gives way to what the study found.
    const panel = page.getByRole('group', { name: 'Brakes front to rear' });
    await expect.poll(() => panel.textContent()).toMatch(/stops shortest of all settings tried/);
    const best = /In gear 1, on [\w ]+: .*?\((\d+)\s% of the force\) stops/.exec(
      (await panel.textContent()) ?? '',
    )?.[1];
    const ground = (await panel.textContent())!.includes('loose clay') ? 'Loose clay' : 'Asphalt';
    const row = card.locator('tr', { hasText: ground }).filter({ hasText: 'in gear 1' }).first();
    expect(await row.textContent()).toContain(`${best}\u00a0%`);
    expect(await axeFindings(page)).toEqual([]);
    expectNoComplaints();
    await close();
  });
});
