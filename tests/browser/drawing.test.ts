/** A course drawn in a real browser: by pointer, by touch, by keys alone; closed, scaled, laid with a surface, undone. */
import { readFile } from 'node:fs/promises';
import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { describeInBrowser } from './harness.ts';
import { axeFindings, DESK, fitOf, PHONE, settled } from './looking.ts';

interface Spot {
  readonly x: number;
  readonly y: number;
}

/** An oval of tapped places in the middle of the board, px from its corner. */
const RING: readonly Spot[] = Array.from({ length: 9 }, (_, i) => {
  const angle = (2 * Math.PI * i) / 9;
  return { x: 300 + 150 * Math.cos(angle), y: 250 + 90 * Math.sin(angle) };
});

const VIEW = '#/track';

describeInBrowser('drawing', ({ open }) => {
  test('tapped point by point, closed on the first, it has a lap; undo and redo go through a reload', async () => {
    const { page, expectNoComplaints, close } = await open(VIEW, DESK);
    await begin(page);
    for (const spot of RING) await tap(page, spot);
    await expect.poll(() => pointsDrawn(page)).toBe(9);
    // Less than a fingertip from the last point: where the course goes on, not that point again.
    await tap(page, { x: RING[8]!.x + 10, y: RING[8]!.y - 10 });
    await expect.poll(() => pointsDrawn(page)).toBe(10);
    await page.getByRole('button', { name: /^Undo/ }).click();
    await expect.poll(() => pointsDrawn(page)).toBe(9);
    await tap(page, RING[0]!);
    await expect.poll(() => courseSays(page)).toMatch(/A closed circuit of \d+\sm/);
    expect(await page.getByRole('combobox', { name: 'Track', exact: true }).inputValue()).toMatch(/^drawn/);
    await expect.poll(() => page.locator('.lap-time').first().textContent()).toBe('My course');
    await expect
      .poll(() => page.locator('.board-label').textContent())
      .toMatch(/course \d+ m · lap [\d.]+\ss/);
    await page.getByRole('button', { name: /^Undo/ }).click();
    await expect.poll(() => courseSays(page)).toMatch(/An open course/);
    for (let i = 0; i < 3; i++) await page.getByRole('button', { name: /^Undo/ }).click();
    await expect.poll(() => pointsDrawn(page)).toBe(6);
    await expect.poll(() => page.evaluate(() => document.body.textContent?.includes('NaN'))).toBe(false);
    await page.waitForTimeout(600);
    await page.reload();
    await expect.poll(() => pointsDrawn(page), { timeout: 10_000 }).toBe(6);
    for (let i = 0; i < 4; i++) await page.getByRole('button', { name: /^Redo/ }).click();
    await expect.poll(() => courseSays(page)).toMatch(/A closed circuit of \d+\sm/);
    expectNoComplaints();
    await close();
  });

  test('the lap of the course is there from the first look, and follows a dragged point once the hand lets go', async () => {
    const { page, expectNoComplaints, close } = await open(VIEW, DESK);
    const lap = page.getByRole('region', { name: 'Place by place' });
    await lap.waitFor();
    const drawn = () => lap.locator('.lap-map svg').first().innerHTML();
    const before = await drawn();
    await page.getByRole('radio', { name: 'Move' }).check();
    await page.locator('.board-point').nth(3).scrollIntoViewIfNeeded();
    const mark = (await page.locator('.board-point').nth(3).boundingBox())!;
    const [x, y] = [mark.x + mark.width / 2, mark.y + mark.height / 2];
    const label = () => page.locator('.board-label').textContent();
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x + 8, y + 3);
    const said = await label();
    for (let i = 1; i <= 10; i++) await page.mouse.move(x + 8 + i, y + 3);
    // The time follows the hand; map and plots wait, and say that they do.
    await expect.poll(label).not.toBe(said);
    await expect.poll(() => lap.locator('.answer.stale').count()).toBeGreaterThan(0);
    expect(await drawn()).toBe(before);
    await page.mouse.up();
    await expect.poll(drawn).not.toBe(before);
    await expect.poll(() => lap.locator('.answer.stale').count()).toBe(0);
    // Onto its neighbour, where no kart can turn: the last lap stays, readable, with the reason it is the last.
    const next = (await page.locator('.board-point').nth(4).boundingBox())!;
    const here = (await page.locator('.board-point').nth(3).boundingBox())!;
    await page.mouse.move(here.x + here.width / 2, here.y + here.height / 2);
    await page.mouse.down();
    await page.mouse.move(next.x + next.width / 2 + 9, next.y + next.height / 2, { steps: 8 });
    await expect.poll(label).toContain('no lap: the track is tighter than the kart can turn');
    await page.mouse.up();
    await expect
      .poll(() => lap.locator('.lap-map .answer').textContent())
      .toContain('Stopped: The track is tighter');
    expect(await lap.locator('.lap-map .answer').evaluate((e) => getComputedStyle(e).opacity)).toBe('1');
    await page.keyboard.press('Control+z');
    await expect.poll(() => lap.locator('.answer.kept').count()).toBe(0);
    expectNoComplaints();
    await close();
  });

  test('a move heard of ahead of its frame moves the point at once, once', async () => {
    const { page, expectNoComplaints, close } = await open(VIEW, DESK);
    await settled(page);
    await page.getByRole('radio', { name: 'Move' }).check();
    const point = page.locator('.board-point').nth(3);
    await point.scrollIntoViewIfNeeded();
    const mark = (await point.boundingBox())!;
    const [x, y] = [mark.x + mark.width / 2, mark.y + mark.height / 2];
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x + 8, y);
    const answered = () => page.evaluate(() => performance.getEntriesByName('kartwright:first').length);
    /** Events of one moment, each so many px from where the hand went down. */
    const tell = (...events: (readonly [string, number])[]): Promise<void> =>
      page.getByRole('application').evaluate(
        (board, { events: told, from }) => {
          for (const [type, dx] of told) {
            const place = { clientX: from.x + dx, clientY: from.y };
            board.dispatchEvent(new PointerEvent(type, { pointerId: 1, pointerType: 'mouse', ...place }));
          }
        },
        { events, from: { x, y } },
      );
    const east = async (): Promise<number> =>
      Number(/translate\(([\d.]+)/.exec((await point.getAttribute('transform')) ?? '')?.[1]);
    const from = (await east()) - 8;
    await settled(page);
    await page.waitForTimeout(50);
    const before = await answered();
    // The next one comes before the next frame: so often it is left to the move of the frame.
    await tell(['pointerrawupdate', 20], ['pointermove', 20], ['pointerrawupdate', 24]);
    await expect.poll(async () => (await east()) - from).toBeCloseTo(20, 5);
    await expect.poll(answered).toBe(before + 1);
    await tell(['pointermove', 24]);
    await expect.poll(async () => (await east()) - from).toBeCloseTo(24, 5);
    await expect.poll(answered).toBe(before + 2);
    await page.mouse.up();
    // Let go of, it is not moved any more.
    await page.waitForTimeout(50);
    await tell(['pointerrawupdate', 60]);
    await page.waitForTimeout(50);
    expect((await east()) - from).toBeCloseTo(24, 5);
    expectNoComplaints();
    await close();
  });

  test('a hand that drags holds the point where it grasped it, and can take it all back', async () => {
    const { page, expectNoComplaints, close } = await open(VIEW, DESK);
    await settled(page);
    const board = page.getByRole('application');
    await page.getByRole('radio', { name: 'Move' }).check();
    await board.evaluate((element) => element.scrollIntoView({ block: 'center' }));
    const undo = page.getByRole('button', { name: /^Undo/ });
    const mark = async (point: number): Promise<Spot> => {
      const box = (await page.locator('.board-point :is(circle, rect)').nth(point).boundingBox())!;
      return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
    };
    const offBy = async (point: number, spot: Spot): Promise<number> => {
      const now = await mark(point);
      return Math.hypot(now.x - spot.x, now.y - spot.y);
    };
    const ground = () => page.locator('.board-ground').getAttribute('d');
    const was = await ground();
    const at = await mark(3);
    const grasp = async (): Promise<void> => {
      await page.mouse.move(at.x + 7, at.y + 4);
      await page.mouse.down();
      await page.mouse.move(at.x + 47, at.y + 24, { steps: 4 });
    };
    await grasp();
    // Marks stand on tenths of a pixel, points on millimetres: less than a tenth of a pixel here.
    await expect.poll(() => offBy(3, { x: at.x + 40, y: at.y + 20 })).toBeLessThan(0.3);
    await page.mouse.move(at.x + 7, at.y + 4);
    await page.mouse.up();
    await expect.poll(ground).toBe(was);
    expect(await undo.isDisabled()).toBe(true);
    // Escape, and Undo by key, put it back for good; other keys do nothing meanwhile.
    for (const key of ['Escape', 'Control+z']) {
      await grasp();
      await expect.poll(ground).not.toBe(was);
      await page.keyboard.press('Delete');
      await page.keyboard.press('i');
      expect(await pointsDrawn(page)).toBe(36);
      await page.keyboard.press(key);
      await expect.poll(ground).toBe(was);
      await page.mouse.move(at.x + 60, at.y + 60, { steps: 2 });
      await page.mouse.up();
      await expect.poll(ground).toBe(was);
      expect(await undo.isDisabled()).toBe(true);
      expect(await page.getByRole('button', { name: /^Redo/ }).isDisabled()).toBe(true);
    }
    // Another track under the hand: nothing of it moves.
    await grasp();
    await expect.poll(ground).not.toBe(was);
    const tracks = page.getByRole('combobox', { name: 'Track', exact: true });
    const first = await tracks.inputValue();
    const other = await tracks.evaluate(
      (e) => [...(e as HTMLSelectElement).options].find((o) => !o.selected && o.value !== '')!.value,
    );
    await tracks.selectOption(other);
    await expect.poll(() => tracks.inputValue()).toBe(other);
    const pointsThere = await pointsDrawn(page);
    const there = await ground();
    await page.mouse.move(at.x + 90, at.y + 50, { steps: 3 });
    await page.mouse.up();
    await page.waitForTimeout(100);
    expect([await ground(), await pointsDrawn(page)]).toEqual([there, pointsThere]);
    await tracks.selectOption(first);
    await undo.click();
    await expect.poll(() => undo.isDisabled()).toBe(true);
    // A point that an undo takes away is not picked any more; the letter is the same with Shift.
    await board.focus();
    await page.keyboard.press('b');
    await expect.poll(() => board.getAttribute('aria-label')).toMatch(/^Point 36 of 36/);
    await page.keyboard.press('Shift+I');
    await expect.poll(() => board.getAttribute('aria-label')).toMatch(/^Point 37 of 37/);
    await page.getByRole('button', { name: 'Start of a range' }).click();
    await undo.click();
    await expect.poll(() => page.getByText('No point picked').count()).toBe(1);
    await page.keyboard.press('i');
    expect(await page.getByText('A range: pick its start').count()).toBe(1);
    expect(await pointsDrawn(page)).toBe(36);
    // The space key let go where the board does not hear it is not held.
    await board.focus();
    await page.keyboard.down(' ');
    await board.evaluate((element) => (element as HTMLElement).blur());
    await page.keyboard.up(' ');
    await board.evaluate((element) => element.scrollIntoView({ block: 'center' }));
    Object.assign(at, await mark(3));
    await grasp();
    await page.mouse.up();
    await expect.poll(() => undo.textContent()).toMatch(/point 4 moved/);
    // A stroke that a closed course cannot take says so.
    await page.getByRole('radio', { name: 'Draw' }).check();
    await board.evaluate((element) => element.scrollIntoView({ block: 'center' }));
    const box = await boardBox(page);
    await page.mouse.move(box.x + 20, box.y + 60);
    await page.mouse.down();
    await page.mouse.move(box.x + 120, box.y + 90, { steps: 3 });
    await page.mouse.up();
    await expect
      .poll(() => page.locator('.course [role=status]').first().textContent())
      .toMatch(/Nothing was drawn: this course is closed/);
    expectNoComplaints();
    await close();
  });

  test('drawn freehand in one go and back to its start, it closes by itself; a drag is one step', async () => {
    const { page, expectNoComplaints, close } = await open(VIEW, DESK);
    await begin(page);
    const box = await boardBox(page);
    const at = (share: number): Spot => ({
      x: box.x + 330 + 170 * Math.cos(2 * Math.PI * share) * (1 + 0.12 * Math.sin(6 * Math.PI * share)),
      y: box.y + 260 + 100 * Math.sin(2 * Math.PI * share),
    });
    await page.mouse.move(at(0).x, at(0).y);
    await page.mouse.down();
    for (let i = 1; i <= 90; i++) await page.mouse.move(at(i / 90).x, at(i / 90).y);
    await page.mouse.up();
    await expect.poll(() => courseSays(page)).toMatch(/A closed circuit of \d+\sm/);
    const count = await pointsDrawn(page);
    expect(count).toBeGreaterThan(8);
    expect(count).toBeLessThan(45);
    await page.getByRole('radio', { name: 'Move' }).check();
    const before = await courseSays(page);
    const mark = (await page.locator('.board-point').nth(3).boundingBox())!;
    await page.mouse.move(mark.x + mark.width / 2, mark.y + mark.height / 2);
    await page.mouse.down();
    for (let i = 1; i <= 20; i++)
      await page.mouse.move(mark.x + mark.width / 2 + 0.7 * i, mark.y + mark.height / 2 + 0.4 * i);
    await page.mouse.up();
    await expect.poll(() => courseSays(page)).not.toBe(before);
    await expect
      .poll(() => page.locator('.board-label').textContent())
      .toMatch(/radius [\d.]+ m.*course \d+ m.*(lap [\d.]+\ss|no lap: the track is tighter)/);
    await page.getByRole('button', { name: /^Undo/ }).click();
    await expect.poll(() => courseSays(page)).toBe(before);
    // The ring is one step, and a new course that is not begun leaves no empty board.
    expect(await page.getByRole('button', { name: /^Undo/ }).textContent()).toMatch(/My course added/);
    await page.keyboard.press('Control+y');
    await expect.poll(() => courseSays(page)).not.toBe(before);
    await page.getByRole('button', { name: 'Draw a new course' }).click();
    await expect.poll(() => pointsDrawn(page)).toBe(0);
    await page.getByRole('button', { name: 'Back to My course' }).waitFor();
    await page.keyboard.press('Escape');
    await expect.poll(() => pointsDrawn(page)).toBe(count);
    expectNoComplaints();
    await close();
  });

  test('scaled to a known lap, measured between two places, laid with a surface, reversed', async () => {
    const { page, expectNoComplaints, close } = await open(VIEW, DESK);
    await begin(page);
    for (const spot of [...RING, RING[0]!]) await tap(page, spot);
    await expect.poll(() => courseSays(page)).toMatch(/A closed circuit/);
    const scale = page.getByRole('button', { name: 'Scale to this length' });
    await page.getByLabel('Known length of a lap').fill('600 m');
    await expect.poll(() => scale.isEnabled()).toBe(true);
    await page.getByLabel('Known length of a lap').fill('abc');
    await expect.poll(() => scale.isEnabled()).toBe(false);
    await page.getByLabel('Known length of a lap').fill('600 m');
    await scale.click();
    await expect.poll(() => courseSays(page)).toMatch(/A closed circuit of 600\sm/);
    await page.getByRole('radio', { name: 'Measure' }).check();
    await tap(page, { x: 200, y: 200 });
    await tap(page, { x: 400, y: 200 });
    const drawn = Number(/(\d+\.\d) m apart/.exec((await page.locator('.course').textContent()) ?? '')?.[1]);
    await page.getByLabel('They really are').fill(`${(drawn * 2).toFixed(2)} m`);
    await page.getByRole('button', { name: 'Scale the course' }).click();
    await expect.poll(() => courseSays(page)).toMatch(/A closed circuit of 1[12]\d\d\sm/);
    // Of another size, it is all in sight again.
    const outOfSight = () =>
      page.locator('.board').evaluate((board) => {
        const box = board.getBoundingClientRect();
        return [...board.querySelectorAll('.board-point')].filter((point) => {
          const { left, right, top, bottom } = point.getBoundingClientRect();
          return left < box.left || right > box.right || top < box.top || bottom > box.bottom;
        }).length;
      });
    await expect.poll(outOfSight).toBe(0);
    await page.getByRole('radio', { name: 'Move' }).check();
    await page.getByText(/^The course as lists/).click();
    await page.getByRole('button', { name: 'Point 3', exact: true }).click();
    await page.getByRole('button', { name: 'Start of a range' }).click();
    await page.getByRole('button', { name: 'Point 6', exact: true }).click();
    await page.getByLabel('Lay on it').selectOption({ label: 'Asphalt' });
    const grounds = () => page.locator('section[aria-label="Points"] tbody td:last-child').allTextContents();
    await expect.poll(async () => (await grounds()).filter((g) => g === 'Asphalt').length).toBe(3);
    await page.getByRole('button', { name: 'Reverse' }).click();
    await expect.poll(async () => (await grounds()).filter((g) => g === 'Asphalt').length).toBe(3);
    expect(await page.locator('section[aria-label="Stretches"]').textContent()).toMatch(
      /(left|right) \d+°, radius [\d.]+ m/,
    );
    expectNoComplaints();
    await close();
  });

  test('by keys alone: points picked, moved, made sharper, inserted, deleted, typed', async () => {
    const { page, expectNoComplaints, close } = await open(VIEW, DESK);
    await settled(page);
    const board = page.getByRole('application');
    await board.focus();
    const name = () => board.getAttribute('aria-label');
    await page.keyboard.press('n');
    await page.keyboard.press('n');
    await page.keyboard.press('n');
    await expect.poll(name).toMatch(/^Point 3 of 36/);
    await page.keyboard.press('Shift+ArrowUp');
    await page.keyboard.press('s');
    await expect
      .poll(() => page.getByRole('button', { name: /^Undo/ }).textContent())
      .toMatch(/point 3 sharper/);
    await page.keyboard.press('i');
    await expect.poll(name).toMatch(/^Point 4 of 37/);
    await page.keyboard.press('Delete');
    await expect.poll(() => pointsDrawn(page)).toBe(36);
    await page.keyboard.press('b');
    await expect.poll(name).toMatch(/^Point \d+ of 36/);
    await page.keyboard.press('+');
    await page.keyboard.press('0');
    const radius = page.getByLabel('Radius of the bend here');
    for (let i = 0; i < 36 && (await radius.count()) === 0; i++) await page.keyboard.press('n');
    await radius.fill('11 m');
    await expect
      .poll(async () => `${await name()} ${await page.locator('.point-fields').textContent()}`)
      .toMatch(/radius 11\.0 m|no place of this point alone/);
    await page.getByRole('textbox', { name: 'East' }).fill('nowhere');
    expect(await page.getByRole('textbox', { name: 'East' }).getAttribute('aria-invalid')).toBe('true');
    expect(await axeFindings(page)).toEqual([]);
    expectNoComplaints();
    await close();
  });

  test('edges by themselves and a bank, by keys alone: one step each, on the map, and through a table and back', async () => {
    const { page, expectNoComplaints, close } = await open(VIEW, DESK);
    await settled(page);
    const undo = page.getByRole('button', { name: /^Undo/ });
    const board = page.getByRole('application');
    await board.focus();
    for (let i = 0; i < 4; i++) await page.keyboard.press('n');
    await expect.poll(() => board.getAttribute('aria-label')).toMatch(/^Point 4 of 36/);
    const ground = () => page.locator('.board-ground').getAttribute('d');
    const even = await ground();
    // By the keyboard as a builder without a mouse has it: focus, letters, arrows.
    const edges = page.getByLabel('The edges lie');
    await edges.focus();
    await page.keyboard.press('ArrowDown');
    await expect.poll(() => page.getByLabel('Left of the line, as driven').count()).toBe(1);
    expect(await page.getByLabel('Width', { exact: true }).count()).toBe(0);
    const typeInto = async (label: string, text: string): Promise<void> => {
      await page.getByLabel(label).focus();
      await page.keyboard.press('ControlOrMeta+a');
      await page.keyboard.type(text);
    };
    await typeInto('Left of the line, as driven', '1.25');
    await expect.poll(() => undo.textContent()).toMatch(/point 4, left edge 1.25 m/);
    await typeInto('Right of the line, as driven', '7.5 m');
    await typeInto('Bank in degrees', '-9');
    await expect.poll(() => undo.textContent()).toMatch(/point 4, bank -9/);
    const fields = () => page.locator('.point-fields').textContent();
    await expect.poll(fields).toMatch(/the right edge is higher, 15\.8 cm for each metre across/);
    // How it is measured is said where it is typed.
    const how = page.locator('.point-fields .measure', { hasText: 'board' }).locator('summary');
    await how.focus();
    await page.keyboard.press('Enter');
    await expect.poll(() => page.getByText(/straight board across the track/).isVisible()).toBe(true);
    await expect.poll(ground).not.toBe(even);
    await page.getByText(/^The course as lists/).focus();
    await page.keyboard.press('Enter');
    const row = (point: number) =>
      page
        .locator('section[aria-label="Points"] tbody tr')
        .nth(point - 1)
        .locator('td')
        .allTextContents();
    const laid = async (point: number) => (await row(point)).slice(3, 6);
    await expect.poll(() => laid(4)).toEqual(['1.3', '7.5', '−9.0']);
    // Its neighbours stay as they were, and so does all that lies beyond.
    const tansy = 5.5 / 2;
    for (const point of [3, 5, 6, 20]) expect(Number((await laid(point))[0])).toBeCloseTo(tansy, 0);
    for (const point of [3, 5, 6, 20]) expect((await laid(point))[2]).toBe('0.0');
    // One step for the bank, one for each edge.
    await undo.focus();
    await page.keyboard.press('Enter');
    await expect.poll(() => laid(4)).toEqual(['1.3', '7.5', '0.0']);
    await page.getByRole('button', { name: /^Redo/ }).focus();
    await page.keyboard.press('Enter');
    await expect.poll(() => laid(4)).toEqual(['1.3', '7.5', '−9.0']);
    // A range: picked on the board, then the bank of all of it.
    await page.getByRole('button', { name: 'Start of a range' }).focus();
    await page.keyboard.press('Enter');
    await board.focus();
    for (let i = 0; i < 3; i++) await page.keyboard.press('n');
    await page.getByLabel('Height, width and bank are set').focus();
    await page.keyboard.press('ArrowDown');
    await typeInto('Bank in degrees', '5');
    await expect.poll(() => undo.textContent()).toMatch(/points 4 to 7, bank 5/);
    for (const point of [4, 5, 6, 7]) await expect.poll(async () => (await laid(point))[2]).toBe('5.0');
    expect((await laid(8))[2]).toBe('0.0');
    // Out as a table and back in again.
    const there = await page.locator('section[aria-label="Points"] tbody tr').count();
    expect(there).toBe(36);
    await page.getByText('Take a course from a file, or save this one').focus();
    await page.keyboard.press('Enter');
    await page.getByLabel('As', { exact: true }).focus();
    await page.keyboard.type('CSV');
    await page.getByRole('button', { name: 'Save as CSV' }).focus();
    const [download] = await Promise.all([page.waitForEvent('download'), page.keyboard.press('Enter')]);
    const text = await readFile(await download.path(), 'utf8');
    expect(text).toMatch(
      /^x \(m\),y \(m\),height \(m\),width \(m\),surface,left \(m\),right \(m\),bank \(°\)/,
    );
    const lap = () => page.locator('.board-label').textContent();
    const before = /lap [\d.]+/.exec((await lap()) ?? '')?.[0];
    await page
      .getByLabel('Choose a course file')
      .setInputFiles({ name: 'back.csv', mimeType: '', buffer: Buffer.from(text) });
    await page.getByLabel(/^Take the heights/).focus({ timeout: 20_000 });
    await page.keyboard.press(' ');
    await expect.poll(() => page.getByRole('button', { name: 'Take this course' }).isEnabled()).toBe(true);
    await page.getByRole('button', { name: 'Take this course' }).focus();
    await page.keyboard.press('Enter');
    await expect.poll(() => page.locator('.lap-time').first().textContent()).toBe('back');
    await board.focus();
    await page.keyboard.press('n');
    const all = page.locator('section[aria-label="Points"] tbody tr');
    const texts = () =>
      all.evaluateAll((rows) =>
        rows.map((r) => [...r.querySelectorAll('td')].map((cell) => cell.textContent).join(' ')),
      );
    await expect.poll(async () => (await texts()).some((t) => / 1\.3 7\.5 5\.0 /.test(t))).toBe(true);
    // The line comes back within 5 mm: so does its lap, to the tenth that is shown or the next.
    await expect.poll(lap).toMatch(/lap [\d.]+/);
    await expect
      .poll(async () =>
        Math.abs(Number(/lap ([\d.]+)/.exec((await lap()) ?? '')?.[1]) - Number(before?.slice(4))),
      )
      .toBeLessThan(0.11);
    expect(await axeFindings(page)).toEqual([]);
    expectNoComplaints();
    await close();
  });

  test('by touch on a phone: tapped, closed, and two fingers move the ground and nothing else', async () => {
    const { page, expectNoComplaints, close } = await open(VIEW, PHONE);
    await begin(page);
    const ring = RING.map(({ x, y }) => ({ x: 20 + x * 0.55, y: y * 0.8 }));
    const box = await boardBox(page);
    for (const spot of [...ring, ring[0]!]) {
      await page.touchscreen.tap(box.x + spot.x, box.y + spot.y);
      // The ground must not shift under the finger while tools and words around it change.
      expect(Math.abs((await boardBox(page)).y - box.y)).toBeLessThan(1);
    }
    await expect.poll(() => courseSays(page)).toMatch(/A closed circuit of \d+\sm/);
    const before = await courseSays(page);
    const scale = () => page.locator('.board-scale text').textContent();
    const first = await scale();
    const touch = await page.context().newCDPSession(page);
    const fingers = (spread: number) => [
      { x: box.x + 170 - spread, y: box.y + 200, id: 1 },
      { x: box.x + 170 + spread, y: box.y + 200, id: 2 },
    ];
    await touch.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: fingers(20) });
    for (let spread = 24; spread <= 120; spread += 8)
      await touch.send('Input.dispatchTouchEvent', { type: 'touchMove', touchPoints: fingers(spread) });
    await touch.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
    await expect.poll(scale).not.toBe(first);
    expect(await courseSays(page)).toBe(before);
    // The drawing is as high as its box, and nothing is written over it.
    const sides = await page.locator('.board').evaluate((board) => {
      const label = document.querySelector('.board-label')!;
      const isOver = label.getBoundingClientRect().bottom > board.getBoundingClientRect().top;
      const isCut = label.scrollHeight > label.clientHeight;
      return [board.querySelector('svg')!.clientHeight - board.clientHeight, isOver, isCut];
    });
    expect(sides).toEqual([0, false, false]);
    // A point dragged by one finger is back in its place when a second comes down, or the touch is taken away.
    await page.getByRole('button', { name: 'All of it' }).click();
    await page.getByRole('radio', { name: 'Move' }).check();
    await page.locator('.board').evaluate((board) => board.scrollIntoView({ block: 'center' }));
    const ground = () => page.locator('.board-ground').getAttribute('d');
    const mark = (await page.locator('.board-point :is(circle, rect)').nth(4).boundingBox())!;
    const finger = (dx: number) => ({ x: mark.x + mark.width / 2 + dx, y: mark.y + 3, id: 1 });
    const was = await ground();
    for (const ending of ['second finger', 'taken away']) {
      await touch.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: [finger(0)] });
      for (const dx of [8, 16, 24])
        await touch.send('Input.dispatchTouchEvent', { type: 'touchMove', touchPoints: [finger(dx)] });
      await expect.poll(ground).not.toBe(was);
      if (ending === 'second finger') {
        const both = [finger(24), { x: mark.x + 90, y: mark.y + 90, id: 2 }];
        await touch.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: both });
        await expect.poll(ground).toBe(was);
        await touch.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
      } else {
        await touch.send('Input.dispatchTouchEvent', { type: 'touchCancel', touchPoints: [] });
      }
      await expect.poll(ground).toBe(was);
      expect(await page.getByRole('button', { name: /^Undo/ }).textContent()).toMatch(/course closed/);
    }
    const { wide, small } = await fitOf(page);
    expect({ wide, small }).toEqual({ wide: 0, small: [] });
    expectNoComplaints();
    await close();
  });

  test('a course of stretches is all in sight, and is turned into points on the same line', async () => {
    const { page, expectNoComplaints, close } = await open(VIEW, DESK);
    await page.getByRole('combobox', { name: 'Track', exact: true }).selectOption({ label: 'Cinder Yard' });
    await expect.poll(() => courseSays(page)).toMatch(/of 454\sm/);
    const board = await boardBox(page);
    const ground = () => page.locator('.board-ground').boundingBox();
    await expect.poll(async () => ((await ground())?.height ?? board.height) < board.height).toBe(true);
    await expect.poll(async () => ((await ground())?.y ?? 0) > board.y).toBe(true);
    await page.getByRole('button', { name: 'Turn the stretches into points' }).click();
    await expect.poll(() => pointsDrawn(page)).toBeGreaterThan(30);
    await expect.poll(() => courseSays(page)).toMatch(/of 45[2-6]\sm/);
    expectNoComplaints();
    await close();
  });
});

async function begin(page: Page): Promise<void> {
  await settled(page);
  await page.getByRole('button', { name: 'I have read this' }).click();
  await page.getByRole('button', { name: 'Draw a new course' }).click();
  await page.locator('.board').scrollIntoViewIfNeeded();
}

async function boardBox(page: Page): Promise<{ x: number; y: number; width: number; height: number }> {
  const box = await page.locator('.board').boundingBox();
  if (box === null) throw new Error('the drawing board is not on the page');
  return box;
}

async function tap(page: Page, spot: Spot): Promise<void> {
  const box = await boardBox(page);
  await page.mouse.click(box.x + spot.x, box.y + spot.y);
}

function pointsDrawn(page: Page): Promise<number> {
  return page.locator('.board-point').count();
}

async function courseSays(page: Page): Promise<string> {
  return (await page.locator('section[aria-labelledby="track-title"]').textContent()) ?? '';
}
