/**
 * What is known of a pair of sprockets without a lap: its chain, slot travel, speeds in gears; other tyres said in teeth.
 *
 * In: project, kart and day, the sprockets at hand. Out: a sheet per pair. Pure.
 */
import { compileKart } from '../../compile/kart.ts';
import { centreDistanceFor, evenLinks, linksFor } from '../../physics/chain.ts';
import { withInputs } from '../../project/changed-inputs.ts';
import type { Project } from '../../project/schema.ts';
import { chainSheet, topGearOf } from '../../run/chain-sheet.ts';
import type { Grid } from '../study.ts';
import type { SprocketsAtHand } from './sprocket-pairs.ts';
import { fitting } from './sprocket-pairs.ts';
import type { CarriedPairs, PairSheet, TyreAsTeeth } from './teeth-result.ts';

/** Whose chain, on which day. */
interface OfKart {
  readonly kart: string;
  readonly day: string;
}

export function pairSheets(project: Project, { kart: id, day }: OfKart, hand: SprocketsAtHand): PairSheet[] {
  const spec = project.karts[id]!;
  const chain = { pitch: spec.chain.pitch, measured: spec.chain.centreDistance };
  // Speeds in gears go with the inverse of the ratio: one pair compiled tells all.
  const first = hand.pairs[0]!;
  const kart = compileKart(withInputs(project, [fitting(id, first)]), { kart: id, day }).kart!;
  const top = topGearOf(kart);
  const fitted = spec.sprockets === undefined ? undefined : chainSheet(chain, spec.sprockets, top);
  return hand.pairs.map((pair) => {
    const same =
      fitted === undefined || fitted.links === null
        ? null
        : centreDistanceFor({ pitch: chain.pitch, ...pair }, fitted.links);
    return {
      ...pair,
      chain: chainSheet(chain, pair, top),
      slotFromFitted: same === null || fitted?.centreDistance == null ? null : same - fitted.centreDistance,
      speedsInGears: kart.drivetrain.gears.map((gear) =>
        Number.isFinite(gear.limitSpeed) ? (gear.limitSpeed * first.ratio) / pair.ratio : null,
      ),
    };
  });
}

/** The chain that serves several pairs nearest to the measured distance, and the travel of the axle between them. */
export function oneChain(
  sheets: readonly PairSheet[],
  pairs: readonly number[],
): Pick<CarriedPairs, 'links' | 'slotTravel'> {
  const list = [...new Set(pairs)].map((i) => sheets[i]!);
  const measured = list[0]?.chain.measured ?? null;
  const unknown = { links: null, slotTravel: null };
  if (measured === null) return unknown;
  const lengths = list.map(({ front, rear, chain }) =>
    linksFor({ pitch: chain.pitch, front, rear }, measured),
  );
  const links = evenLinks((Math.min(...lengths) + Math.max(...lengths)) / 2);
  const distances = list.map(({ front, rear, chain }) =>
    centreDistanceFor({ pitch: chain.pitch, front, rear }, links),
  );
  const found = distances.filter((d) => d !== null);
  if (found.length < distances.length) return unknown;
  return { links, slotTravel: Math.max(...found) - Math.min(...found) };
}

export function gridOf({ front, rear }: SprocketsAtHand): Grid<Int16Array> {
  // Pairs come front by front, rear by rear.
  return {
    data: Int16Array.from({ length: front.length * rear.length }, (_, i) => i),
    shape: [front.length, rear.length],
  };
}

/** Every other tyre of the file on the driven axle, as the teeth behind that do the same. */
export function tyresAsTeeth(project: Project, { kart: id, day }: OfKart): TyreAsTeeth[] {
  const spec = project.karts[id]!;
  const driven = project.chassis[spec.chassis]?.driven === 'front' ? 'front' : 'rear';
  const radiusWith = (tyre: string) => {
    const changed = withInputs(project, [{ path: `karts.${id}.tyres.${driven}`, value: tyre }]);
    const { kart } = compileKart(changed, { kart: id, day });
    return driven === 'front' ? kart?.radiusFront : kart?.radiusRear;
  };
  const own = radiusWith(spec.tyres[driven]);
  const teeth = spec.sprockets?.rear;
  if (own === undefined || teeth === undefined) return [];
  // A tyre that some kart of the file runs on that axle: a front tyre behind answers no question.
  const inUse = new Set(Object.values(project.karts).map((kart) => kart.tyres[driven]));
  return Object.keys(project.tyres)
    .filter((tyre) => tyre !== spec.tyres[driven] && inUse.has(tyre))
    .flatMap((tyre) => {
      const radius = radiusWith(tyre);
      if (radius === undefined) return [];
      const shortens = own / radius;
      return [{ tyre, radius, shortens, actsAs: teeth * shortens, keepsWith: teeth / shortens }];
    });
}
