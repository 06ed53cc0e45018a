/** Chain geometry: closed forms, limits, the way there and back. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  centreDistanceFor,
  chainSpeed,
  evenLinks,
  linksFor,
  pitchDiameter,
  wrapOnSmall,
} from '../../../sim/physics/chain.ts';

const PITCH = 0.015875;

const drives = fc.record({
  pitch: fc.constantFrom(0.0127, PITCH, 0.01905),
  front: fc.integer({ min: 9, max: 25 }),
  rear: fc.integer({ min: 26, max: 70 }),
});

describe('chain', () => {
  it('a sprocket of six teeth carries its rollers on a hexagon: the radius is the pitch', () => {
    expect(pitchDiameter(PITCH, 6)).toBeCloseTo(2 * PITCH, 15);
  });

  it('sprockets alike: two straight strands and one turn of teeth, half a turn of wrap', () => {
    const drive = { pitch: PITCH, front: 18, rear: 18 };
    expect(linksFor(drive, 40 * PITCH)).toBeCloseTo(98, 12);
    expect(wrapOnSmall(drive, 40 * PITCH)).toBeCloseTo(Math.PI, 12);
  });

  it('which sprocket drives does not matter', () => {
    const a = { pitch: PITCH, front: 14, rear: 45 };
    const b = { pitch: PITCH, front: 45, rear: 14 };
    expect(linksFor(a, 0.6)).toBe(linksFor(b, 0.6));
    expect(wrapOnSmall(a, 0.6)).toBe(wrapOnSmall(b, 0.6));
  });

  it('links fit the distance they were worked out for', () => {
    fc.assert(
      fc.property(drives, fc.double({ min: 30, max: 50, noNaN: true }), (drive, pitches) => {
        const a = pitches * drive.pitch;
        // The root is searched to 1e-13 relative.
        expect(centreDistanceFor(drive, linksFor(drive, a))! / a).toBeCloseTo(1, 11);
      }),
      { seed: 5 },
    );
  });

  it('more links or fewer teeth need more distance; more distance gives more wrap', () => {
    fc.assert(
      fc.property(drives, fc.integer({ min: 60, max: 75 }), (drive, half) => {
        const links = 2 * half;
        const at = centreDistanceFor(drive, links)!;
        expect(centreDistanceFor(drive, links + 2)!).toBeGreaterThan(at);
        expect(centreDistanceFor({ ...drive, rear: drive.rear - 1 }, links)!).toBeGreaterThan(at);
        expect(wrapOnSmall(drive, at + 0.1)).toBeGreaterThan(wrapOnSmall(drive, at));
      }),
      { seed: 6 },
    );
  });

  it('a chain too short to go round has no centre distance', () => {
    expect(centreDistanceFor({ pitch: PITCH, front: 15, rear: 45 }, 40)).toBeNull();
  });

  it('even numbers of links, speed by teeth', () => {
    expect([105.9, 106.9, 107.2].map(evenLinks)).toEqual([106, 106, 108]);
    // Ten teeth, one turn a second: ten pitches a second.
    expect(chainSpeed(PITCH, 10, 2 * Math.PI)).toBeCloseTo(10 * PITCH, 15);
  });
});
