/** What the engine takes of the rear: the share the run itself leaves to the rear brakes. */
import { expect, test } from 'vitest';
import { perform } from '../../../../sim/index.ts';
import { readDemo } from '../../../../ui/demo/demo-project.ts';
import { budgetPlot, budgetTable, rearBudget } from '../../../../ui/web/plots/brake-plots.ts';

const project = readDemo().project!;
const who = { kart: 'clodlet-four-knobbly', day: 'mild' };
const fromSpeed = 60 / 3.6;
const ideal = (surface: string, engine: 'clutch in' | 'in gear', gear?: number) =>
  perform(project, {
    ...who,
    verb: 'brake',
    surface,
    options: { fromSpeed, brakes: 'ideal', engine, ...(gear === undefined ? {} : { gear }) },
  }).result!;
const top = perform(project, { ...who, verb: 'topspeed', surface: 'asphalt' }).result!;
const budgets = ['loose-clay', 'asphalt'].map((surface) => ({
  ground: surface,
  best: ideal(surface, 'clutch in'),
}));

test('what the engine takes is what the run with the engine in gear leaves out for the rear brakes', () => {
  const { rows } = budgetTable(top, budgets, fromSpeed, 'km/h');
  for (const [b, { ground, best }] of budgets.entries())
    for (const [i, gear] of top.gears.entries()) {
      if (gear.safeDownshiftSpeed < fromSpeed) continue;
      const clutch = best.columns.rearBrake[0]!;
      const left = ideal(ground, 'in gear', i + 1).columns.rearBrake[0]!;
      const takes = Math.min(1, Math.max(0, clutch - left) / rearBudget(budgets[b]!));
      const cell = rows[i]![3 + b]!;
      const [, force, share] = /^(\d+) N, (\d+)\s%$/.exec(cell) ?? [];
      const said = cell === 'all of it' ? 1 : cell === 'nothing' ? 0 : Number(share) / 100;
      // To 5 N, and as below.
      if (force !== undefined)
        expect(Math.abs(Number(force) - (clutch - left)), `${gear.name} on ${ground}`).toBeLessThan(
          2.5 + 0.01 * rearBudget(budgets[b]!),
        );
      // Both drags are read at 60 km/h, the table's between points 0.7 km/h apart; a whole per cent is shown.
      expect(Math.abs(said - takes), `${gear.name} on ${ground}`).toBeLessThan(0.01);
    }
});

test('on grippy ground the flywheel gives back more, so the engine takes less of a hard stop', () => {
  const [clay, asphalt] = budgets.map((budget) => budgetPlot(top, [budget], 'km/h')!.series[0]!.y);
  for (const [i, force] of Array.from(clay!).entries()) expect(force).toBeGreaterThanOrEqual(asphalt![i]!);
});
