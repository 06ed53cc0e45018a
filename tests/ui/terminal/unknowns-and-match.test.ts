/** `unknowns` and `match` as their user meets them. */
import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { readProject } from '../../../sim/index.ts';
import { fixed, shownUnits } from '../../../ui/terminal/shown-units.ts';
import { demoWith } from '../../sim/demo-project.ts';
import { inFolder, kartwright } from './run-command.ts';

const OUTING = 'ui/demo/made-up-outing.csv';

describe('unknowns', () => {
  test('one object with intervals, decision and shares', async () => {
    const words = ['unknowns', '--of', 'topspeed', '--kart', 'clodlet-four-asphalt,clodlet-single-asphalt'];
    const { code, out } = await kartwright(...words, '--surface', 'asphalt', '--draws', '64', '--json');
    expect(code).toBe(0);
    const { status, result, diagnostics } = JSON.parse(out);
    expect(status).toBe('done');
    expect(diagnostics).toMatchObject({ draws: 64, answered: 64, seed: 1 });
    expect(result.mainFigure).toBe('top speed');
    const spread = result.karts[0].figures[0].spread;
    expect(spread.p5).toBeLessThan(spread.p50);
    expect(spread.p50).toBeLessThan(spread.p95);
    expect(result.decisions[0]).toMatchObject({
      figure: 'top speed',
      better: 'more',
      verdict: 'first',
      sureness: 'decided',
    });
    expect(result.variance[0].from).toBe('sampled');
    expect(result.karts[0].sample.length).toBe(64);
  });

  test('a table and CSV; the same seed, the same answer', async () => {
    const words = ['unknowns', '--of', 'brake', '--surface', 'asphalt', '--draws', '64'];
    await inFolder(async (file) => {
      const page = file('unknowns.html', '');
      const text = await kartwright(...words, '--plot', '--html', page);
      expect(text.out).toContain('nine in ten between');
      expect(text.out).toContain('Worth measuring');
      expect(text.out).toContain('share of the draws at or below');
      const written = readFileSync(page, 'utf8');
      for (const part of [
        'nine in ten between',
        'Worth measuring',
        'share of the draws at or below',
        '<svg',
        '64 draws, seed 1',
      ])
        expect(written).toContain(part);
      expect(written).not.toMatch(/NaN|Infinity|undefined/);
      expect(written.indexOf('Worth measuring')).toBeLessThan(written.indexOf('<table'));
    });
    const csv = await kartwright(...words, '--csv');
    expect(csv.out.split('\n').length).toBe(66);
    expect((await kartwright(...words, '--csv', '--seed', '1')).out).toBe(csv.out);
    expect((await kartwright(...words, '--csv', '--seed', '2')).out).not.toBe(csv.out);
  }, 90_000);

  test('of two karts the comparison comes first: what would settle it, a shared driver, why something is not measured', async () => {
    const words = ['unknowns', '--track', 'oval', '--kart', 'clodlet-four-knobbly,clodlet-single-knobbly'];
    const { code, out } = await kartwright(...words, '--draws', '64');
    expect(code).toBe(0);
    const [first, second] = out.split('\n');
    expect(first).toMatch(
      /^clodlet-\w+-knobbly (beats|is ahead of) clodlet-\w+-knobbly in .* of the draws, by [\d.]+ s in the middle \(nine in ten between .*\): (decided|likely|too close to call)\.$/,
    );
    expect(second).toMatch(/^(Most likely to settle it|No measurement listed here|Nothing need be measured)/);
    expect(out).toContain('of the doubt, by itself');
    expect(out).toContain('of the doubt, with whatever it acts together with');
    expect(out).toContain('driver.gripUse of both karts');
    expect(out).not.toContain('karts.clodlet-four-knobbly.driver');
    expect(out).toMatch(/The interval gets narrower by (under )?\d+ %( ± \d+)?/);
    expect(out).toMatch(
      /To blame, but not to be measured by itself:\n(.*\n)* {2}driver\.gripUse of both karts \(\d+ %( ± \d+)? of the doubt\): laps tell it only together with the grip/,
    );
  }, 90_000);

  test('what rounds to nothing has no sign', () => {
    expect(fixed(-0.3, 0)).toBe('0');
    expect(fixed(-0.04, 1)).toBe('0.0');
    expect(fixed(-0.06, 1)).toBe('-0.1');
    expect(shownUnits(demoWith()).value(-0.001, 'ratio', 0)).toBe('0 %');
  });

  test.each([
    ['too few draws', ['--draws', '3'], '--draws'],
    ['something else', ['--of', 'corner'], "'lap'"],
  ])('%s is a wrong command line', async (_name, words, message) => {
    const { code, err } = await kartwright('unknowns', ...words);
    expect(code).toBe(2);
    expect(err).toContain(message);
  });
});

/** Four rounds of a circle of a length at a speed, m and m/s, as a logger writes them. */
function circle(length: number, speed: number): string {
  const radius = length / (2 * Math.PI);
  const rows = Array.from({ length: Math.ceil((4.1 * length * 10) / speed) }, (_, i) => {
    const angle = (speed * i) / 10 / radius;
    return `${(i / 10).toFixed(1)},${speed},${(radius * Math.cos(angle)).toFixed(2)},${(radius * Math.sin(angle)).toFixed(2)}`;
  });
  return `time [s],speed [m/s],x [m],y [m]\n${rows.join('\n')}\n`;
}

describe('match', () => {
  const who = ['--kart', 'clodlet-four-asphalt', '--surface', 'asphalt'];

  test('says what it read, the raw gap, what it fitted and what not', async () => {
    const { code, out, page } = await inFolder(async (file) => {
      const target = file('match.html', '');
      const run = await kartwright('match', OUTING, ...who, '--plot', '--html', target);
      return { ...run, page: readFileSync(target, 'utf8') };
    });
    expect(code).toBe(0);
    for (const part of ['rolling out', 'What the log says', 'km/h apart as the file has it', '<svg'])
      expect(page).toContain(part);
    expect(page).not.toMatch(/NaN|Infinity|undefined/);
    expect(out).toContain('"GPS_Speed [km/h]": speed, km/h.');
    expect(out).toContain('rolling out');
    expect(out).toContain('Not fitted: engine drag - the log has no engine braking');
    expect(out).toContain('Nothing has been changed');
    expect(page).toContain('from how true the logged speeds are');
    expect(out).toMatch(
      /drag area: nine in ten between 1\.1\d+ and 1\.1\d+ times the file, most of it from how true the logged speeds are; by the log alone 1\.12\d to 1\.1[23]\d\./,
    );
    expect(out).toContain('the log’s places tell which way each run went');
    expect(out).toContain('level give or take 1 %');
    expect(out).toContain('logged speeds are taken as true give or take 1 %');
    // The one pull of the outing is in first gear, where the tyres slip.
    expect(out).toContain('Not fitted: power - in the pulls of this log the tyres may set the pace');
  });

  test('a strip driven out and back has no lap of a track in it, and no driver to take over', async () => {
    const words = ['match', OUTING, ...who, '--fit', 'drag area', '--track', 'brindlequag-works'];
    const { code, out } = await kartwright(...words);
    expect(code).toBe(0);
    expect(out).toContain('Nothing in the log comes round to its place a second time without standing still');
    expect(out).toContain('Laps of Brindlequag Works: logged none; estimated 61.61 s');
    expect(out).not.toContain('the driver uses');
  });

  test('laps alone are a match; all that is accepted leaves out a driver’s share at its bound', async () => {
    await inFolder(async (file) => {
      // Steady rounds of the oval's own length, far slower than its laps at any share of the grip.
      const laps = circle(214.25, 4);
      const log = file('rounds.csv', laps);
      const words = ['match', log, ...who, '--track', 'oval'];
      const { code, out } = await kartwright(...words);
      expect(code).toBe(0);
      expect(out).toContain('on asphalt: beside its laps the log shows no run along a straight');
      expect(out).toMatch(/s of the log are laps, 21\d m round: left out of the runs along a straight/);
      expect(out).toContain('Do not trust it');
      const target = file('unwritten.txt', '').replace('unwritten.txt', 'taken.kartwright.json');
      const all = await kartwright(...words, '--accept', 'all', '--write', target);
      expect(all.code).toBe(2);
      expect(all.err).toContain('nothing that was found is both to be trusted');
      expect(existsSync(target)).toBe(false);
    });
  });

  test('counts how level the ground is, as told', async () => {
    const words = ['match', OUTING, ...who, '--fit', 'drag area,rolling resistance', '--json'];
    const spread = async (within: string) => {
      const { code, out } = await kartwright(...words, '--level-within', within);
      expect(code).toBe(0);
      const { values, levelWithin, slopeFound } = JSON.parse(out).result;
      return { spread: values[1].spread, levelWithin, slopeFound };
    };
    const [level, unsure] = [await spread('0 %'), await spread('2 %')];
    expect(level.levelWithin).toBe(0);
    expect(unsure.levelWithin).toBe(0.02);
    // The outing goes out and back: it tells the slope by itself, however little was known of it.
    expect(unsure.spread).toBeLessThan(1.5 * level.spread);
    expect(level.slopeFound).toBeNull();
    // Made up on level ground.
    expect(Math.abs(unsure.slopeFound.rise)).toBeLessThan(4 * unsure.slopeFound.spread);
    expect(unsure.slopeFound.spread).toBeLessThan(0.001);
    const below = await kartwright(...words, '--level-within', '-1 %');
    expect(below.code).toBe(2);
    expect(below.err).toContain('not below nothing');
  });

  test('takes values over into a new file, never over one that is there', async () => {
    await inFolder(async (file) => {
      const target = file('placeholder.txt', '').replace('placeholder.txt', 'calibrated.kartwright.json');
      const words = [
        'match',
        OUTING,
        ...who,
        '--fit',
        'drag area,rolling resistance',
        '--speed-within',
        '0.2 %',
      ];
      const accept = ['--accept', 'drag area', '--write', target, '--date', '2026-05-17'];
      const first = await kartwright(...words, ...accept, '--json');
      expect(first.code).toBe(0);
      const found = JSON.parse(first.out).result.values[0];
      expect(found.id).toBe('drag area');
      // The made-up kart had 0.90 m2.
      expect(Math.abs(found.places[0].after - 0.9)).toBeLessThan(4 * 0.8 * found.fromLog.spread);
      // The kart and the day of the made-up outing are the file's own; a builder's may differ from it by its spreads.
      expect(found.mostFrom.path).toBe('chassis.clodlet.mass');
      expect(found.spread).toBeGreaterThan(2 * found.fromLog.spread);
      expect(existsSync(target)).toBe(true);
      const read = readProject(readFileSync(target, 'utf8'));
      const note = read.notes.find((n) => n.path === 'chassis.clodlet.aero.dragArea')!;
      expect(note.value).toBeCloseTo(found.places[0].after, 4);
      expect(note.spread).toBeCloseTo(0.8 * found.spread, 6);
      expect(note.origin).toBe('measured');
      expect(note.note).toContain('2026-05-17');
      const again = await kartwright(...words, ...accept);
      expect(again.code).toBe(2);
      expect(again.err).toContain('is there already');
      const other = target.replace('calibrated', 'other');
      const told = await kartwright(...words, '--accept', 'drag area', '--write', other);
      expect(told.err).toContain('drag area taken over');
      expect(told.out).toContain('level give or take 1 %');
      expect(told.out).not.toContain('Nothing has been changed');
    });
  });

  test('columns nobody can tell are asked for by the option; one in thousands of rpm is told', async () => {
    await inFolder(async (file) => {
      const rows = Array.from({ length: 60 }, (_, i) => `${i / 10},${i / 10},${3 + i / 100}`).join('\n');
      const log = file('letters.csv', `a,b,Engine_speed rpm x1000\n${rows}\n`);
      const { code, err } = await kartwright('match', log, ...who);
      expect(code).not.toBe(0);
      expect(err).toContain('no column of times was found');
      expect(err).toContain('--columns "time=Stamp:ms,speed=Vel:km/h"');
      const named = await kartwright('match', log, ...who, '--columns', 'time=a:s,speed=b:m/s');
      expect(named.out).toContain('"Engine_speed rpm x1000": engine speed, rpm x 1000.');
    });
  });

  test('CSV of logged, estimated and fitted speeds', async () => {
    const { out } = await kartwright('match', OUTING, ...who, '--fit', 'drag area', '--csv');
    expect(out.split('\n')[0]).toBe('segment,kind,time [s],logged [m/s],as in the file [m/s],fitted [m/s]');
  });

  test.each([
    ['no log', ['match'], 'takes one log'],
    ['a log that is not there', ['match', 'nowhere.csv'], 'does not exist'],
    ['a value that cannot be fitted', ['match', OUTING, '--fit', 'mood'], 'not '],
    ['a column without a header', ['match', OUTING, '--columns', 'speed'], '--columns'],
    ['accepting into nothing', ['match', OUTING, ...who, '--fit', 'drag area', '--accept', 'all'], '--write'],
  ])('%s is a wrong command line', async (_name, words, message) => {
    const { code, err } = await kartwright(...words);
    expect(code).toBe(2);
    expect(err).toContain(message);
  });
});
