/** Pixels to values and back, against pictures made from a known affine map (closed form). */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { nudged, toPicture, traceScale } from '../../../../ui/web/forms/trace-scale.ts';

/** The picture of an axis cross turned by `angle`, with the second axis leaning by `lean`. */
function picture(angle: number, lean: number, perX: number, perY: number) {
  const u = { x: Math.cos(angle), y: Math.sin(angle) };
  const v = { x: Math.sin(angle + lean), y: -Math.cos(angle + lean) };
  return (speed: number, torque: number) => ({
    x: 80 + speed * perX * u.x + torque * perY * v.x,
    y: 500 + speed * perX * u.y + torque * perY * v.y,
  });
}

describe('the scale of a traced picture', () => {
  test('gives back values and pixels, however the picture is turned and sheared', () => {
    const angle = fc.double({ min: -0.5, max: 0.5, noNaN: true });
    const value = fc.double({ min: 0, max: 100, noNaN: true });
    fc.assert(
      fc.property(angle, angle, value, value, value, (turn, lean, speed, torque, aside) => {
        const at = picture(turn, lean, 5, 4);
        // Marks anywhere along lines of equal value, as gridlines give them: x marks at one height, y marks at one place.
        const found = traceScale(
          { from: at(10, aside), to: at(90, aside), fromValue: 10, toValue: 90 },
          { from: at(aside, 20), to: at(aside, 80), fromValue: 20, toValue: 80 },
        );
        expect(found.ok).toBe(true);
        if (!found.ok) return;
        const pixel = at(speed, torque);
        const [s, t] = found.scale.valueAt(pixel);
        // Rounding of doubles on pictures of 1000 px.
        expect(Math.hypot(s - speed, t - torque)).toBeLessThan(1e-9);
        const back = found.scale.pixelAt([speed, torque]);
        expect(Math.hypot(back.x - pixel.x, back.y - pixel.y)).toBeLessThan(1e-9);
        expect(found.scale.perPixel[0]).toBeCloseTo(1 / 5, 12);
      }),
      { seed: 48 },
    );
  });

  test('says why it cannot be made', () => {
    const at = picture(0, 0, 5, 4);
    const across = { from: at(10, 0), to: at(90, 0), fromValue: 10, toValue: 90 };
    const up = { from: at(0, 20), to: at(0, 80), fromValue: 20, toValue: 80 };
    expect(traceScale({ ...across, toValue: 10 }, up)).toMatchObject({ ok: false, why: /same value/ });
    expect(traceScale(across, { ...up, to: at(0, 20.1) })).toMatchObject({ ok: false, why: /too close/ });
    expect(traceScale(across, { ...up, from: at(10, 0), to: at(90, 1) })).toMatchObject({
      ok: false,
      why: /one line/,
    });
  });

  test('values are as exact as the picture', () => {
    expect(toPicture(4203.7, 14)).toBe(4204);
    expect(toPicture(39.1234, 0.3)).toBe(39.1);
    expect(toPicture(4203.7, 40)).toBe(4200);
    expect(toPicture(39.1234, 0.1)).toBe(39.12);
  });

  test('arrow keys move by one pixel, with Shift by ten, and stay in the picture', () => {
    const size = { x: 100, y: 50 };
    expect(nudged({ x: 5, y: 5 }, 'ArrowRight', false, size)).toEqual({ x: 6, y: 5 });
    expect(nudged({ x: 5, y: 5 }, 'ArrowUp', true, size)).toEqual({ x: 5, y: 0 });
    expect(nudged({ x: 5, y: 5 }, 'a', false, size)).toBeUndefined();
  });
});
