/** How a quantity is measured at home, by the table of quantities; folded until asked for. */
import type { QuantityName } from '../../../sim/index.ts';
import { quantity } from '../../../sim/index.ts';
import { capital } from '../../words/capital.ts';

export function HowToMeasure({ name }: { readonly name: QuantityName }) {
  return (
    <details class="measure">
      <summary>How to measure it</summary>
      <p class="field-says">{capital(quantity(name).measure)}.</p>
    </details>
  );
}
