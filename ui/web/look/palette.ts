/**
 * Colours that drawn things need in code; the style sheets hold the same ones for the rest. Every line colour keeps
 * 3:1 against the paper, every text colour 4.5:1 (WCAG 2.2, 1.4.11 and 1.4.3), on both themes.
 */

/** What a canvas needs of a theme. */
export interface Palette {
  readonly ink: string;
  readonly inkSoft: string;
  readonly rule: string;
  readonly paper: string;
  readonly roadbed: string;
  readonly grain: string;
  /** Factor on the weight of lines. */
  readonly weight: number;
}

export const PALETTES: Readonly<Record<'paper' | 'sunlight', Palette>> = {
  paper: {
    ink: '#22303c',
    inkSoft: '#54616d',
    rule: '#d8d1c3',
    paper: '#fffdf8',
    roadbed: '#e4ddcf',
    grain: '#b9ae98',
    weight: 1,
  },
  sunlight: {
    ink: '#000000',
    inkSoft: '#1c1c1c',
    rule: '#8c8c8c',
    paper: '#ffffff',
    roadbed: '#e6e6e6',
    grain: '#707070',
    weight: 1.5,
  },
};

export const INK = PALETTES.paper.ink;

/** Main and second line of a plot, and two more where four stand together. */
export const IRON = '#a33b1a';
export const POND = '#1d5c7a';
export const MOSS = '#3f6b2f';
export const PLUM = '#6a2d63';

/** Slow to fast: dry clay to night, darker the faster, so that it reads in grey too. */
export const SPEED_RAMP = ['#c2851a', '#bf5f1f', '#a33b2c', '#7d2546', '#571f55', '#2b1b47'] as const;
/** First gear to last. */
export const GEAR_RAMP = [
  '#b57914',
  '#8d7a1c',
  '#4f7a3a',
  '#1f7168',
  '#1d5c7a',
  '#33407a',
  '#5a2d6b',
] as const;
/** Dashes that tell lines of one kind apart where colour does not: gears, pins. */
export const DASHES: readonly (readonly number[])[] = [
  [],
  [9, 3],
  [3, 3],
  [9, 3, 2, 3],
  [14, 4],
  [2, 5],
  [6, 2, 2, 2, 2, 2],
];
