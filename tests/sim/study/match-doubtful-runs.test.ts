/** Runs of a log that tell less than they seem to: brakes touched, pulls the tyres hold back, stops at the best setting. */
import { describe, expect, it } from 'vitest';
import type { Ask, BrakeResult, DriveLog, InputNote, MatchOptions, Project } from '../../../sim/index.ts';
import { matchLog, perform, readProjectValue } from '../../../sim/index.ts';
import type { InputChange } from '../../../sim/project/changed-inputs.ts';
import { withInputs } from '../../../sim/project/changed-inputs.ts';
import { demoInput } from '../../../ui/demo/demo-project.ts';
import { syntheticLog } from './synthetic-log.ts';

const { project, notes } = readProjectValue(demoInput()) as { project: Project; notes: readonly InputNote[] };
const who = { kart: 'clodlet-four-asphalt', day: 'mild', surface: 'asphalt' };
const ask: Ask = (on, requests) => Promise.resolve(requests.map((request) => perform(on, request)));
const inDoubt = (...paths: readonly string[]) =>
  notes.map((note) => (paths.includes(note.path) ? note : { ...note, spread: 0 }));
const match = (
  log: DriveLog,
  options: Partial<MatchOptions> = {},
  on = project,
  known: readonly InputNote[] = inDoubt(),
) => matchLog(on, known, log, { ...who, levelWithin: 0, speedWithin: 0, ...options }, ask);

describe('runs that tell less than they seem to', () => {
  it('slowing gently with the brakes is no rolling out', async () => {
    // After each pull 600 N and more of brakes: 1.6 m/s2 on 380 kg beside what rolling out does.
    const log = syntheticLog(project, { ...who, pulls: 4, rolls: 2, top: 25 }, { noise: 0.1 });
    const { segments, values } = await match(log, { fit: ['drag area', 'rolling resistance'] });
    expect(segments.filter(({ kind }) => kind === 'rolling out')).toHaveLength(2);
    for (const { id, factor, spread } of values) expect(Math.abs(factor - 1), id).toBeLessThan(4 * spread);
  });

  // m/s2 of brakes: much is no roll at all, a little makes one that is passed over and told of.
  it.each([
    [1, false],
    [0.75, true],
  ])('a roll with brakes of %d m/s2 is left out beside those without', async (brakes, isTold) => {
    const log = syntheticLog(project, { ...who, rolls: 3, top: 25, rollTo: 2 }, { noise: 0.02 });
    const { segments } = await match(log, { fit: [] });
    const rolls = segments.filter(({ kind }) => kind === 'rolling out');
    expect(rolls).toHaveLength(3);
    const [second] = rolls.slice(1);
    const from = log.time.findIndex((t) => t >= second!.start);
    const to = from + second!.time.length;
    // The same fall of speed in so much less time.
    const first = log.speed[from]!;
    const touched = log.speed.map((v, k) =>
      k < from || k >= to
        ? v
        : Math.max(0, Math.min(v, first - (first - v) - brakes * (log.time[k]! - log.time[from]!))),
    );
    const found = await match({ ...log, speed: touched }, { fit: [] });
    const left = found.segments.filter(({ kind }) => kind === 'rolling out');
    expect(left.map(({ start }) => Math.round(start))).toEqual(
      rolls.filter((roll) => roll !== second).map(({ start }) => Math.round(start)),
    );
    expect(found.passedOver.map(({ kind, why, start }) => [kind, why, Math.round(start)])).toEqual(
      isTold ? [['rolling out', 'a brake may have been touched', Math.round(second!.start)]] : [],
    );
  });

  it('a pull the tyres may hold back tells nothing of the engine, one in a high gear does', async () => {
    const weak = withInputs(project, [{ path: 'donors.four.torque.points', value: 0.9 }]);
    const short = syntheticLog(weak, { ...who, rolls: 3, top: 21, rollTo: 12 }, { noise: 0.05 });
    const first = await match(short, { fit: ['power'] });
    expect(first.segments.map(({ kind, gear }) => `${kind} ${gear}`)).toContain('pull 1');
    const heldBack = first.segments.filter(({ tyresHold }) => tyresHold);
    expect(heldBack.length).toBeGreaterThan(0);
    expect(new Set(heldBack.map(({ kind }) => kind))).toEqual(new Set(['pull']));
    expect(first.values).toEqual([]);
    expect(first.refused[0]!.why).toContain('tyres may set the pace');
    const long = syntheticLog(weak, { ...who, rolls: 3, top: 38, rollTo: 28 }, { noise: 0.05 });
    const { values } = await match(long, { fit: ['power'] });
    expect(values.map(({ id }) => id)).toEqual(['power']);
    expect(Math.abs(values[0]!.factor - 0.9)).toBeLessThan(4 * values[0]!.spread);
    // Not by being vague: a twentieth either way is less than a sheet is known to.
    expect(values[0]!.spread).toBeLessThan(0.02);
  });

  it('with brakes at the best share, a share in doubt leaves grip open: off either way it stops worse', async () => {
    const BAR = 'brakes.bar.hydraulics.barFrontShare';
    const PAD = 'brakes.bar.hydraulics.front.padFriction';
    const pad = notes.find(({ path }) => path === PAD)!;
    const stopAt = (bar: number) =>
      (
        perform(withInputs(project, [{ path: BAR, value: bar }]), {
          ...who,
          verb: 'brake',
          options: { fromSpeed: 25 },
        }).result as BrakeResult
      ).distance;
    const bars = Array.from({ length: 61 }, (_, i) => 0.3 + i / 150);
    const best = bars.reduce((least, bar) => (stopAt(bar) < stopAt(least) ? bar : least));
    const atBest = withInputs(project, [{ path: BAR, value: best }]);
    const offs: number[] = [];
    for (const step of [-1, 1]) {
      const changes: InputChange[] = [{ path: PAD, value: pad.value + step * pad.spread }];
      const log = syntheticLog(withInputs(atBest, changes), { ...who, stops: 4, top: 27 }, { noise: 0.05 });
      const { values } = await match(log, { fit: ['grip'] }, atBest, inDoubt(PAD));
      const [grip] = values;
      offs.push(1 - grip!.factor);
      // True grip is as in the file; by the log alone it would be ruled out.
      expect(grip!.low).toBeLessThan(1);
      expect(grip!.high).toBeGreaterThan(1);
      expect(grip!.fromLog.high).toBeLessThan(1);
      const part = grip!.fromInputs.find(({ path }) => path === PAD)!.spread;
      expect(part).toBeGreaterThan(0.5 * offs.at(-1)!);
      expect(part).toBeLessThan(2 * offs.at(-1)!);
    }
    for (const off of offs) expect(off).toBeGreaterThan(0.01);
  });
});
