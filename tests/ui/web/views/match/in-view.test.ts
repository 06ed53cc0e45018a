/** Whether a match is of what is in view: grounds the tyres know, and changes of the project that are not its own. */
import { describe, expect, it } from 'vitest';
import type { InputNote, Project } from '../../../../../sim/index.ts';
import { editsFor, readProjectValue, withEdits } from '../../../../../sim/index.ts';
import { demoInput } from '../../../../../ui/demo/demo-project.ts';
import { groundsOf } from '../../../../../ui/web/state/choice.ts';
import type { ProjectDocument } from '../../../../../ui/web/state/document.ts';
import { withValue } from '../../../../../ui/web/state/document.ts';
import { drivenOnOf, hasChangedSince } from '../../../../../ui/web/views/match/in-view.ts';

const { project, notes } = readProjectValue(demoInput()) as {
  project: Project;
  notes: readonly InputNote[];
};
const document = demoInput() as ProjectDocument;

describe('the ground a log was driven on', () => {
  it('is the one named, else that of the straight-line runs, and one the tyres know', () => {
    const kart = 'clodlet-four-asphalt';
    expect(groundsOf(kart, project)).toContain('asphalt');
    expect(drivenOnOf('asphalt', 'clay', kart, project)).toBe('asphalt');
    expect(drivenOnOf(undefined, 'asphalt', kart, project)).toBe('asphalt');
    expect(drivenOnOf('no such ground', 'asphalt', kart, project)).toBe('asphalt');
    expect(drivenOnOf('no such ground', 'nor this', kart, project)).toBe(groundsOf(kart, project)[0]);
  });
});

describe('changed since it was matched', () => {
  const against = { project, notes, document };
  const place = { path: 'chassis.clodlet.aero.dragArea', before: 0.8, after: 0.9, spread: 0.01 };
  const other = { path: 'donors.four.torque.points', before: 1, after: 0.95, spread: 0.02 };
  const from = { date: '2026-05-17', log: 'outing.csv' };
  const drag = editsFor(document, [{ id: 'drag area', places: [place] }], from);
  const power = editsFor(document, [{ id: 'power', places: [other] }], from);
  const both = withEdits(withEdits(document, drag, 'after'), power, 'after') as ProjectDocument;
  const taken = { 'drag area': drag, power };

  it('not by what it put in itself, nor by units and names; by everything else', () => {
    expect(hasChangedSince({ against }, document)).toBe(false);
    expect(hasChangedSince({ against }, demoInput() as ProjectDocument)).toBe(false);
    expect(hasChangedSince({ against, taken }, both)).toBe(false);
    // Undone again.
    expect(hasChangedSince({ against, taken }, document)).toBe(false);
    const inMiles = withValue(both, ['units', 'speed'], 'mph');
    expect(hasChangedSince({ against, taken }, inMiles)).toBe(false);
    const heavier = withValue(both, ['chassis', 'clodlet', 'mass'], 140);
    expect(hasChangedSince({ against, taken }, heavier)).toBe(true);
    // The same place, another value than the match put there.
    const typed = withValue(both, ['chassis', 'clodlet', 'aero', 'dragArea'], 0.7);
    expect(hasChangedSince({ against, taken }, typed)).toBe(true);
    expect(hasChangedSince({ against }, both)).toBe(true);
  });
});
