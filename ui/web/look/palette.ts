/**
 * Colours that drawn things need in code; page.css holds the same ones for the rest. Light theme only: the page is
 * read in sunlight. Every line colour keeps 3:1 against the paper, every text colour 4.5:1 (WCAG 2.2, 1.4.11, 1.4.3).
 */
export const INK = '#22303c';
export const INK_SOFT = '#54616d';
export const RULE = '#d8d1c3';
export const PAPER = '#fffdf8';
export const ROADBED = '#e4ddcf';

/** Main and second line of a plot. */
export const IRON = '#a33b1a';
export const POND = '#1d5c7a';

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
