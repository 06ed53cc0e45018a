/** What a plot shows, free of any chart library: made by *-plots.ts from result columns, drawn by chart.ts. */

export type Columnlike = ArrayLike<number>;

export interface Series {
  readonly name: string;
  readonly x: Columnlike;
  readonly y: Columnlike;
  readonly colour: string;
  /** Dash lengths, px; a solid line where absent. Lines differ by dash or weight, never by colour alone. */
  readonly dash?: readonly number[];
  readonly weight?: number;
  readonly side?: 'left' | 'right';
  readonly stepped?: boolean;
  /** Dots instead of a line. */
  readonly dots?: boolean;
  /** Radius of the dots, px; small where absent. */
  readonly dotSize?: number;
}

export interface Axis {
  /** Quantity and unit. */
  readonly title: string;
  readonly min?: number;
  readonly max?: number;
  readonly tickStep?: number;
  /** Words in place of the numbers 1, 2, 3 ...; other numbers stay blank. */
  readonly tickWords?: readonly string[];
}

/** How a stretch is filled, with a word in it: by pattern, not by colour alone. */
export type Pattern = 'plain' | 'dots' | 'hatch' | 'cross';

export interface Stretch {
  readonly from: number;
  readonly to: number;
  readonly word: string;
  readonly pattern: Pattern;
}

export interface Plot {
  readonly title: string;
  readonly x: Axis;
  readonly left: Axis;
  readonly right?: Axis;
  readonly series: readonly Series[];
  /** Horizontal lines of the left axis. */
  readonly levels: readonly { readonly at: number; readonly word: string }[];
  /** Vertical lines. */
  readonly marks: readonly { readonly at: number; readonly word: string }[];
  /** A strip along the foot of the plot. */
  readonly strip: readonly Stretch[];
  /** Room for the scales, px, where several plots must line up; as much as they need where absent. */
  /** Taller than wide things need: where both axes are alike. */
  readonly tall?: true;
  readonly margins?: { readonly left: number; readonly right: number };
}

/** The numbers behind a plot. */
export interface PlotTable {
  readonly heads: readonly string[];
  /** Text of every cell, row by row. */
  readonly rows: readonly (readonly string[])[];
}

/** A pinned result to lay beside the present one. */
export interface Pinned<R> {
  readonly letter: string;
  readonly result: R;
}
