/**
 * A figure with each unknown moved by its spread: the variants to ask for, and what their answers say.
 *
 * In: probes, and the series of sweeps that tried them. Out: the figure to first order. Pure.
 */
import type { InputChange } from '../project/changed-inputs.ts';
import type { FirstOrder, Probe } from './first-order.ts';
import { firstOrder } from './first-order.ts';
import type { Answers, Series } from './study.ts';
import { figure, figuresAt } from './study.ts';

/** Two variants for each probe: less, then more. */
export function probeVariants(probes: readonly Probe[]): (readonly InputChange[])[] {
  return probes.flatMap((probe) => [[probe.less], [probe.more]]);
}

/** `base` is the figure `name` unmoved; null without probes, or while some are not answered. */
export function probedFigure(
  answers: Answers,
  series: Series,
  probes: readonly Probe[],
  name: string,
  base: number,
): FirstOrder | null {
  if (probes.length === 0) return null;
  const found = Array.from({ length: series.count }, (_, i) => figuresAt(answers, series, i));
  if (found.includes(undefined)) return null;
  return firstOrder(
    base,
    probes,
    probes.map((_, i) => ({ less: figure(found[2 * i], name), more: figure(found[2 * i + 1], name) })),
  );
}
