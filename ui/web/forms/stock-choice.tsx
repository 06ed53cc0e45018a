/** Which sprockets a study may fit: those in the box, or those to be bought as well. */
import { useSignal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import type { Stock } from '../../../sim/index.ts';
import { ChoiceField } from './choice-field.tsx';

export interface StockChosen {
  readonly stock: Stock;
  /** What chooses it, for the head of the study. */
  readonly control: ComponentChildren;
}

export function useStockChosen(): StockChosen {
  const stock = useSignal<Stock>('all');
  const control = (
    <ChoiceField
      label="Sprockets"
      value={stock.value}
      options={[
        { value: 'all', text: 'in the box and to be bought' },
        { value: 'owned', text: 'in the box' },
      ]}
      onChoice={(next) => {
        stock.value = next as Stock;
      }}
    />
  );
  return { stock: stock.value, control };
}
