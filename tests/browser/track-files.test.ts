/** Courses from files and into files in a real browser; and a demo track drawn again over a picture of it. */
import { readFile } from 'node:fs/promises';
import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { compileTrack } from '../../sim/index.ts';
import { readDemo } from '../../ui/demo/demo-project.ts';
import type { Format } from '../../ui/web/exchange/track-files/write-course.ts';
import { writtenCourse } from '../../ui/web/exchange/track-files/write-course.ts';
import { describeInBrowser } from './harness.ts';
import { axeFindings, DESK, fitOf, SMALL, settled } from './looking.ts';

/** The address of the view that is tried. */
const VIEW = '#/track';
const demo = readDemo().project!;
const LIME = demo.tracks['brindlequag-works']!;
const ORIGIN = { latitude: 50.1, longitude: 8.2 };

describeInBrowser('courses in files', ({ open }) => {
  test('every format by the file chooser: previewed, taken as one step, undone', async () => {
    const { page, expectNoComplaints, close } = await open(VIEW, DESK);
    await openPanel(page);
    const before = await page.getByRole('combobox', { name: 'Track', exact: true }).inputValue();
    for (const format of ['GPX', 'GeoJSON', 'KML', 'CSV'] as const) {
      const { text, ending } = writtenCourse(LIME, format, ORIGIN)!;
      await choose(page, `lime${ending}`, text);
      await expect
        .poll(() => facts(page))
        .toMatch(/Closed, 90\d m long; \d+ places in the file, \d+ control points/);
      expect(await page.locator('.file-picture path.file-line').count()).toBe(1);
      expect(await facts(page)).toMatch(/moves at most [1-5] mm/);
      // Nothing has happened yet.
      expect(await page.getByRole('combobox', { name: 'Track', exact: true }).inputValue()).toBe(before);
      await page.getByLabel('Name', { exact: true }).last().fill(`Lime from ${format}`);
      await page.getByRole('button', { name: 'Take this course' }).click();
      await expect.poll(() => page.locator('.lap-time').first().textContent()).toBe(`Lime from ${format}`);
      await expect.poll(() => headline(page)).toMatch(/A closed circuit of 90\d\sm/);
      await page.getByRole('button', { name: /^Undo/ }).click();
      await expect
        .poll(() => page.locator('.lap-time').first().textContent())
        .not.toBe(`Lime from ${format}`);
    }
    expectNoComplaints();
    await close();
  });

  test('a recording of laps: one is cut, the heights are left out, the words are honest', async () => {
    const { page, expectNoComplaints, close } = await open(VIEW, DESK);
    await openPanel(page);
    await choose(page, 'laps.gpx', recordedLaps());
    await expect.poll(() => page.getByRole('combobox', { name: 'Laps' }).count()).toBe(1);
    expect(
      await page.getByRole('combobox', { name: 'Laps' }).locator('option').allTextContents(),
    ).toHaveLength(4);
    await expect.poll(() => facts(page)).toMatch(/Closed, \d{3} m long.*smoothed and thinned/);
    expect(await page.locator('.file-result').textContent()).toMatch(
      /receiver is off by 2 to 5 m.*Heights of a receiver/s,
    );
    expect(await page.getByLabel(/^Take the heights/).isChecked()).toBe(false);
    await page.getByLabel('The course may move by at most').selectOption({ label: '20 cm' });
    await expect.poll(() => facts(page)).toMatch(/at most (\d|1\d|20) cm/);
    await page.getByRole('combobox', { name: 'Laps' }).selectOption('all');
    await expect.poll(() => facts(page)).toMatch(/[12]\d{3} m long/);
    expect(await axeFindings(page)).toEqual([]);
    expectNoComplaints();
    await close();
  });

  test('broken, hostile and huge files are refused with place and reason, and names stay text', async () => {
    const { page, expectNoComplaints, close } = await open(VIEW, SMALL);
    await openPanel(page);
    const says = () => page.locator('.file-result').textContent();
    await choose(page, 'cut.gpx', writtenCourse(LIME, 'GPX', ORIGIN)!.text.slice(0, 2000));
    await expect.poll(says).toMatch(/cut\.gpx was not taken.*line \d+, column \d+/s);
    await choose(page, 'entity.kml', '<!DOCTYPE kml [<!ENTITY a "b">]><kml>&a;</kml>');
    await expect.poll(says).toMatch(/declares a document type/);
    await choose(page, 'north.csv', 'lat,lon\n50,8\n95,8\n');
    await expect.poll(says).toMatch(/no such latitude \(95\).*row 3/s);
    // Made in the page: sending it there takes longer than refusing it.
    await page.getByLabel('Choose a course file').evaluate((input) => {
      const files = new DataTransfer();
      files.items.add(new File([new Uint8Array(50_000_001)], 'huge.gpx'));
      (input as HTMLInputElement).files = files.files;
      input.dispatchEvent(new Event('change', { bubbles: true }));
    });
    await expect.poll(says).toMatch(/too large.*51 MB.*50 MB/s);
    const name = '<img src=x onerror=alert(1)>';
    const text = writtenCourse({ ...LIME, name }, 'GPX', ORIGIN)!.text;
    await choose(page, '<b>x</b>.gpx', text);
    await expect.poll(() => page.getByLabel('Name', { exact: true }).last().inputValue()).toBe(name);
    expect(await page.locator('.file-result img, .file-result b').count()).toBe(0);
    const { wide, small } = await fitOf(page);
    expect({ wide, small }).toEqual({ wide: 0, small: [] });
    expect(await axeFindings(page)).toEqual([]);
    expectNoComplaints();
    await close();
  });

  test('the chosen track saved and read back, about a start that is typed, by keys alone', async () => {
    const { page, expectNoComplaints, close } = await open(VIEW, DESK);
    await openPanel(page);
    const saved = async (format: Format) => {
      await page.getByLabel('As', { exact: true }).selectOption(format);
      const button = page.getByRole('button', { name: `Save as ${format}` });
      await button.focus();
      const [download] = await Promise.all([page.waitForEvent('download'), page.keyboard.press('Enter')]);
      return { name: download.suggestedFilename(), text: await readFile(await download.path(), 'utf8') };
    };
    expect(await page.locator('.track-files').textContent()).toMatch(/0° N, 0° E/);
    await page.getByLabel('Latitude of the start').fill('95');
    expect(await page.getByRole('button', { name: 'Save as GPX' }).isDisabled()).toBe(true);
    await page.getByLabel('Latitude of the start').fill('50.5');
    await page.getByLabel('Longitude of the start').fill('7.25 W');
    const gpx = await saved('GPX');
    expect(gpx.name).toBe('tansy-hollow.gpx');
    expect(gpx.text).toMatch(/<trkpt lat="50\.500000000" lon="-7\.250000000">/);
    const svg = await saved('SVG');
    expect(svg.text).toMatch(/^<svg [^>]*viewBox/);
    expect((await saved('CSV')).text).toMatch(/^x \(m\),y \(m\),height \(m\),width \(m\),surface\r\n/);
    await choose(page, gpx.name, gpx.text);
    await expect.poll(() => facts(page)).toMatch(/Closed, 63\d|64\d m long/);
    await page.getByRole('button', { name: 'Take this course' }).focus();
    await page.keyboard.press('Enter');
    await expect.poll(() => page.locator('.lap-time').first().textContent()).toBe('Tansy Hollow');
    // The place of the start was kept in the note, and stands there for the next export.
    await page.getByLabel('As', { exact: true }).selectOption('KML');
    await expect.poll(() => page.getByLabel('Latitude of the start').inputValue()).toBe('50.5');
    expectNoComplaints();
    await close();
  });

  test('a demo track drawn again over a picture of it: length and lap time within 1 %', async () => {
    const { page, expectNoComplaints, close } = await open(VIEW, DESK);
    await settled(page);
    const track = compileTrack(demo.tracks['tansy-hollow']!, 'track', 0.5).track!;
    // What the board says beside the pointer.
    const label = async () => {
      await page.locator('.board').hover({ position: { x: 20, y: 500 } });
      return page.locator('.board-label').textContent();
    };
    await expect.poll(label).toMatch(/course \d+ m · lap/);
    const [length, lap] = figures(await label());
    const picture = await pictureOf(page, track);
    await page.getByRole('button', { name: 'I have read this' }).click();
    await page.getByRole('button', { name: 'Draw a new course' }).click();
    await page
      .getByLabel('Choose a picture')
      .setInputFiles({ name: 'pit.png', mimeType: 'image/png', buffer: picture.png });
    await expect.poll(() => page.locator('.board image').count()).toBe(1);
    await page.locator('.board').evaluate((board) => board.scrollIntoView({ block: 'center' }));
    const onScreen = async (x: number, y: number): Promise<{ x: number; y: number }> => {
      const box = (await page.locator('.board image').boundingBox())!;
      const { u, v } = picture.at(x, y);
      return { x: Math.round(box.x + u * box.width), y: Math.round(box.y + v * box.height) };
    };
    // As large as the board takes it, by the wheel.
    const fillBoard = async (): Promise<void> => {
      const board = (await page.locator('.board').boundingBox())!;
      const image = (await page.locator('.board image').boundingBox())!;
      const middle = { x: board.x + board.width / 2, y: board.y + board.height / 2 };
      await page.mouse.move(middle.x, middle.y);
      await page.mouse.wheel(0, -400 * Math.log((board.height - 6) / image.height));
      const height = async () => (await page.locator('.board image').boundingBox())!.height;
      await expect.poll(height).toBeCloseTo(board.height - 6, -1);
      // And into its middle, by the middle button.
      const now = (await page.locator('.board image').boundingBox())!;
      await page.mouse.down({ button: 'middle' });
      await page.mouse.move(
        middle.x + middle.x - now.x - now.width / 2,
        middle.y + middle.y - now.y - now.height / 2,
        { steps: 4 },
      );
      await page.mouse.up({ button: 'middle' });
    };
    await fillBoard();
    // The scale: two places a stated distance apart, here the ends of the bar drawn on the picture.
    await page.getByRole('radio', { name: 'Measure' }).check();
    for (const [x, y] of picture.bar) {
      const at = await onScreen(x, y);
      await page.mouse.click(at.x, at.y);
    }
    await page.getByLabel('They really are').fill('120 m');
    await page.getByRole('button', { name: 'Scale the picture' }).click();
    await page.locator('.board').evaluate((board) => board.scrollIntoView({ block: 'center' }));
    await fillBoard();
    await page.getByRole('radio', { name: 'Draw' }).check();
    const taps = tapsAlong(track);
    expect(taps.length).toBeGreaterThan(25);
    expect(taps.length).toBeLessThan(40);
    await page.locator('.board').evaluate((board) => board.scrollIntoView({ block: 'center' }));
    const screen = [];
    for (const [x, y] of taps) screen.push(await onScreen(x, y));
    // Nobody taps to the pixel: one beside, by turns.
    for (const [i, at] of screen.entries())
      await page.mouse.click(at.x + [0, 1, 0, -1][i % 4]!, at.y + [1, 0, -1, 0][i % 4]!);
    await expect.poll(() => page.locator('.board-point').count()).toBe(taps.length);
    await page.mouse.click(screen[0]!.x, screen[0]!.y + 1);
    await expect.poll(() => headline(page)).toMatch(/A closed circuit/);
    // The lap of the course as closed, not of a tap before.
    await page.waitForTimeout(800);
    await expect.poll(label).toMatch(/course \d+ m · lap/);
    const [drawnLength, drawnLap] = figures(await label());
    expect(Math.abs(drawnLength / length - 1)).toBeLessThan(0.01);
    expect(Math.abs(drawnLap / lap - 1)).toBeLessThan(0.01);
    expectNoComplaints();
    await close();
  });
});

async function openPanel(page: Page): Promise<void> {
  await settled(page);
  await page.getByText('Take a course from a file, or save this one').click();
  await page.getByText('Choose a course file').waitFor();
}

function choose(page: Page, name: string, content: string): Promise<void> {
  const buffer = Buffer.from(content);
  return page.getByLabel('Choose a course file').setInputFiles({ name, mimeType: '', buffer });
}

async function facts(page: Page): Promise<string> {
  const found = page.locator('.file-facts');
  return (await found.count()) === 0 ? '' : ((await found.textContent()) ?? '');
}

async function headline(page: Page): Promise<string> {
  return (await page.locator('section[aria-labelledby="track-title"]').textContent()) ?? '';
}

function figures(label: string | null): [length: number, lap: number] {
  const found = /course (\d+) m · lap (?:(\d+):)?([\d.]+)/.exec(label ?? '');
  if (found === null) throw new Error(`no length and lap in "${label}"`);
  return [Number(found[1]), 60 * Number(found[2] ?? 0) + Number(found[3])];
}

/** Three and a half laps of an oval of some 330 m, twice a second, off by up to a metre. */
function recordedLaps(): string {
  const points = Array.from({ length: 260 }, (_, i) => {
    const angle = (2 * Math.PI * i) / 74;
    const [x, y] = [60 * Math.cos(angle) + Math.sin(7 * i), 45 * Math.sin(angle) + Math.cos(5 * i)];
    const time = new Date(Date.UTC(2026, 4, 1, 10) + 500 * i).toISOString();
    return `<trkpt lat="${50 + y / 111_230}" lon="${8 + x / 71_700}"><ele>${200 + 3 * Math.sin(3 * i)}</ele><time>${time}</time></trkpt>`;
  });
  return `<gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1"><trk><name>Evening</name><trkseg>${points.join('')}</trkseg></trk></gpx>`;
}

type Compiled = NonNullable<ReturnType<typeof compileTrack>['track']>;

/** The outline of a track as a picture, with a bar of 120 m; and where on it a place of the track lies. */
async function pictureOf(page: Page, track: Compiled) {
  const [x0, x1] = [Math.min(...track.x) - 12, Math.max(...track.x) + 12];
  const [y0, y1] = [Math.min(...track.y) - 11, Math.max(...track.y) + 5];
  const scale = 6;
  const line = Array.from(track.x, (x, i) => [(x - x0) * scale, (y1 - track.y[i]!) * scale] as const);
  const bar = [
    [x0 + 12, y0 + 4],
    [x0 + 132, y0 + 4],
  ] as const;
  const data = await page.evaluate(
    ({ places, ends, width, height, road }) => {
      const canvas = document.createElement('canvas');
      [canvas.width, canvas.height] = [width, height];
      const pen = canvas.getContext('2d')!;
      pen.fillStyle = '#cfe0c0';
      pen.fillRect(0, 0, width, height);
      const stroke = (list: readonly (readonly [number, number])[], colour: string, wide: number): void => {
        pen.strokeStyle = colour;
        pen.lineWidth = wide;
        pen.beginPath();
        for (const [x, y] of list) pen.lineTo(x, y);
        pen.stroke();
      };
      stroke([...places, places[0]!], '#8a6a4a', road);
      stroke(ends, '#000000', 4);
      return canvas.toDataURL('image/png').split(',')[1]!;
    },
    {
      places: line,
      ends: bar.map(([x, y]) => [(x - x0) * scale, (y1 - y) * scale] as const),
      width: Math.round((x1 - x0) * scale),
      height: Math.round((y1 - y0) * scale),
      road: 5.5 * scale,
    },
  );
  return {
    png: Buffer.from(data, 'base64'),
    bar,
    at: (x: number, y: number) => ({ u: (x - x0) / (x1 - x0), v: (y1 - y) / (y1 - y0) }),
  };
}

/** m between taps where nothing bends. */
const TAPS_APART = 22;

/** m; more than the 22 px within which a tap picks a point. */
const FINGER = 9;

/** Where a builder would tap: in the tightest place of every bend, and evenly between them. */
function tapsAlong({ count, curvature, distance, x, y, length }: Compiled): [number, number][] {
  const bend = (i: number): number => Math.abs(curvature[i] ?? 0);
  const around = [-8, -7, -6, -5, -4, -3, -2, -1, 1, 2, 3, 4, 5, 6, 7, 8];
  const stations = Array.from({ length: count }, (_, i) => i);
  // Tightest of four metres to each side; of several as tight, the first.
  const tightest = stations.filter(
    (i) =>
      i > 8 &&
      i < count - 8 &&
      bend(i) > 1 / 40 &&
      around.every((k) => (k < 0 ? bend(i + k) < bend(i) : bend(i + k) <= bend(i))),
  );
  const marks = [0, ...tightest];
  const taps = marks.flatMap((mark, m) => {
    const from = distance[mark]!;
    const way = (m + 1 < marks.length ? distance[marks[m + 1]!]! : length) - from;
    const pieces = Math.ceil(way / TAPS_APART);
    return Array.from({ length: pieces }, (_, k): [number, number] => {
      const i = distance.findIndex((s) => s >= from + (way * k) / pieces - 1e-9);
      return [x[i]!, y[i]!];
    });
  });
  // A finger apart from the one before and from the first, or it would pick that point.
  const apart = (a: readonly number[], b: readonly number[]): boolean =>
    Math.hypot(a[0]! - b[0]!, a[1]! - b[1]!) > FINGER;
  return taps.filter((tap, i) => i === 0 || (apart(tap, taps[i - 1]!) && apart(tap, taps[0]!)));
}
