/** The window onto the ground: there and back, closer and farther within bounds, all of a course in it. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { Viewport } from '../../../../ui/web/drawing/viewport.ts';
import {
  fitted,
  LEAST_SCALE,
  MOST_SCALE,
  toGround,
  toScreen,
  zoomed,
  zoomedAt,
} from '../../../../ui/web/drawing/viewport.ts';

const BOARD = { width: 358, height: 418 };
const metres = fc.double({ min: -3000, max: 3000, noNaN: true });
const place = fc.record({ x: metres, y: metres });
const pixel = fc.record({
  x: fc.double({ min: 0, max: BOARD.width, noNaN: true }),
  y: fc.double({ min: 0, max: BOARD.height, noNaN: true }),
});
const view = fc.record({
  x: metres,
  y: metres,
  scale: fc.double({ min: LEAST_SCALE, max: MOST_SCALE, noNaN: true }),
});
/** The arithmetic loses 2^-53 of the largest number in it, 3000 m at 400 px/m: 1.3e-10 px. */
const PIXEL = 1e-8;

test('from the screen to the ground and back is the same pixel', () => {
  fc.assert(
    fc.property(view, pixel, (v, p) => {
      const back = toScreen(v, BOARD, toGround(v, BOARD, p));
      expect(Math.hypot(back.x - p.x, back.y - p.y)).toBeLessThan(PIXEL);
    }),
  );
});

test('closer and farther end at a metre of 400 pixels and of a twentieth; the ground under the hand stays', () => {
  const factors = fc.array(fc.double({ min: 0.02, max: 50, noNaN: true }), { maxLength: 20 });
  fc.assert(
    fc.property(view, pixel, factors, (v, p, all) => {
      const ground = toGround(v, BOARD, p);
      let at: Viewport = v;
      let middle: Viewport = v;
      for (const factor of all) {
        at = zoomedAt(at, BOARD, p, factor);
        middle = zoomed(middle, factor);
        expect(at.scale).toBe(middle.scale);
        expect(at.scale).toBeGreaterThanOrEqual(1 / 20);
        expect(at.scale).toBeLessThanOrEqual(400);
      }
      const now = toScreen(at, BOARD, ground);
      // Every step rounds anew, and a place far out is held to 3000 m times 2^-53 on each.
      expect(Math.hypot(now.x - p.x, now.y - p.y)).toBeLessThan(1e-6);
      expect([middle.x, middle.y]).toEqual([v.x, v.y]);
    }),
  );
});

test('a course is all in the window that is fitted to it, even one longer than the bounds hold, and farther does not bring it closer', () => {
  fc.assert(
    fc.property(fc.array(place, { minLength: 1, maxLength: 12 }), fc.constantFrom(1, 40), (places, times) => {
      const far = places.map(({ x, y }) => ({ x: x * times, y: y * times }));
      const v = fitted(far, BOARD);
      for (const at of far.map((p) => toScreen(v, BOARD, p))) {
        expect(Math.min(at.x, at.y, BOARD.width - at.x, BOARD.height - at.y)).toBeGreaterThan(47.9);
      }
      expect(zoomed(v, 0.5).scale).toBeLessThanOrEqual(v.scale);
      expect(zoomed(v, 1.1).scale).toBeGreaterThan(v.scale);
    }),
  );
});
