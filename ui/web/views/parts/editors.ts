/** Editors of their own for parts of the file that a plain field does not serve, by pattern of the path. */
import type { SpecialEditors } from '../../forms/entry-form.tsx';

export const INSTEAD: SpecialEditors = {};

/** Worksheets, beside the field they feed. */
export const BESIDE: SpecialEditors = {};
