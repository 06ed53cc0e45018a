/**
 * The search went by the slopes of the lap time alone. Where one station hands the limit to the next they lead nowhere, and
 * it ended short of lines that random changes of its own found: 0.6 % on the demo's oval, up to 10 % for a heavy kart.
 */
import { expect, it } from 'vitest';
import { perform } from '../../sim/index.ts';
import { readDemo } from '../../ui/demo/demo-project.ts';

it('the fastest line of the oval is as quick as random changes of a line found', () => {
  const { project } = readDemo();
  const request = {
    verb: 'line',
    kart: 'clodlet-single-asphalt',
    day: 'mild',
    track: 'oval',
    options: {},
  } as const;
  const { result, diagnostics } = perform(project!, request);
  const fastest = result!.lines.find(({ kind }) => kind === 'fastest')!;
  // 13.710 s by 4,000 random bumps laid on it. A gear change more or less makes lines that the search cannot pass
  // between: where rounding ends it, it was seen at 13.720 and 13.723 s. 0.05 s is what no clock tells.
  expect(fastest.time).toBeLessThan(13.71 + 0.05);
  expect(diagnostics['search']).toBe('converged');
});
