/**
 * The sprocket pairs a builder can fit: from what is owned, or from all that is listed.
 *
 * In: project, kart, owned or all. Out: teeth in front and rear, and the pairs of them with their price to buy. The pair
 * fitted is always among them. Knows nothing of laps.
 */
import type { InputChange } from '../../project/changed-inputs.ts';
import type { Project } from '../../project/schema.ts';

export type Stock = 'owned' | 'all';

export interface Sprocket {
  readonly teeth: number;
  readonly owned: boolean;
  /** In the money of the file; null where none was given */
  readonly price: number | null;
}

export interface SprocketPair {
  readonly front: number;
  readonly rear: number;
  /** Rear over front teeth */
  readonly ratio: number;
  readonly owned: boolean;
  /** Of what is not owned; null where a price is missing */
  readonly toBuy: number | null;
}

export interface SprocketsAtHand {
  readonly front: readonly Sprocket[];
  readonly rear: readonly Sprocket[];
  /** Front by front, rear by rear */
  readonly pairs: readonly SprocketPair[];
  /** True where the file lists none: those around the fitted pair are looked at instead. */
  readonly suggested: boolean;
}

/** Teeth looked at either side of the fitted pair where the file lists no sprockets. */
const AROUND = { front: 1, rear: 6 } as const;
const FEWEST_TEETH = 9;

export function sprocketsAtHand(project: Project, kart: string, stock: Stock): SprocketsAtHand {
  const fitted = project.karts[kart]?.sprockets;
  const listed = project.sprockets;
  const suggested = listed.front.length === 0 && listed.rear.length === 0 && fitted !== undefined;
  const side = (which: 'front' | 'rear'): Sprocket[] => {
    const known = suggested
      ? around(fitted[which], AROUND[which])
      : listed[which]
          .filter((s) => s.owned || stock === 'all')
          .map((s) => ({ teeth: s.teeth, owned: s.owned, price: s.price ?? null }));
    const own = fitted?.[which];
    const all =
      own === undefined || known.some((s) => s.teeth === own && s.owned)
        ? known
        : [...known.filter((s) => s.teeth !== own), { teeth: own, owned: true, price: null }];
    return all
      .toSorted((a, b) => a.teeth - b.teeth)
      .filter((s, i, list) => i === 0 || list[i - 1]!.teeth !== s.teeth);
  };
  const front = side('front');
  const rear = side('rear');
  return {
    front,
    rear,
    suggested,
    pairs: front.flatMap((f) =>
      rear.map((r) => ({
        front: f.teeth,
        rear: r.teeth,
        ratio: r.teeth / f.teeth,
        owned: f.owned && r.owned,
        toBuy: priceOf([f, r]),
      })),
    ),
  };
}

/** What must be bought of some sprockets; null where a price is missing. */
export function priceOf(sprockets: readonly Sprocket[]): number | null {
  let sum = 0;
  for (const { owned, price } of sprockets) {
    if (owned) continue;
    if (price === null) return null;
    sum += price;
  }
  return sum;
}

export function fitting(kart: string, pair: { readonly front: number; readonly rear: number }): InputChange {
  return { path: `karts.${kart}.sprockets`, value: { front: pair.front, rear: pair.rear } };
}

function around(teeth: number, reach: number): Sprocket[] {
  return Array.from({ length: 2 * reach + 1 }, (_, i) => teeth - reach + i)
    .filter((n) => n >= FEWEST_TEETH)
    .map((n) => ({ teeth: n, owned: n === teeth, price: null }));
}
