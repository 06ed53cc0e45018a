/** Finds the memory inside an answer that can be handed over instead of copied. */

/** Every ArrayBuffer reachable through the plain objects, arrays and typed arrays of a value, each once. */
export function buffersOf(value: unknown): readonly ArrayBuffer[] {
  const buffers = new Set<ArrayBuffer>();
  const seen = new Set<object>();
  const open: unknown[] = [value];
  while (open.length > 0) {
    const next = open.pop();
    if (typeof next !== 'object' || next === null || seen.has(next)) continue;
    seen.add(next);
    if (next instanceof ArrayBuffer) buffers.add(next);
    else if (ArrayBuffer.isView(next)) {
      if (next.buffer instanceof ArrayBuffer) buffers.add(next.buffer);
    } else open.push(...Object.values(next));
  }
  return [...buffers];
}
