/** Paths into a project file as people read them: `donors.four.gears[2]`, `days["My day"].wind`. */

/** The path of a field or item below `path`. */
export function childPath(path: string, key: string | number): string {
  if (typeof key === 'number') return `${path}[${key}]`;
  if (!/^[A-Za-z0-9_$][\w$-]*$/.test(key)) return `${path}[${JSON.stringify(key.slice(0, 60))}]`;
  return path === '' ? key : `${path}.${key}`;
}

/** The value at a list of keys; undefined where there is none. */
export function valueAt(root: unknown, keys: readonly (string | number)[]): unknown {
  let value = root;
  for (const key of keys) {
    if (value === null || typeof value !== 'object' || !Object.hasOwn(value, key)) return undefined;
    value = (value as Record<string | number, unknown>)[key];
  }
  return value;
}

/** True for a JSON object, not a list. */
export function isGroup(value: unknown): value is Record<string, unknown> {
  return value !== null && typeof value === 'object' && !Array.isArray(value);
}
