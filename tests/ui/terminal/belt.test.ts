/** A kart with a belt in the terminal: no gears, no shifts, and what its driver can use instead. */
import { expect, test } from 'vitest';
import { kartwright } from './run-command.ts';

const BELT = 'clodlet-twin-asphalt';
const BOX = 'clodlet-single-asphalt';
const on = ['--surface', 'asphalt'];

test('topspeed speaks of the parts of its range and of over-rev once', async () => {
  const { out, code } = await kartwright('topspeed', '--kart', BELT, ...on);
  expect(code).toBe(0);
  expect(out).toMatch(/top speed \d+ km\/h in the highest ratio of the belt$/m);
  expect(out).not.toMatch(/gear|downshift|shift at/);
  const rows = ['lowest ratio', 'changing', 'highest ratio'].map((name) =>
    out
      .split('\n')
      .find((line) => line.trim().startsWith(name))!
      .trim()
      .split(/ {2,}/),
  );
  const overall = rows.map(([, ratio]) => ratio!);
  expect(overall[1]).toBe(`${overall[0]} to ${overall[2]}`);
  expect(rows.map((row) => row[5])).toEqual(['belt goes on', 'belt goes on', 'limiter']);
  expect(out.match(/past the highest speed given for it/g)).toHaveLength(1);
  expect(out).toMatch(/throttle shut the belt is taken to stand in its highest ratio; above \d+ km\/h/);
});

test('topspeed of a box beside it says both, each kart for itself', async () => {
  const { out } = await kartwright('topspeed', '--kart', `${BOX},${BELT}`, ...on);
  expect(out).toMatch(/top speed \d+ km\/h in gear \d/);
  expect(out).toMatch(/^The limiter cannot prevent over-rev on a downshift/m);
  expect(out).toMatch(new RegExp(`^${BELT}: with the throttle shut`, 'm'));
});

test('curves of karts that differ in gears keep their rows in one table', async () => {
  const { out } = await kartwright('topspeed', '--kart', `${BELT},${BOX}`, ...on, '--csv');
  const [head, ...rows] = out
    .trim()
    .split('\n')
    .map((line) => line.split(','));
  expect(head!.filter((name) => name.startsWith('thrust'))).toEqual([
    ...['low', 'belt', 'high'].map((part) => `thrust belt ${part} [N]`),
    ...[1, 2, 3, 4, 5].map((gear) => `thrust gear ${gear} [N]`),
  ]);
  const at = (name: string) => head!.indexOf(name);
  for (const row of rows) {
    expect(row).toHaveLength(head!.length);
    const isBelt = row[at('kart')] === BELT;
    expect(row[at('thrust belt low [N]')] === '').toBe(!isBelt);
    expect(row[at('thrust gear 5 [N]')] === '').toBe(isBelt);
  }
});

test('accelerate counts no upshifts; its CSV names the part, its JSON has null', async () => {
  const words = ['accelerate', '--kart', `${BELT},${BOX}`, ...on];
  const { out } = await kartwright(...words);
  expect(out).toMatch(/^ +upshifts +belt +\d$/m);
  expect(out).toMatch(/^ +clutch or belt holds after /m);
  const csv = (await kartwright(...words, '--csv')).out;
  expect(csv).toMatch(/,belt,\d/);
  const { result } = JSON.parse((await kartwright(...words, '--json')).out);
  expect(result[0].shifts).toBeNull();
  expect(result[1].shifts.length).toBeGreaterThan(0);
});

test('brake has no stop that shifts down, and names the ratio it stops in', async () => {
  const { out } = await kartwright('brake', '--kart', BELT, ...on);
  expect(out).not.toMatch(/shifting down/);
  expect(out).toMatch(/in gear .* highest ratio /);
  expect(out.split('\n').filter((line) => line.includes(BELT))).toHaveLength(2);
});

test('lap, teeth, balance and unknowns neither count shifts nor number gears', async () => {
  const lap = await kartwright('lap', '--kart', BELT, '--track', 'oval');
  expect(lap.out).toMatch(/^ +shifts +belt$/m);
  expect(lap.out).toMatch(/^ +time in ratios +.*changing: \d/m);
  const teeth = await kartwright('teeth', '--kart', BELT, '--tracks', 'oval');
  expect(teeth.out).not.toMatch(/ shifts |speeds in gears/);
  expect(teeth.out).toMatch(/lowest, highest ratio at the limiter km\/h/);
  const balance = await kartwright('balance', '--kart', BELT);
  expect(balance.out).toMatch(/least loss, clutch in or in gear/);
  expect(balance.out).not.toMatch(/gear \d/);
  const unknowns = await kartwright('unknowns', '--kart', BELT, '--track', 'oval', '--draws', '64');
  expect(unknowns.out).toMatch(/^ +top speed /m);
  expect(unknowns.out).not.toMatch(/^ +shifts /m);
});
