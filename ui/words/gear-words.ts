/** What terminal and page call a gear, by the solver's name of it: of a belt, the part of its range. Pure. */

const BELT_PARTS: ReadonlyMap<string, string> = new Map([
  ['low', 'lowest ratio'],
  ['belt', 'changing'],
  ['high', 'highest ratio'],
]);

/** "gear 3", or "lowest ratio". */
export function gearName(name: string): string {
  return BELT_PARTS.get(name) ?? `gear ${name}`;
}

/** "3", or "lowest ratio": under a heading that says what it is. */
export function gearCell(name: string): string {
  return BELT_PARTS.get(name) ?? name;
}

const IN_BELT: ReadonlyMap<string, string> = new Map([
  ['low', 'in the lowest ratio of the belt'],
  ['belt', 'with the belt changing its ratio'],
  ['high', 'in the highest ratio of the belt'],
]);

/** "in gear 3", or "in the lowest ratio of the belt". */
export function inGear(name: string): string {
  return IN_BELT.get(name) ?? `in gear ${name}`;
}

/** Overall ratio as it is written: a belt that changes goes from one end to the other. */
export function overallRatio(
  gears: readonly { readonly name: string; readonly overall: number }[],
  k: number,
): string {
  const overall = gears[k]!.overall.toFixed(2);
  const next = gears[k + 1];
  return gears[k]!.name === 'belt' && next !== undefined
    ? `${overall} to ${next.overall.toFixed(2)}`
    : overall;
}
