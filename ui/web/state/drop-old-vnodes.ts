/**
 * Lets go of what a component drew before, once it has drawn anew.
 *
 * Preact keeps every element handed down as `children` in the properties of its holder, with the tree it once drew; where
 * holder and child redraw by themselves, as signals have them do, each such tree holds on to the next newer one, laps of
 * thousands of stations included: 130 kB and half a megabyte of columns for every change of a sprocket. Preact copies an
 * element before it draws it again, so an old one's own tree is never read. Held by tests/browser/page-costs.test.ts.
 */
import type { Component, VNode } from 'preact';
import { options } from 'preact';

/** Names in the built library, which its own tools and the signals rely on too. */
interface Drawn extends VNode {
  readonly __c?: Component | null;
  /** What it drew, and what holds it. */
  __k: unknown;
  __: unknown;
}

export function dropOldVNodes(): void {
  const latest = new WeakMap<Component, Drawn>();
  const hooks = options as { diffed?: (vnode: VNode) => void };
  const others = hooks.diffed;
  hooks.diffed = (vnode) => {
    const component = (vnode as Drawn).__c;
    if (component != null) {
      const old = latest.get(component);
      if (old !== undefined && old !== vnode) {
        old.__k = null;
        old.__ = null;
      }
      latest.set(component, vnode as Drawn);
    }
    others?.(vnode);
  };
}
