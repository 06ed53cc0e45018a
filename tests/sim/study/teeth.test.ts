/** Which teeth: what a pair does, near-ties, what to carry; through the public path on the demo. */
import { describe, expect, it } from 'vitest';
import type { InputChange, TeethOptions, TeethResult } from '../../../sim/index.ts';
import {
  createPerformer,
  inputsInUse,
  perform,
  performStudy,
  planTeeth,
  probesOf,
  readProjectValue,
} from '../../../sim/index.ts';
import { worthCarrying } from '../../../sim/study/teeth/worth-carrying.ts';
import { demoInput } from '../../../ui/demo/demo-project.ts';
import type { Raw } from '../demo-project.ts';
import { demoWith } from '../demo-project.ts';

const KART = 'clodlet-four-asphalt';
const OPTIONS: TeethOptions = { kart: KART, day: 'mild', tracks: ['circle', 'cinder-yard'], stock: 'owned' };

function teeth(change?: (raw: Raw) => void, options: Partial<TeethOptions> = {}): TeethResult {
  const project = demoWith(change);
  const { study } = planTeeth(project, { ...OPTIONS, ...options });
  return performStudy(study!, createPerformer().bind(undefined, project))!;
}

const sprockets = (front: readonly number[], rear: readonly number[]) => (raw: Raw) => {
  const listed = (list: readonly number[]) => list.map((n) => ({ teeth: n, owned: true }));
  raw.sprockets = { front: listed(front), rear: listed(rear) };
  raw.karts[KART].sprockets = { front: front[0], rear: rear[0] };
};

const pairIndex = (r: TeethResult, front: number, rear: number) =>
  r.pairs.findIndex((p) => p.front === front && p.rear === rear);

describe('teeth', () => {
  it('warns where the sheet of the engine says little of the air of the day', () => {
    const told = (day: string) => planTeeth(demoWith(), { ...OPTIONS, day }).problems.map(({ code }) => code);
    expect(told('mild')).toEqual([]);
    expect(told('high-heat')).toEqual(['beyond-correction']);
  });

  it('a pair and its multiple ratio give the same lap, but not the same chain', () => {
    const r = teeth(sprockets([13, 14, 15], [39, 42, 45]));
    const same = [pairIndex(r, 13, 39), pairIndex(r, 14, 42), pairIndex(r, 15, 45)];
    for (const { laps } of r.tracks) {
      expect(new Set(same.map((i) => laps[i]!.time)).size).toBe(1);
      expect(new Set(laps.map((lap) => lap!.time)).size).toBeGreaterThan(1);
    }
    expect(new Set(same.map((i) => r.pairs[i]!.chain.exactLinks)).size).toBe(3);
  });

  it('is the lap of a kart with those teeth written into the file', () => {
    const r = teeth(sprockets([14, 15], [40, 44]));
    const written = demoWith((raw) => {
      raw.karts[KART].sprockets = { front: 15, rear: 44 };
    });
    const lap = perform(written, {
      verb: 'lap',
      kart: KART,
      day: 'mild',
      track: 'cinder-yard',
      spacing: 0.5,
    }).result!;
    const found = r.tracks[1]!.laps[pairIndex(r, 15, 44)]!;
    expect(found).toMatchObject({ time: lap.time, topSpeed: lap.topSpeed, shifts: lap.shifts });
    expect([found.limiterTime, found.limiterBeforeBraking]).toEqual([
      lap.timeAtLimiter,
      lap.limiterBeforeBraking,
    ]);
  });

  it('more pairs never make the best worse', () => {
    const few = teeth();
    const all = teeth(undefined, { stock: 'all' });
    expect(all.pairs.length).toBeGreaterThan(few.pairs.length);
    for (const [t, { laps, best }] of few.tracks.entries()) {
      const more = all.tracks[t]!;
      expect(more.laps[more.best]!.time).toBeLessThanOrEqual(laps[best]!.time);
    }
  });

  it('a wider noise outlines more pairs, and all of them lie within it', () => {
    const narrow = teeth(undefined, { stock: 'all', noise: 0.01 });
    const wide = teeth(undefined, { stock: 'all', noise: 0.1 });
    for (const [t, track] of wide.tracks.entries()) {
      expect(track.ties.length).toBeGreaterThanOrEqual(narrow.tracks[t]!.ties.length);
      const best = track.laps[track.best]!.time;
      for (const pair of track.ties) expect(track.laps[pair]!.time - best).toBeLessThanOrEqual(0.1);
    }
  });

  it('the compromise loses least in sum; the set carried keeps every track within what it may lose', () => {
    const r = teeth(undefined, { stock: 'all', cover: 0.2 });
    const relative = (pair: number) =>
      r.tracks.reduce((sum, t) => sum + t.laps[pair]!.time / t.laps[t.best]!.time - 1, 0);
    const sums = r.pairs.map((_, i) => relative(i));
    const least = sums.indexOf(Math.min(...sums));
    const { pair: chosen, losses } = r.compromise!;
    // No clock tells it from the least sum on any track; of such pairs none is fitted or cheaper, nor as cheap with less to lose.
    const alike = (pair: number) =>
      r.tracks.every((t) => Math.abs(t.laps[pair]!.time - t.laps[least]!.time) <= r.noise);
    expect(alike(chosen)).toBe(true);
    const price = (pair: number) => (r.pairs[pair]!.owned ? 0 : r.pairs[pair]!.toBuy!);
    const worst = (pair: number) =>
      Math.max(...r.tracks.map((t) => t.laps[pair]!.time - t.laps[t.best]!.time));
    if (chosen !== r.fitted)
      for (const other of r.pairs.keys())
        if (alike(other) && other !== chosen) {
          expect(other).not.toBe(r.fitted);
          expect(price(chosen)).toBeLessThanOrEqual(price(other));
          if (price(chosen) === price(other)) expect(worst(chosen)).toBeLessThanOrEqual(worst(other) + 1e-12);
        }
    expect(losses).toEqual(r.tracks.map((t) => t.laps[chosen]!.time - t.laps[t.best]!.time));
    for (const loss of r.carry!.losses) expect(loss).toBeLessThanOrEqual(0.2);
    for (const pair of r.carry!.pairs) {
      expect(r.carry!.front).toContain(r.pairs[pair]!.front);
      expect(r.carry!.rear).toContain(r.pairs[pair]!.rear);
    }
  });

  it('a short drive spends time on the limiter before the braking point, a tall one none', () => {
    const short = teeth(sprockets([13], [66]), { tracks: ['brindlequag-works'] });
    const tall = teeth(sprockets([16], [36]), { tracks: ['brindlequag-works'] });
    const of = (r: TeethResult) => r.tracks[0]!.laps[0]!;
    expect(of(short).limiterBeforeBraking).toBeGreaterThan(20);
    expect(of(short).limiterTime).toBeGreaterThan(1);
    expect(of(tall).limiterBeforeBraking).toBe(0);
    expect(of(short).topSpeed).toBeLessThan(of(tall).topSpeed);
  });

  it('speeds in gears and chain speed follow the teeth', () => {
    const r = teeth(sprockets([14, 15], [42, 45]));
    const [a, b] = [r.pairs[pairIndex(r, 14, 45)]!, r.pairs[pairIndex(r, 15, 42)]!];
    for (const [k, speed] of a.speedsInGears.entries())
      expect(b.speedsInGears[k]! / speed!).toBeCloseTo(a.ratio / b.ratio, 12);
    expect(b.chain.speedAtLimiter / a.chain.speedAtLimiter).toBeCloseTo(15 / 14, 12);
  });

  it('a tyre a tenth larger acts as a tenth fewer teeth', () => {
    const r = teeth((raw) => {
      const turn = 1.4;
      raw.tyres['asphalt-rear'].rollOut = turn;
      raw.tyres['knobbly-rear'].rollOut = 1.1 * turn;
    });
    const larger = r.tyres.find((t) => t.tyre === 'knobbly-rear')!;
    const rear = demoWith().karts[KART]!.sprockets!.rear;
    expect(larger.actsAs).toBeCloseTo(rear / 1.1, 9);
    expect(larger.keepsWith).toBeCloseTo(rear * 1.1, 9);
  });

  it('where no clock tells any pair from another there is nothing to compare with', () => {
    const { ties, rival, laps, named } = teeth().tracks[0]!;
    expect(ties.length).toBe(laps.length);
    expect(rival).toBeNull();
    expect(laps[named]!.time).toBeGreaterThan(0);
  });

  describe('how sure', () => {
    const { notes } = readProjectValue(demoInput());
    const project = demoWith();
    const ask = createPerformer().bind(undefined, project);
    const asked: TeethOptions = { ...OPTIONS, tracks: ['brindlequag-works', 'cinder-yard'], stock: 'all' };
    const planned = planTeeth(project, { ...asked, notes }).study!;
    const sure = performStudy(planned, ask)!;

    it('without notes there is a lap but no spread; with them the laps are the same', () => {
      const bare = performStudy(planTeeth(project, asked).study!, ask)!;
      for (const [t, on] of bare.tracks.entries()) {
        expect([on.spread, on.rival!.spread, on.rival!.verdict]).toEqual([null, null, null]);
        expect(sure.tracks[t]!.laps).toEqual(on.laps);
        expect(sure.tracks[t]!.spread).toBeGreaterThan(0);
      }
    });

    it('the spread of a lap is near that of each unknown moved by itself, where effects are straight', () => {
      const { track, named, laps, spread } = sure.tracks[1]!;
      const lap = { verb: 'lap', kart: KART, day: 'mild', track, spacing: 0.5 } as const;
      const pair = sure.pairs[named]!;
      const teethOn = { path: `karts.${KART}.sprockets`, value: { front: pair.front, rear: pair.rear } };
      const time = (change: InputChange) =>
        perform(project, { ...lap, changes: [teethOn, change] }).result!.time;
      let variance = 0;
      for (const { less, more } of probesOf(inputsInUse(notes, lap, project)))
        variance += ((time(more) - time(less)) / 2) ** 2;
      // 128 draws know the middle 68 % to 8 % of a deviation, and grip bends its effect by some per cent.
      expect(Math.abs(spread! / Math.sqrt(variance) - 1)).toBeLessThan(0.25);
      expect(laps[named]!.time).toBe(perform(project, { ...lap, changes: [teethOn] }).result!.time);
    });

    it('two pairs of one kart differ by far less than either lap is unsure of', () => {
      for (const { named, rival, spread, laps } of sure.tracks) {
        expect(rival!.difference).toBe(laps[rival!.pair]!.time - laps[named]!.time);
        expect(rival!.spread).toBeGreaterThanOrEqual(0);
        expect(rival!.spread! < spread! / 2).toBe(true);
      }
    });

    it('names the fitted pair among the near-ties, else one owned; the rival is the other of the two', () => {
      for (const { named, rival, ties, laps } of sure.tracks) {
        expect(ties).toContain(named);
        if (ties.includes(sure.fitted)) {
          expect(named).toBe(sure.fitted);
          expect(ties).not.toContain(rival!.pair);
          const beyond = laps.flatMap((lap, i) => (ties.includes(i) ? [] : [lap!.time]));
          expect(laps[rival!.pair]!.time).toBe(Math.min(...beyond));
        } else {
          const owned = ties.filter((i) => sure.pairs[i]!.owned);
          const [from, size] = [owned.length > 0 ? owned : ties, sure.pairs[named]!.front];
          expect(from).toContain(named);
          expect(size).toBe(Math.max(...from.map((i) => sure.pairs[i]!.front)));
          expect(rival!.pair).toBe(sure.fitted);
        }
      }
    });
  });

  it('says so where no sprockets are listed, and tries those around the fitted pair', () => {
    const project = demoWith((raw) => {
      raw.sprockets = { front: [], rear: [] };
    });
    const { study, problems } = planTeeth(project, { ...OPTIONS, tracks: ['circle'] });
    expect(problems.map((p) => [p.severity, p.code])).toEqual([['warning', 'no-sprockets']]);
    const r = performStudy(study!, createPerformer().bind(undefined, project))!;
    expect(r.fronts).toEqual([14, 15, 16]);
    expect(r.pairs[r.fitted]).toMatchObject({ front: 15, rear: 42, owned: true });
  });

  it('answers in part say how far they came, and choose among what is there', () => {
    const project = demoWith();
    const { study } = planTeeth(project, OPTIONS);
    const first = study!.combine([perform(project, study!.requests[0]!)])!;
    expect(first.done).toBeGreaterThan(0);
    expect(first.done).toBeLessThan(first.total);
    expect(first.tracks[0]!.best).toBeGreaterThanOrEqual(0);
    expect(first.tracks[1]!.best).toBe(-1);
    expect(first.carry).toBeNull();
  });
});

describe('boxes', () => {
  const options = { stock: 'all', tracks: ['brindlequag-works', 'cinder-yard', 'tansy-hollow'] } as const;
  // A clock that tells everything: the least is the least.
  const r = teeth(undefined, { ...options, noise: 0 });
  const worst = (losses: readonly number[]) => Math.max(...losses);

  it('more sprockets give away less, and no set of that size gives away less than the one named', () => {
    expect(r.boxes.length).toBeGreaterThan(1);
    const losses = r.tracks.map(({ laps, best }) => laps.map((lap) => lap!.time - laps[best]!.time));
    for (const [b, box] of r.boxes.entries()) {
      if (b > 0) expect(worst(box.losses)).toBeLessThan(worst(r.boxes[b - 1]!.losses));
      const size = box.front.length + box.rear.length;
      // Every split of the size, every choice of fronts; the rears by trying all of them.
      const lowest = (fronts: readonly number[], rears: readonly number[]) =>
        worst(
          losses.map((row) =>
            Math.min(
              ...row.filter((_, i) => fronts.includes(r.pairs[i]!.front) && rears.includes(r.pairs[i]!.rear)),
            ),
          ),
        );
      const pick = (list: readonly number[], n: number): number[][] =>
        n === 0 ? [[]] : list.flatMap((x, i) => pick(list.slice(i + 1), n - 1).map((rest) => [x, ...rest]));
      let least = Number.POSITIVE_INFINITY;
      for (let n = 1; n < size; n++)
        for (const fronts of pick(r.fronts, n))
          for (const rears of pick(r.rears, size - n)) least = Math.min(least, lowest(fronts, rears));
      expect(worst(box.losses)).toBe(least);
    }
  });

  it('every pair named is in the box and loses what is said', () => {
    for (const { front, rear, pairs, losses } of r.boxes)
      for (const [t, pair] of pairs.entries()) {
        expect(front).toContain(r.pairs[pair]!.front);
        expect(rear).toContain(r.pairs[pair]!.rear);
        const { laps, best } = r.tracks[t]!;
        expect(losses[t]).toBe(laps[pair]!.time - laps[best]!.time);
      }
  });

  it('of boxes no clock tells apart the one that costs least is named, and a larger one that gains no more than that is not', () => {
    const told = teeth(undefined, options);
    const most = told.pairs.map((_, i) =>
      worst(told.tracks.map(({ laps, best }) => laps[i]!.time - laps[best]!.time)),
    );
    const alike = told.pairs.filter((_, i) => most[i]! <= Math.min(...most) + told.noise);
    const [two, ...larger] = told.boxes;
    expect(two!.toBuy).toBe(Math.min(...alike.map(({ toBuy }) => toBuy ?? Number.POSITIVE_INFINITY)));
    for (const [b, box] of larger.entries())
      expect(worst(box.losses)).toBeLessThan(worst(told.boxes[b]!.losses) - told.noise);
  });

  it('one track needs no box', () => {
    expect(teeth(undefined, { tracks: ['cinder-yard'] }).boxes).toEqual([]);
  });
});

describe('worth carrying', () => {
  const side = (list: readonly number[], owned = true) =>
    list.map((teeth) => ({ teeth, owned, price: owned ? 10 : 30 }));
  const hand = (front: readonly number[], rear: readonly number[]) => ({
    front: side(front),
    rear: side(rear),
    suggested: false,
    pairs: front.flatMap((f) =>
      rear.map((r) => ({ front: f, rear: r, ratio: r / f, owned: true, toBuy: 0 })),
    ),
  });

  it('takes one pair where one serves all, two rears where none does', () => {
    const at = hand([14, 15], [40, 44]);
    expect(
      worthCarrying(
        at,
        [
          [0, 1, 1, 1],
          [0.1, 0, 1, 1],
        ],
        0.2,
      ),
    ).toMatchObject({ front: [14], rear: [40] });
    const two = worthCarrying(
      at,
      [
        [0, 1, 1, 1],
        [1, 0, 1, 1],
      ],
      0.2,
    )!;
    expect([two.front, two.rear, two.pairs, two.isSmallest]).toEqual([[14], [40, 44], [0, 1], true]);
  });

  it('of equally few takes those already owned', () => {
    const at = { ...hand([14], [40, 44]), rear: [...side([40], false), ...side([44])] };
    expect(worthCarrying(at, [[0, 0.1]], 0.2)).toMatchObject({ rear: [44], toBuy: 0 });
    // Of two that cost as much the one on the kart, though it loses a little.
    const owned = hand([14], [40, 44]);
    expect(worthCarrying(owned, [[0, 0.1]], 0.2)).toMatchObject({ rear: [40] });
    expect(worthCarrying(owned, [[0, 0.1]], 0.2, 1)).toMatchObject({ rear: [44] });
  });

  it('has none where a track cannot be covered', () => {
    expect(worthCarrying(hand([14], [40]), [[null]], 0.2)).toBeNull();
  });
});
