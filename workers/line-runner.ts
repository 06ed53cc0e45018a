/** The search for lines by itself: a page fetches it when the first line is asked for. */
export { runLine } from '../sim/index.ts';
