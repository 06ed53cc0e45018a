/** Every quantity the project file knows has words on the page, and no words are left over. */
import { describe, expect, it } from 'vitest';
import type { Shape } from '../../../../sim/index.ts';
import { PROJECT_SHAPE, readProjectValue } from '../../../../sim/index.ts';
import { demoInput } from '../../../../ui/demo/demo-project.ts';
import { fieldWords, ownerName, patternOf, placeWords } from '../../../../ui/web/words/field-words.ts';

function quantityPaths(shape: Shape, path: string): string[] {
  switch (shape.kind) {
    case 'quantity':
      return [path];
    case 'choice':
      return shape.options.flatMap((option) => quantityPaths(option, path));
    case 'list':
      return quantityPaths(shape.item, `${path}[0]`);
    case 'ids':
      return quantityPaths(shape.entry, `${path}.x`);
    case 'group':
      return Object.entries(shape.fields).flatMap(([key, field]) =>
        quantityPaths(field.shape, path === '' ? key : `${path}.${key}`),
      );
    default:
      return [];
  }
}

const { project, notes } = readProjectValue(demoInput());
if (project === undefined) throw new Error('the demo cannot be read');

describe('field words', () => {
  it('has words for every quantity of the schema', () => {
    const paths = [...new Set(quantityPaths(PROJECT_SHAPE, ''))];
    expect(paths.length).toBeGreaterThan(90);
    expect(paths.filter((path) => fieldWords(path, project) === undefined)).toEqual([]);
  });

  it('has words for every note the reader takes of the demo', () => {
    expect(notes.filter((n) => fieldWords(n.path, project) === undefined).map((n) => n.path)).toEqual([]);
  });

  it('names surface, place in a list and owner', () => {
    expect(fieldWords('tyres.knobbly-rear.grip.loose-clay.peak', project)).toBe('peak grip on loose clay');
    expect(fieldWords('donors.four.gears[2]', project)).toBe('gear 3');
    expect(ownerName('tyres.knobbly-rear.grip.clay.peak', project)).toBe(project.tyres['knobbly-rear']?.name);
    expect(patternOf('karts.a.ballast[3].mass')).toBe('karts.*.ballast[*].mass');
  });

  it('says where a path leads, and nothing where it has no name on the page', () => {
    const words = (path: string) => placeWords(path, project);
    expect(words('tracks.tansy-hollow')).toBe('Tansy Hollow');
    expect(words('tracks.tansy-hollow.points[3]')).toBe('Tansy Hollow: point 4');
    expect(words('tracks.tansy-hollow.points[3].x')).toBe('Tansy Hollow: point 4, east');
    expect(words('tracks.fettlebrow.stretches[0]')).toBe('Fettlebrow: stretch 1');
    expect(words('donors.four.torque')).toBe('Four (four cylinders): torque curve');
    expect(words('sprockets.rear[2].price')).toBe('rear sprocket 3, price');
    expect(words('tyres.nowhere.mass')).toBe('nowhere: tyre and rim');
    expect(words('tracks.tansy-hollow.colour')).toBeUndefined();
    expect(words('colour')).toBeUndefined();
    expect(words('')).toBeUndefined();
  });
});
