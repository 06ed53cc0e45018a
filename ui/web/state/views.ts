/**
 * The views of the workbench and their addresses: `#/how-quick`, `#/kart`.
 *
 * In: the fragment of the address. Out: a view. A fragment keeps the page usable from any folder and offline; routing
 * libraries looked at want the history of a server or an older preact (wouter-preact 3.11: preact 10).
 */

/** Each a question a builder asks, answered on one view. */
export const QUESTIONS = ['how-quick', 'off-the-line', 'stop', 'slide-or-tip', 'shift'] as const;
/** Many runs make their answer: worked out when looked at, with a count. */
export const STUDIES = ['teeth', 'engine', 'unknowns', 'match', 'rules'] as const;
/** What carries the answers, and what is made of them. */
export const OTHERS = ['kart', 'track', 'day', 'paper', 'evidence', 'project'] as const;

/** Questions and studies as a builder meets them, the decisions that cost money first. */
export const ASKED = [
  'how-quick',
  'teeth',
  'engine',
  'stop',
  'off-the-line',
  'slide-or-tip',
  'shift',
  'unknowns',
  'match',
  'rules',
] as const satisfies readonly View[];

export type Question = (typeof QUESTIONS)[number];
export type View = Question | (typeof STUDIES)[number] | (typeof OTHERS)[number];

export const VIEW_WORDS: Readonly<Record<View, string>> = {
  'how-quick': 'How quick here?',
  'off-the-line': 'Off the line',
  stop: 'Will it stop straight?',
  'slide-or-tip': 'Slide or tip?',
  shift: 'When do I shift?',
  teeth: 'Which teeth?',
  engine: 'Which engine?',
  unknowns: 'What don’t I know?',
  match: 'Does it match?',
  rules: 'Rules of thumb',
  kart: 'Kart',
  track: 'Track',
  day: 'Day',
  paper: 'Paper',
  evidence: 'Evidence',
  project: 'Project',
};

const FIRST: View = 'how-quick';

export function hrefOf(view: View): string {
  return `#/${view}`;
}

/** The view a fragment names; the first one for anything else. */
export function viewOf(fragment: string): View {
  const name = fragment.replace(/^#\/?/, '').split(/[/?]/)[0] ?? '';
  return isView(name) ? name : FIRST;
}

export function isQuestion(view: View): view is Question {
  return (QUESTIONS as readonly string[]).includes(view);
}

function isView(name: string): name is View {
  return Object.hasOwn(VIEW_WORDS, name);
}
