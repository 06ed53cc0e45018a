/**
 * What a newly added part of the file is written as until the builder fills it in. Pure.
 *
 * In: a shape. Out: JSON with every required field: the table's default, else the middle of the usual band, marked as
 * assumed so that it shows as a guess.
 */
import type { Project, Shape } from '../../../sim/index.ts';
import { quantity } from '../../../sim/index.ts';
import { inShown } from './quantity-text.ts';

export function blankOf(shape: Shape, project: Project): unknown {
  switch (shape.kind) {
    case 'quantity': {
      const row = quantity(shape.name);
      const middle =
        row.default ??
        (row.usual === undefined
          ? Math.max(row.min, Math.min(row.max, 1))
          : (row.usual[0] + row.usual[1]) / 2);
      const value = row.whole === true ? Math.round(middle) : middle;
      const shown = project.units[row.dimension] ?? row.shown;
      return { value: inShown(value, shape.name, shown, 2), origin: 'assumed' };
    }
    case 'group':
      return Object.fromEntries(
        Object.entries(shape.fields)
          .filter(([, field]) => field.required)
          .map(([key, field]) => [key, blankOf(field.shape, project)]),
      );
    case 'list':
      return [blankOf(shape.item, project)];
    case 'ids':
      return {};
    case 'choice':
      return blankOf(shape.options[0]!, project);
    case 'words':
      return shape.words[0];
    case 'yes-or-no':
      return false;
    case 'number':
      return 0;
    case 'row':
      return shape.items.map((item) => blankOf(item, project));
    default:
      return 'new';
  }
}
