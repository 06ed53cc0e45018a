/** Worksheets beside the readings of a whole kart: four scales, then the height. */
import { KartHeightSheet } from './cg-height.tsx';
import { CornerWeightsSheet } from './corner-weights.tsx';

export function WeighingSheets({ path }: { readonly path: string }) {
  return (
    <>
      <CornerWeightsSheet path={path} />
      <KartHeightSheet path={path} />
    </>
  );
}
