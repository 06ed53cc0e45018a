/** Origin and spread of every number. */
import { describe, expect, it } from 'vitest';
import type { InputNote } from '../../../sim/project/origins.ts';
import { collectOrigins } from '../../../sim/project/origins.ts';
import { readProjectValue } from '../../../sim/project/read.ts';
import { demo } from './demo-files.ts';

function noteAt(notes: readonly InputNote[], path: string): InputNote {
  const found = notes.find((n) => n.path === path);
  if (found === undefined) throw new Error(`no note at ${path}`);
  return found;
}

describe('collectOrigins', () => {
  const notes = collectOrigins(demo());

  it('takes value, spread, origin and note as written, in SI', () => {
    expect(noteAt(notes, 'tyres.knobbly-rear.rollOut')).toEqual({
      path: 'tyres.knobbly-rear.rollOut',
      quantity: 'rollOut',
      value: 1.53,
      spread: 0.006,
      origin: 'measured',
      spreadAssumed: false,
      note: 'two turns, driver aboard',
    });
  });

  it('takes a percentage of the value, and a difference of temperatures without its offset', () => {
    expect(noteAt(notes, 'chassis.clodlet.aero.dragArea').spread).toBeCloseTo(0.16, 12);
    expect(noteAt(notes, 'days.mild.temperature').spread).toBeCloseTo(1, 9);
    expect(noteAt(notes, 'days.mild.temperature').value).toBeCloseTo(291.15, 9);
  });

  it('fills in the spread of the table where none is stated', () => {
    const wheelbase = noteAt(notes, 'chassis.clodlet.wheelbase');
    expect([wheelbase.origin, wheelbase.spread, wheelbase.spreadAssumed]).toEqual(['given', 0.003, true]);
  });

  it('reports defaults taken as assumed, also those inside a group left out', () => {
    expect(noteAt(notes, 'donors.four.pumping').origin).toBe('assumed');
    expect(noteAt(notes, 'donors.twin.shift.up')).toMatchObject({ origin: 'assumed', value: 0.3 });
    expect(noteAt(notes, 'days.mild.wind.speed')).toMatchObject({ origin: 'assumed', value: 0 });
  });

  it('takes a dyno sheet as one scale', () => {
    expect(noteAt(notes, 'donors.single.torque.points')).toMatchObject({
      value: 1,
      spread: 0.06,
      origin: 'measured',
    });
  });

  it('names every path once, and has a value for the project at each', () => {
    expect(new Set(notes.map((n) => n.path)).size).toBe(notes.length);
    const { project } = readProjectValue(demo());
    for (const note of notes) {
      if (note.path.endsWith('.torque.points')) continue;
      const keys = note.path.split(/[.[\]]+/).filter((key) => key !== '');
      const value = keys.reduce<unknown>((at, key) => (at as Record<string, unknown>)[key], project);
      expect(value, note.path).toBe(note.value);
    }
  });
});
