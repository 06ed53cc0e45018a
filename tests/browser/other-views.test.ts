/** What carries the answers and what is made of them, in a real browser: kart, track, day, paper, evidence, project. */
import { expect, test } from 'vitest';
import { describeInBrowser } from './harness.ts';
import { answer, axeFindings, DESK, fitOf, PHONE, SMALL, settled } from './looking.ts';

const VIEWS = ['kart', 'track', 'day', 'paper', 'evidence', 'project'] as const;

describeInBrowser('other views', ({ open }) => {
  for (const [name, size] of [
    ['desktop', DESK],
    ['390 px', PHONE],
    ['360 px', SMALL],
  ] as const) {
    test(`at ${name} each fits, is clean for axe and complains of nothing`, async () => {
      const { page, expectNoComplaints, close } = await open('', size);
      for (const view of VIEWS) {
        await page.evaluate((to) => {
          location.hash = `#/${to}`;
        }, view);
        await expect.poll(() => page.locator('main h2').count(), { timeout: 10_000 }).toBeGreaterThan(0);
        await expect.poll(() => page.getByText('One moment …').count()).toBe(0);
        if (view === 'evidence')
          await expect
            .poll(() => page.locator('#evidence-sentence').textContent(), { timeout: 20_000 })
            .toMatch(/compared/);
        const { wide, small } = await fitOf(page);
        expect({ view, wide, small: size === DESK ? [] : small }).toEqual({ view, wide: 0, small: [] });
        if (size !== SMALL) expect({ view, found: await axeFindings(page) }).toEqual({ view, found: [] });
      }
      expect(await page.getByText(/NaN|undefined|Infinity/).count()).toBe(0);
      expectNoComplaints();
      await close();
    });
  }

  test('the outside checks agree in this browser too, line by line', async () => {
    const { page, expectNoComplaints, close } = await open('#/evidence', DESK);
    await expect
      .poll(() => page.locator('#evidence-sentence').textContent(), { timeout: 20_000 })
      .toMatch(/^\d{3} figures compared in \d\d checks: all agree\.$/);
    const first = page.locator('.check').first();
    await first.locator('summary').click();
    expect(await first.textContent()).toMatch(/Source: .+expected.*worked out here/);
    expect(await first.locator('tbody tr').first().textContent()).toMatch(/agrees$/);
    await page.getByText(/^Every quantity a project may hold/).click();
    await expect.poll(() => page.locator('.check').last().locator('tbody tr').count()).toBeGreaterThan(70);
    expectNoComplaints();
    await close();
  });

  for (const [format, mm] of [
    ['A4', '210 x 297'],
    ['Letter', '216 x 279'],
  ] as const)
    test(`the sheet prints on one side of ${format} (${mm} mm), for every kart on every kind of track`, async () => {
      const { page, close } = await open('#/paper', DESK);
      await settled(page);
      let changes = 0;
      for (const [kart, track] of [
        ['Clodlet, four, knobbly', 'Tansy Hollow'],
        ['Clodlet, four, asphalt', 'Brindlequag Works'],
        ['Clodlet, twin, knobbly', 'Fettlebrow'],
      ] as const) {
        await page.getByLabel('Kart', { exact: true }).selectOption({ label: kart });
        await page.getByLabel('Track', { exact: true }).selectOption({ label: track });
        changes += 1;
        await expect.poll(() => page.locator('.sheet h2').textContent()).toBe(`${kart} at ${track}`);
        await settled(page, changes);
        await expect
          .poll(() => page.locator('.guesses').textContent(), { timeout: 30_000 })
          .toMatch(/: the lap (give or take|up to|[\d.]+\ss quicker)/);
        const pdf = await page.pdf({ format, preferCSSPageSize: false });
        const pages = pdf.toString('latin1').match(/\/Type\s*\/Page[^s]/g)?.length;
        expect({ kart, pages }).toEqual({ kart, pages: 1 });
      }
      expect(await page.locator('.sheet').textContent()).toMatch(
        /Belt.*The belt changes the ratio by itself: from \d.*above \d+\skm\/h.*either end of the belt.*lowest ratio.*Brakes as set.*the balance bar at \d+\s%\..*No marks for the knob yet: press “Try every setting”.*speed by place.*Brakes.*not measured.*on asphalt.*Notes of the day/s,
      );
      await close();
    });

  test('the sheet has the marks for the knob once every setting has been tried, still on one side', async () => {
    const { page, close } = await open('#/stop', DESK);
    await settled(page);
    await page.getByRole('button', { name: 'Try every setting' }).click();
    const card = page.locator('section[aria-labelledby="settings-title"]');
    await expect.poll(() => card.textContent(), { timeout: 60_000 }).toMatch(/Two marks for the knob/);
    await expect
      .poll(() => card.getByRole('button', { name: 'Stop', exact: true }).count(), { timeout: 60_000 })
      .toBe(0);
    await page.evaluate(() => {
      location.hash = '#/paper';
    });
    const gears = page.locator('section[aria-labelledby="paper-gears"]');
    await expect
      .poll(() => gears.textContent(), { timeout: 30_000 })
      .toMatch(
        /Set: \d+\s% of the braking force in front, the balance bar at \d+\s%\.Marks for the knob, at the bar, clutch in only: \d+\s% ± \d+ for loose clay, \d+\s% ± \d+ for asphalt\./,
      );
    await page.locator('.guesses').waitFor({ timeout: 30_000 });
    for (const format of ['A4', 'Letter']) {
      const pdf = await page.pdf({ format, preferCSSPageSize: false });
      expect(pdf.toString('latin1').match(/\/Type\s*\/Page[^s]/g)?.length, format).toBe(1);
    }
    await close();
  });

  test('a part is duplicated, compared, deleted where nothing needs it, and brought back', async () => {
    const { page, expectNoComplaints, close } = await open('#/kart', DESK);
    await settled(page);
    const donor = page.locator('.part', { hasText: /^Donor/ });
    await donor.locator('summary').first().click();
    expect(await donor.getByRole('button', { name: /^Delete Four/ }).isDisabled()).toBe(true);
    expect(await donor.textContent()).toMatch(/Cannot go while Clodlet, four/);
    await donor.getByRole('button', { name: /^Duplicate Four/ }).click();
    await expect.poll(() => donor.locator('summary').first().textContent()).toMatch(/\(2\)$/);
    await donor.getByRole('textbox', { name: 'Rev limiter' }).fill('12000 rpm');
    await donor.getByLabel('Compare with').selectOption({ label: 'Four (four cylinders)' });
    await expect
      .poll(() => donor.locator('table').last().textContent())
      .toMatch(/rev limiter12000 rpm.*14000 rpm/);
    await donor.getByLabel('Donor in place').selectOption({ label: 'Four (four cylinders)' });
    await donor.getByLabel('Donor in place').selectOption({ label: 'Single (one cylinder)' });
    await expect.poll(() => donor.locator('summary').first().textContent()).toMatch(/Single/);
    for (let i = 0; i < 3; i++) await page.getByRole('button', { name: /^Undo/ }).click();
    await expect.poll(() => donor.locator('summary').first().textContent()).toMatch(/\(2\)/);
    expectNoComplaints();
    await close();
  });

  test('a field keeps the unit it is written in, echoes the other, and is cleared where it may be', async () => {
    const { page, expectNoComplaints, close } = await open('#/day', DESK);
    await settled(page);
    const temperature = page.getByRole('textbox', { name: 'Air temperature' });
    const says = async () =>
      page.locator(`[id="${await temperature.getAttribute('aria-describedby')}"]`).textContent();
    await temperature.fill('86 °F');
    await temperature.blur();
    expect(await temperature.inputValue()).toBe('86 °F');
    expect(await says()).toBe('= 30 °C');
    await page.getByLabel('Air temperature: unit').selectOption('°C');
    expect(await temperature.inputValue()).toBe('30 °C');
    await temperature.fill('500 °C');
    expect(await says()).toMatch(/out of range.*Still reckoning with 30 °C/);
    await temperature.fill('');
    await temperature.blur();
    await expect.poll(says).toMatch(/not given: 15 °C is taken/);
    await page.getByRole('button', { name: /^Undo/ }).click();
    expect(await temperature.inputValue()).toBe('30 °C');
    expectNoComplaints();
    await close();
  });

  test('a whole question by its names alone, as a screen reader gives them', async () => {
    const { page, close } = await open('#/stop', DESK);
    await settled(page);
    const tree = await page.locator('body').ariaSnapshot();
    const order = [
      /heading "Kartwright" \[level=1\]/,
      /navigation "Questions"/,
      /combobox "Kart"/,
      /heading "Will it stop straight\?" \[level=2\]/,
      /textbox "Stop from"/,
      /paragraph: "?From 60.km\/h on loose clay/,
      /button "Pin this answer"/,
      /form "What goes in"/,
      /slider "Balance bar, front share, slider"/,
      /heading "The four stops" \[level=3\]/,
      /slider "Speed over the stop/,
      /table/,
      /heading "Every setting of the balance" \[level=3\]/,
      /heading "The balance" \[level=3\]/,
      /heading "What the engine takes of the rear" \[level=3\]/,
    ];
    let from = 0;
    for (const part of order) {
      const at = tree.slice(from).search(part);
      expect({ part: String(part), found: at >= 0 }).toEqual({ part: String(part), found: true });
      from += at;
    }
    // Every plot says in a sentence what it shows, and its place by keys.
    for (const plot of await page.getByRole('slider', { name: /: (distance|speed|deceleration)/ }).all()) {
      await plot.focus();
      await page.keyboard.press('ArrowRight');
      expect(await plot.getAttribute('aria-valuetext')).toMatch(/\d/);
    }
    expect(await answer(page)).toMatch(/first|together/);
    await close();
  });

  test('opened at its own address each has its answer: none waits for what another view asks for', async () => {
    for (const view of VIEWS) {
      const { page, expectNoComplaints, close } = await open(`#/${view}`, DESK);
      await page.locator('main h2').first().waitFor();
      await expect
        .poll(() => page.getByText('Working it out …').count(), { timeout: 15_000, message: view })
        .toBe(0);
      expectNoComplaints();
      await close();
    }
  }, 60_000);
});
