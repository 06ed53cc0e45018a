/** Where a number comes from, as a shape beside its word: the fuller the shape, the surer the source. */
import type { InputNote } from '../../../sim/index.ts';

/** Path data on a 12 px square; open shapes are guesses. */
const SHAPES: Readonly<Record<InputNote['origin'], { readonly d: string; readonly open?: true }>> = {
  measured: { d: 'M1 1H11V11H1Z' },
  'from papers': { d: 'M1 11V1H11Z' },
  'worked out': { d: 'M6 1L11 11H1Z' },
  borrowed: { d: 'M6 1L11 6L6 11L1 6Z', open: true },
  assumed: { d: 'M6 1.5A4.5 4.5 0 1 1 6 10.5A4.5 4.5 0 1 1 6 1.5Z', open: true },
  given: { d: 'M1 6H11', open: true },
};

export function OriginMark({ origin }: { origin: InputNote['origin'] }) {
  const { d, open } = SHAPES[origin];
  return (
    <svg class="origin-mark" width="12" height="12" viewBox="0 0 12 12" aria-hidden="true">
      <path d={d} fill={open === true ? 'none' : 'currentColor'} stroke="currentColor" stroke-width="1.5" />
    </svg>
  );
}
