/**
 * The kart's editors in a real browser: torque table, pasted sheet, traced picture, gears, worksheets, duplicating and
 * deleting parts. Every sheet and reading is invented.
 */
import type { Locator, Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { describeInBrowser } from './harness.ts';
import { axeFindings, DESK, fitOf, PHONE, settled } from './looking.ts';

const SHEET =
  'Run 7\nEngine speed;Torque;AFR\n1/min;lb-ft;\n3.000;25,1;13,1\n5.600;32,4;12,8\n4.200;28,8;12,9';

function card(page: Page, role: string): Locator {
  return page.locator('details.part').filter({ has: page.locator('.part-role', { hasText: role }) });
}

async function openCard(page: Page, role: string): Promise<Locator> {
  const found = card(page, role).first();
  await found.locator('summary').first().click();
  return found;
}

/** Opens a tool of a card by its summary. */
async function openTool(within: Locator, summary: RegExp): Promise<Locator> {
  const tool = within
    .locator('details.tool')
    .filter({ has: within.page().locator('summary', { hasText: summary }) })
    .first();
  await tool.locator('summary').first().click();
  return tool;
}

async function rowsOf(curve: Locator): Promise<[string, string][]> {
  const cells = await curve
    .locator('.curve-both tbody tr:not(.new-point) input')
    .evaluateAll((inputs) => inputs.map((input) => (input as HTMLInputElement).value));
  return Array.from({ length: cells.length / 2 }, (_, i) => [cells[2 * i]!, cells[2 * i + 1]!]);
}

function undo(page: Page): Promise<void> {
  return page.getByRole('button', { name: /^Undo/ }).click();
}

describeInBrowser('kart editing', ({ open }) => {
  test('a pasted sheet is guessed, shown, confirmed and undone in one step', async () => {
    const { page, expectNoComplaints, close } = await open('#/kart', DESK);
    await settled(page);
    const curve = (await openCard(page, 'Donor')).locator('.curve').first();
    const before = await rowsOf(curve);
    const tool = await openTool(curve, /^Paste a sheet/);
    await tool.getByLabel('Rows of the sheet, with their headings').fill(SHEET);
    const use = tool.getByRole('button', { name: 'Use these 3 points' });
    expect(await tool.getByLabel('“Engine speed 1/min” is').inputValue()).toBe('engine speed');
    expect(await tool.getByLabel('“Torque lb-ft” is').inputValue()).toBe('torque');
    expect(await tool.getByLabel('in', { exact: true }).nth(1).inputValue()).toBe('lbf·ft');
    expect(await tool.getByLabel('“AFR” is').inputValue()).toBe('leave out');
    expect(await tool.getByLabel('Decimals are marked by').inputValue()).toBe(',');
    expect(await tool.textContent()).toContain('Rows were not in order of engine speed: sorted');
    // Nothing is changed by looking.
    expect(await rowsOf(curve)).toEqual(before);
    // Road speed is no engine speed: refused with the reason, and put right again.
    await tool.getByLabel('“Engine speed 1/min” is').selectOption('road speed');
    expect(await tool.locator('.refused').textContent()).toMatch(/depends on the gear, the tyres/);
    await tool.getByLabel('“Engine speed 1/min” is').selectOption('engine speed');
    await tool.getByLabel('in', { exact: true }).nth(1).selectOption('lbf·ft');
    await use.click();
    expect(await rowsOf(curve)).toEqual([
      ['3000', '25.1'],
      ['5600', '32.4'],
      ['4200', '28.8'],
    ]);
    expect(await curve.getByLabel('Torque or power in').first().inputValue()).toBe('lbf·ft');
    await undo(page);
    expect(await rowsOf(curve)).toEqual(before);
    expect(await page.getByRole('button', { name: /^Undo/ }).isDisabled()).toBe(true);
    // The same from a file, with a unit on the phone's side of the trade.
    await tool.locator('input[type=file]').setInputFiles({
      name: 'run.csv',
      mimeType: 'text/csv',
      buffer: Buffer.from('rpm,PS\n4000,20.5\n8000,51\n'),
    });
    await tool.getByRole('button', { name: 'Use these 2 points' }).click();
    expect(await curve.getByLabel('Torque or power in').first().inputValue()).toBe('PS');
    expectNoComplaints();
    await close();
  });

  test('a cell: one stay is one step, Enter goes down, a refusal keeps what was typed and says the limit', async () => {
    const { page, expectNoComplaints, close } = await open('#/kart', DESK);
    await settled(page);
    const curve = (await openCard(page, 'Donor')).locator('.curve').first();
    const amounts = () => page.locator('section:has(#kart-title)').textContent();
    const was = await amounts();
    await curve.getByLabel('Torque, row 7').fill('60 lbf·ft');
    await page.keyboard.press('Enter');
    expect(await curve.getByLabel('Torque, row 8').evaluate((cell) => cell === document.activeElement)).toBe(
      true,
    );
    // 60 lbf·ft are 81.3 N·m (0.45359237 kg x 9.80665 m/s2 x 0.3048 m each); the summary is on the day, a few % off.
    await expect.poll(amounts).toMatch(/engine makes [78]\d N·m at 10,9/);
    await curve.getByLabel('Torque, row 8').fill('ninety');
    expect(await curve.getByLabel('Torque, row 8').inputValue()).toBe('ninety');
    expect(await curve.locator('.refused').textContent()).toMatch(/Row 8: .*Still reckoning with 62\.5/);
    await curve.getByLabel('Engine speed, row 2').fill('90000');
    expect(await curve.locator('.refused').last().textContent()).toMatch(/100 to 25000 rpm/);
    await curve.getByLabel('Engine speed, row 2').fill('4200');
    // A row above goes: the refused cell stays with its own row.
    await curve.getByRole('button', { name: 'Take row 1 away' }).click();
    expect(await curve.getByLabel('Torque, row 7').inputValue()).toBe('ninety');
    // A new point finds its place by its engine speed.
    await curve.getByLabel('Engine speed, new row').fill('6,300');
    await page.keyboard.press('Enter');
    await page.keyboard.type('46.5');
    await page.keyboard.press('Enter');
    expect((await rowsOf(curve)).slice(1, 4)).toEqual([
      ['5600', '44'],
      ['6,300', '46.5'],
      ['7000', '49.1'],
    ]);
    await undo(page);
    await undo(page);
    await undo(page);
    await expect.poll(amounts).toBe(was);
    expect(await page.getByRole('button', { name: /^Undo/ }).isDisabled()).toBe(true);
    // Another unit converts: 34 N·m at 3000 rpm are 10.68 kW (2 pi / 60).
    await curve.getByLabel('Torque or power in').first().selectOption('kW');
    expect((await rowsOf(curve))[0]).toEqual(['3000', '10.6814']);
    await expect.poll(amounts).toBe(was);
    expectNoComplaints();
    await close();
  });

  test('a curve traced over a picture is recovered, by taps, by keys and by typed values', async () => {
    const { page, expectNoComplaints, close } = await open('#/kart', DESK);
    await settled(page);
    const curve = (await openCard(page, 'Donor')).locator('.curve').first();
    const tool = await openTool(curve, /^Trace over/);
    const picture = await drawnSheet(page);
    await tool
      .locator('input[type=file]')
      .setInputFiles({ name: 'sheet.png', mimeType: 'image/png', buffer: picture });
    const sheet = tool.locator('.trace-sheet');
    await expect.poll(async () => (await sheet.boundingBox())?.height ?? 0).toBeGreaterThan(200);
    await sheet.scrollIntoViewIfNeeded();
    const perScreen = PICTURE.width / (await sheet.boundingBox())!.width;
    const tap = ({ x, y }: { x: number; y: number }): Promise<void> =>
      sheet.click({ position: { x: x / perScreen, y: y / perScreen } });
    // The origin serves both axes.
    for (const [mark, speed, torque] of [
      ['A', 2000, 0],
      ['B', 12_000, 0],
      ['C', 2000, 0],
      ['D', 2000, 50],
    ] as const) {
      await tap(pixelOf(speed, torque));
      await tool.getByLabel(new RegExp(`value at mark ${mark}`)).fill(String(mark < 'C' ? speed : torque));
    }
    const speeds = [2500, 4000, 5500, 7000, 8500, 10_000];
    for (const speed of speeds) await tap(pixelOf(speed, torqueAt(speed)));
    // A click lands on a whole screen pixel, a mark likewise: one of each, along and up, with the curve's own slope
    // (below 0.01 N·m per rpm) carrying the first into the second.
    const along = 2 * perScreen * (10_000 / PICTURE.across);
    const up = 2 * perScreen * (50 / PICTURE.up) + 0.01 * along;
    const traced = async (): Promise<[number, number][]> => {
      const cells = await tool
        .locator('.curve-table tbody tr:not(.new-point) input')
        .evaluateAll((inputs) => inputs.map((input) => Number((input as HTMLInputElement).value)));
      return Array.from({ length: cells.length / 2 }, (_, i) => [cells[2 * i]!, cells[2 * i + 1]!]);
    };
    const points = await traced();
    expect(points).toHaveLength(speeds.length);
    for (const [i, [speed, torque]] of points.entries()) {
      expect(Math.abs(speed - speeds[i]!)).toBeLessThan(along);
      expect(Math.abs(torque - torqueAt(speed))).toBeLessThan(up);
    }
    // Keys: one pixel right, ten up; the scale says what a pixel is.
    await sheet.focus();
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('Shift+ArrowUp');
    const moved = (await traced()).at(-1)!;
    const [perX, perY] = [10_000 / PICTURE.across, 50 / PICTURE.up];
    // Shown rounded to half a pixel.
    expect(Math.abs(moved[0] - points.at(-1)![0] - perX)).toBeLessThan(perX);
    expect(Math.abs(moved[1] - points.at(-1)![1] - 10 * perY)).toBeLessThan(perY);
    await page.keyboard.press('Delete');
    expect(await traced()).toHaveLength(speeds.length - 1);
    // Typed: a new point, and one moved.
    await tool.getByLabel('New point: engine speed').fill('11000');
    await tool.getByLabel('New point: figure').fill('21,5');
    await page.keyboard.press('Enter');
    await tool.getByLabel('Point 1: figure').fill('20');
    await tool.getByLabel('Point 1: figure').blur();
    expect((await traced())[0]![1]).toBe(20);
    expect((await traced()).at(-1)).toEqual([11_000, 21.5]);
    await tool.getByRole('button', { name: 'Use these 6 points' }).click();
    const rows = await rowsOf(curve);
    expect(rows).toHaveLength(6);
    expect(rows.at(-1)).toEqual(['11000', '21.5']);
    await undo(page);
    expect(await rowsOf(curve)).toHaveLength(11);
    // Dropped, and no picture: said here (the page takes other files for projects), and the traced one stays.
    await tool.evaluate((element) => {
      const dropped = new DataTransfer();
      dropped.items.add(new File(['no'], 'notes.png', { type: 'image/png' }));
      element.dispatchEvent(
        new DragEvent('drop', { dataTransfer: dropped, bubbles: true, cancelable: true }),
      );
    });
    await expect.poll(() => tool.locator('.refused').textContent()).toMatch(/notes\.png is no picture/);
    expect(await page.getByText(/is not JSON|project file/).count()).toBe(0);
    expect(await traced()).toHaveLength(6);
    // Pasted: another picture, begun afresh.
    await tool.evaluate((element, data) => {
      const bytes = Uint8Array.from(atob(data), (c) => c.charCodeAt(0));
      const pasted = new DataTransfer();
      pasted.items.add(new File([bytes], 'clip.png', { type: 'image/png' }));
      element.dispatchEvent(
        new ClipboardEvent('paste', { clipboardData: pasted, bubbles: true, cancelable: true }),
      );
    }, picture.toString('base64'));
    await expect.poll(() => tool.textContent()).toMatch(/Still to be placed, or without a value: A, B, C, D/);
    expectNoComplaints();
    await close();
  });

  test('a list of gears is understood before it is used, and is one step', async () => {
    const { page, expectNoComplaints, close } = await open('#/kart', DESK);
    await settled(page);
    const donor = await openCard(page, 'Donor');
    const tool = await openTool(donor, /^Paste a list/);
    await tool
      .getByLabel('Ratios, from first gear on')
      .fill('1st 2.846 (37/13)\n2nd 1.947 (37/19)\n3rd 1.55');
    expect(await tool.locator('.understood').textContent()).toMatch(
      /37\/13 = 2\.846.*37\/19 = 1\.947, drops 32/,
    );
    await tool.getByRole('button', { name: 'Use these 3 gears' }).click();
    expect(
      await donor
        .locator('.gear .field.quantity > div input')
        .evaluateAll((list) => list.map((i) => (i as HTMLInputElement).value)),
    ).toEqual(['37/13', '37/19', '1.55']);
    expect(await donor.locator('.gear-step').nth(1).textContent()).toMatch(/drops the engine by 32/);
    await donor.getByLabel('Gear 2', { exact: true }).fill('400');
    expect(await donor.locator('.gear .refused').textContent()).toMatch(
      /0\.05 to 200.*Still reckoning with 37\/19/,
    );
    await donor.getByLabel('Gear 2', { exact: true }).fill('36/19');
    await undo(page);
    await undo(page);
    await expect.poll(() => donor.locator('.gear').count()).toBe(6);
    expectNoComplaints();
    await close();
  });

  test('worksheets put what they find into the kart, each in one step that can be undone', async () => {
    const { page, expectNoComplaints, close } = await open('#/kart', DESK);
    await settled(page);
    const amounts = () => page.locator('section:has(#kart-title)').textContent();
    const was = await amounts();

    // Four scales, worked out by hand: 380 kg, 159.6 in front is 42 %, 0.58 x 1750 mm behind the front axle is 1015.
    const kart = await openCard(page, 'Kart');
    const scales = await openTool(kart, /four scales/);
    for (const [label, reading] of [
      ['Front left', '79.8'],
      ['Front right', '79.8 kg'],
      ['Rear left', '110,2'],
      ['Rear right', '110.2'],
    ] as const)
      await scales.getByLabel(label).fill(reading);
    expect(await scales.locator('.result').textContent()).toMatch(/380 kg in all, 42\s%.*101\d mm behind/s);
    await scales.getByRole('button', { name: 'Put these four readings into the kart' }).click();
    await expect.poll(amounts).toMatch(/380 kg with driver, 42\s% in front/);

    // Height: 380 kg, 16 kg more in front at 0.5 m of lift, hubs at 240 mm, wheelbase 1750 mm:
    // 240 + 1750 x 16 / (380 tan(asin(0.5/1.75))) = 240 + 247 = 487 mm.
    const height = await openTool(kart, /height of the centre of gravity/);
    expect(await height.locator('.caution').textContent()).toMatch(/nobody under or beside/);
    for (const [label, reading] of [
      ['Total', '380'],
      ['Front axle, level', '159.6'],
      ['Front axle, rear raised', '175.6'],
      ['Rise of the rear hubs', '0.5 m'],
      ['Front hub height', '240'],
      ['Rear hub height', '240'],
    ] as const)
      await height.getByLabel(label).fill(reading);
    expect(await height.locator('.result').textContent()).toMatch(/490 mm high, give or take 1\d mm/);
    await height.getByRole('button', { name: 'Put 490 mm into the kart' }).click();
    await expect.poll(amounts).toMatch(/gravity 490 mm high/);
    await undo(page);
    await undo(page);
    await expect.poll(amounts).toBe(was);

    // The same weighing beside the chassis, other parts taken off.
    const chassis = await openCard(page, 'Chassis');
    const frame = await openTool(chassis, /height of the centre of gravity/);
    for (const [label, reading] of [
      ['Front axle, level', '160'],
      ['Front axle, rear raised', '174'],
      ['Rise of the rear hubs', '500'],
    ] as const)
      await frame.getByLabel(label).fill(reading);
    const put = frame.getByRole('button', { name: /^Put \d+ mm into the kart/ });
    const value = /\d+ mm/.exec((await put.textContent()) ?? '')?.[0] ?? '';
    await put.click();
    expect(await chassis.getByLabel('Centre of gravity height', { exact: true }).inputValue()).toBe(value);
    await undo(page);
    await frame.getByLabel('Rise of the rear hubs').fill('3 m');
    expect(await frame.locator('.refused').textContent()).toMatch(
      /between nought and the wheelbase, 1750 mm/,
    );

    // Springs: share and lean, then worked out for a chassis that has a share alone.
    const given = await openTool(chassis, /what springs and bars give/);
    expect(await given.locator('.result').textContent()).toMatch(
      /roll stiffness in front.*leans \d\.\d° per g/s,
    );
    await chassis.getByLabel('Given').first().selectOption({ label: 'as a front share' });
    const springs = chassis.locator('details.tool').filter({ hasText: 'front share from springs and bars' });
    if ((await springs.getAttribute('open')) === null) await springs.locator('summary').click();
    await springs.getByLabel('Front spring rate').fill('20');
    await springs.getByLabel('Rear spring rate').fill('100 lb/in');
    // Two springs of 20 N/mm on 1250 mm against 17.5 N/mm on 1200 mm: 31250 / (31250 + 25217) = 55 %.
    await springs.getByRole('button', { name: 'Put 55 % into the kart' }).click();
    expect(await chassis.getByLabel('Front share of roll stiffness', { exact: true }).inputValue()).toBe(
      '55 %',
    );
    await undo(page);
    await undo(page);

    // Hydraulics, live: twice the front pistons against the rear raises the share.
    const brakes = await openCard(page, 'Brakes');
    const gain = await openTool(brakes, /what the hydraulics give/);
    expect(await gain.locator('.result').textContent()).toMatch(
      /70\s% of the braking force goes to the front/,
    );
    await brakes.getByLabel('Front pistons on one side of the discs').fill('4');
    await expect.poll(() => gain.locator('.result').textContent()).toMatch(/82\s% of the braking force/);
    await undo(page);

    // Roll-out: 4580 mm in three turns.
    const tyres = await openCard(page, 'Front tyres');
    const roll = await openTool(tyres, /roll it several turns/);
    await roll.getByLabel('Ground covered').fill('4580');
    await roll.getByRole('button', { name: 'Put 1527 mm into the kart' }).click();
    expect(await tyres.getByLabel('Roll-out', { exact: true }).inputValue()).toBe('1527 mm');
    await undo(page);
    await expect.poll(amounts).toBe(was);
    // Readings are kept while the page is open, whatever is looked at meanwhile.
    await page.getByRole('link', { name: 'Slide or tip?' }).click();
    await page.getByRole('link', { name: 'Kart', exact: true }).click();
    const again = await openTool(await openCard(page, 'Front tyres'), /roll it several turns/);
    expect(await again.getByLabel('Ground covered').inputValue()).toBe('4580');
    expectNoComplaints();
    await close();
  });

  test('a donor is duplicated, put in place, taken off again, deleted, and brought back', async () => {
    const { page, expectNoComplaints, close } = await open('#/kart', DESK);
    await settled(page);
    const donor = await openCard(page, 'Donor');
    expect(await donor.getByRole('button', { name: /^Delete Four/ }).isDisabled()).toBe(true);
    await donor.getByRole('button', { name: /^Duplicate Four/ }).click();
    await expect.poll(() => donor.locator('summary').first().textContent()).toMatch(/\(2\)/);
    // The copy is its own: a change of it leaves the first as it was.
    await donor.getByLabel('Torque, row 1', { exact: true }).fill('35');
    await donor.getByLabel('Donor in place').selectOption({ label: 'Four (four cylinders)' });
    await expect.poll(() => donor.getByLabel('Torque, row 1', { exact: true }).inputValue()).toBe('34');
    await donor.getByLabel('Donor in place').selectOption({ label: 'Four (four cylinders) (2)' });
    await expect.poll(() => donor.getByLabel('Torque, row 1', { exact: true }).inputValue()).toBe('35');
    expect(await donor.getByRole('button', { name: /^Delete Four.*\(2\)/ }).isDisabled()).toBe(true);
    await donor.getByLabel('Compare with').selectOption({ label: 'Four (four cylinders)' });
    expect(await donor.locator('.part-tools table').textContent()).toMatch(/torque curve, most torque/);
    await donor.getByLabel('Donor in place').selectOption({ label: 'Four (four cylinders)' });
    await donor.getByRole('button', { name: 'Delete Four (four cylinders) (2)' }).click();
    await expect.poll(() => donor.getByLabel('Donor in place').textContent()).not.toMatch(/\(2\)/);
    await undo(page);
    await expect.poll(() => donor.getByLabel('Donor in place').textContent()).toMatch(/\(2\)/);
    expect(await donor.getByLabel('Torque, row 1', { exact: true }).inputValue()).toBe('34');
    expectNoComplaints();
    await close();
  });

  test('with everything unfolded: nothing for axe, nothing too wide or too small, desktop and phone', async () => {
    for (const size of [DESK, PHONE]) {
      const { page, expectNoComplaints, close } = await open('#/kart', size);
      await settled(page);
      await card(page, 'Kart').first().waitFor();
      for (const summary of await page.locator('details.part > summary').all()) await summary.click();
      // Two weighings, chassis height, springs, brakes, two curves with two tools each, gears, two pairs of tyres.
      await expect.poll(() => page.locator('details.tool').count()).toBe(12);
      for (const summary of await page.locator('details.tool > summary').all()) await summary.click();
      await page.getByLabel('Rows of the sheet, with their headings').first().fill(SHEET);
      await page.getByLabel('Ratios, from first gear on').fill('2.7 1.9 1.5');
      await page
        .locator('input[type=file][accept="image/*"]')
        .first()
        .setInputFiles({ name: 'sheet.png', mimeType: 'image/png', buffer: await drawnSheet(page) });
      await expect.poll(() => page.locator('.trace-sheet').count()).toBe(1);
      if (size === PHONE) {
        // By finger: a tap places mark A and goes on to B.
        await page.locator('.trace-sheet').tap({ position: { x: 60, y: 200 } });
        expect(await page.getByLabel(/^B Engine speed, high/).isChecked()).toBe(true);
        expect(await page.locator('.trace-tools').textContent()).toMatch(/next tap places mark B/);
      }
      await page.getByLabel('Torque, row 3').fill('what');
      expect({ width: size.viewport.width, ...(await fitOf(page)) }).toEqual({
        width: size.viewport.width,
        wide: 0,
        small: [],
      });
      expect(await axeFindings(page)).toEqual([]);
      expect(await page.getByText(/NaN|undefined|Infinity/).count()).toBe(0);
      expectNoComplaints();
      await close();
    }
  });
});

/** px; the axes run from (100, 550), right and up. */
const PICTURE = { width: 900, height: 600, left: 100, foot: 550, across: 700, up: 500 };

function pixelOf(speed: number, torque: number): { x: number; y: number } {
  return {
    x: PICTURE.left + (PICTURE.across * (speed - 2000)) / 10_000,
    y: PICTURE.foot - (PICTURE.up * torque) / 50,
  };
}

/** The curve drawn, N·m over rpm. */
function torqueAt(speed: number): number {
  return 18 + 12 * Math.sin((Math.PI * (speed - 2000)) / 11_000);
}

/** A dyno sheet as a picture, drawn in the page. */
async function drawnSheet(page: Page): Promise<Buffer> {
  const line = Array.from({ length: 101 }, (_, i) => pixelOf(2000 + 100 * i, torqueAt(2000 + 100 * i)));
  const data = await page.evaluate(
    ({ box, points }) => {
      const canvas = document.createElement('canvas');
      canvas.width = box.width;
      canvas.height = box.height;
      const ctx = canvas.getContext('2d')!;
      ctx.fillStyle = 'white';
      ctx.fillRect(0, 0, box.width, box.height);
      ctx.strokeStyle = 'black';
      ctx.strokeRect(box.left, box.foot - box.up, box.across, box.up);
      ctx.lineWidth = 3;
      ctx.beginPath();
      for (const { x, y } of points) ctx.lineTo(x, y);
      ctx.stroke();
      return canvas.toDataURL('image/png').split(',')[1]!;
    },
    { box: PICTURE, points: line },
  );
  return Buffer.from(data, 'base64');
}
