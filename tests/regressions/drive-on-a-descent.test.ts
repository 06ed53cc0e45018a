/**
 * On a descent, at the highest speed through a bend that the brakes can hold, no drive force fits at steady speed, yet
 * some force between that and rolling free does. The largest drive force must not depend on where its search starts.
 */
import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { compileKart, readProjectValue } from '../../sim/index.ts';
import { findRoot } from '../../sim/numerics/root.ts';
import { gripEnvelope } from '../../sim/physics/grip-envelope.ts';

it('finds the largest drive force on a descent from any first guess', () => {
  const { cases } = JSON.parse(
    readFileSync(new URL('../evidence/independent/results.json', import.meta.url), 'utf8'),
  ) as { cases: { name: string; project: unknown }[] };
  const { project } = readProjectValue(cases.find((c) => c.name.startsWith('hill'))?.project);
  const { kart } = compileKart(project!, { kart: 'kart', day: 'day' });
  const dirt = kart!.surfaces.find((s) => s.id === 'dirt')!;
  const env = gripEnvelope(kart!.envelope, dirt.front.grip, dirt.rear.grip);
  const kappa = 0.11;
  const sin = -0.07;
  const cos = Math.sqrt(1 - sin * sin);
  const placed = (v: number) => env.place(v, kappa, 0, 0, cos, sin);
  const excess = (v: number) => {
    placed(v);
    return env.holdExcess(0, 0);
  };
  placed(findRoot(excess, 1, 20, 1e-13));
  const hold = env.holdForce();
  expect(hold).toBeLessThan(0);
  expect(env.driveExcess(hold)).toBeGreaterThan(0);
  const far = 3000;
  const found = [far, 0, hold / 2, hold, 2 * hold].map((guess) => env.upperForce(far, guess));
  // A Newton search may stop 1e-3 N short of the edge; the gap to be told apart is some ten newtons.
  for (const x of found) expect(Math.abs(x - found[0]!)).toBeLessThan(0.01);
  expect(found[0]! - hold).toBeGreaterThan(1);
});
