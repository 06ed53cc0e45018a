/** Rules of thumb in a real browser: worked out with a count, stopped, asked again, for another kart. */
import { expect, test } from 'vitest';
import { describeInBrowser } from './harness.ts';
import { axeFindings, DESK, fitOf, PHONE } from './looking.ts';

describeInBrowser('rules of thumb', ({ open }) => {
  test('every rule gets a verdict, a sentence and its numbers; another kart gets its own', async () => {
    const { page, expectNoComplaints, close } = await open('#/rules', DESK);
    const says = () => page.locator('#rules-sentence').textContent();
    await expect.poll(says, { timeout: 30_000 }).toMatch(/^Of 6 rules \d/);
    await expect.poll(() => page.getByRole('button', { name: 'Stop', exact: true }).count()).toBe(0);
    expect(await page.locator('.rule').count()).toBe(6);
    const before = await page.locator('.rules').textContent();
    await page.locator('.rule .behind summary').first().click();
    expect(await page.locator('.rule table').first().textContent()).toMatch(/peak torque.*N·m/);
    expect(await axeFindings(page)).toEqual([]);
    await page.getByLabel('Kart', { exact: true }).selectOption({ label: 'Clodlet, single, asphalt' });
    await expect.poll(() => page.locator('.rules').textContent(), { timeout: 30_000 }).not.toBe(before);
    expect(await page.getByText(/NaN|undefined|Infinity/).count()).toBe(0);
    expectNoComplaints();
    await close();
  });

  test('stopped it says so, and goes on when asked; it fits a phone', async () => {
    const { page, expectNoComplaints, close } = await open('#/rules', PHONE);
    await page.getByRole('button', { name: 'Stop', exact: true }).click({ timeout: 10_000 });
    await expect
      .poll(() => page.locator('.study-progress').textContent())
      .toMatch(/Stopped, (with \d+ of 6\d runs|before the first of the runs)\./);
    await page.getByRole('button', { name: 'Go on' }).click();
    await expect
      .poll(() => page.locator('#rules-sentence').textContent(), { timeout: 40_000 })
      .toMatch(/^Of 6 rules/);
    const { wide, small } = await fitOf(page);
    expect({ wide, small }).toEqual({ wide: 0, small: [] });
    expectNoComplaints();
    await close();
  });
});
