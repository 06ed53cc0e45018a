/** A project and what makes another of it give that other back, with what has not changed still the same objects. */
import { describe, expect, it } from 'vitest';
import { createProjectReader, type Project } from '../../sim/index.ts';
import { demoInput } from '../../ui/demo/demo-project.ts';
import { changeBetween, changed } from '../../workers/project-change.ts';
import { demoWith, type Raw } from '../sim/demo-project.ts';

/** As it comes out of a message. */
function sent<T>(value: T): T {
  return structuredClone(value);
}

describe('a change of a project', () => {
  it('carries only the entries that are not the same objects', () => {
    const reader = createProjectReader();
    const raw = demoInput() as Raw;
    const from = reader.read(raw).project!;
    const track = { ...raw.tracks['tansy-hollow'], width: '9 m' };
    const to = reader.read({ ...raw, tracks: { ...raw.tracks, 'tansy-hollow': track } }).project!;
    const change = changeBetween(from, to)!;
    expect(change.parts).toEqual({});
    expect(Object.keys(change.entries)).toEqual(['tracks']);
    expect(Object.keys(change.entries['tracks']!)).toEqual(['tansy-hollow']);

    const held = sent(from);
    const made = changed(held, sent(change));
    expect(made).toEqual(to);
    expect(made.karts).toBe(held.karts);
    expect(made.tracks['oval']).toBe(held.tracks['oval']);
    expect(Object.keys(made.tracks)).toEqual(Object.keys(to.tracks));
  });

  it('makes every state of every other, or says that it cannot', () => {
    const states: Project[] = [
      demoWith(),
      demoWith((raw) => {
        raw.karts['clodlet-four-knobbly'].driver.mass = '90 kg';
      }),
      demoWith((raw) => {
        raw.units = { speed: 'mph' };
        raw.sprockets.rear = [{ teeth: 40, owned: true }];
      }),
      demoWith((raw) => {
        delete raw.tracks.oval;
      }),
      // The same entries in another order: they would be answered in another order.
      demoWith((raw) => {
        const { oval, ...others } = raw.tracks;
        raw.tracks = { oval, ...others };
      }),
    ];
    for (const from of states)
      for (const to of states) {
        const change = changeBetween(from, to);
        expect(change).toBeDefined();
        const made = changed(sent(from), sent(change!));
        expect(made).toEqual(to);
        expect(JSON.stringify(made)).toBe(JSON.stringify(to));
      }
    const { days: _, ...less } = states[0]!;
    expect(changeBetween(states[0]!, less as Project)).toBeUndefined();
  });
});
