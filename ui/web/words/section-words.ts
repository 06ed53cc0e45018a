/** What groups, words and texts of the project file are called on the page, by pattern of their path. Pure. */
import { patternOf } from './field-words.ts';

const SECTION_WORDS: Readonly<Record<string, string>> = {
  'days.*.wind': 'Wind',
  'days.*.wind.along': 'along the course',
  'days.*.grip': 'Grip of the day',
  'tyres.*.size': 'size code',
  'tyres.*.grip': 'Grip by ground',
  'tyres.*.grip.*': 'On {surface}',
  'tyres.*.grip.*.curve': 'Slip curve from a tyre test',
  'tyres.*.grip.*.rolling': 'Rolling resistance',
  'donors.*.strokes': 'strokes per cycle',
  'donors.*.torque': 'Torque curve',
  'donors.*.torque.at': 'measured at',
  'donors.*.torque.standard': 'the figures are corrected to',
  'donors.*.torque.measuredIn': 'Air at the dyno',
  'donors.*.torque.correctBy': 'carried to the day by',
  'donors.*.torque.origin': 'it was',
  'donors.*.torque.points': 'points',
  'donors.*.closedThrottle': 'Closed-throttle drag',
  'donors.*.gears': 'Gears',
  'donors.*.belt': 'Belt drive',
  'donors.*.shift': 'Shifting',
  'donors.*.clutch': 'Clutch',
  'chassis.*.cg': 'Centre of gravity of the bare chassis',
  'chassis.*.donorAt': 'Where the donor sits',
  'chassis.*.driverAt': 'Where the driver sits',
  'chassis.*.track': 'Track, middle to middle of the tyres',
  'chassis.*.roll': 'Roll stiffness',
  'chassis.*.roll.front': 'Front springs',
  'chassis.*.roll.rear': 'Rear springs',
  'chassis.*.rollCentres': 'Roll centres',
  'chassis.*.unsprung': 'Unsprung masses',
  'chassis.*.unsprung.front': 'Front',
  'chassis.*.unsprung.rear': 'Rear',
  'chassis.*.aero': 'Air',
  'chassis.*.driven': 'driven axle',
  'chassis.*.coupling': 'coupling of the driven wheels',
  'brakes.*.hydraulics': 'Hydraulics',
  'brakes.*.hydraulics.front': 'Front circuit',
  'brakes.*.hydraulics.rear': 'Rear circuit',
  'karts.*.chassis': 'chassis',
  'karts.*.donor': 'donor',
  'karts.*.brakes': 'brakes',
  'karts.*.tyres': 'Tyres',
  'karts.*.tyres.front': 'front tyres',
  'karts.*.tyres.rear': 'rear tyres',
  'karts.*.driver': 'Driver',
  'karts.*.ballast': 'Ballast',
  'karts.*.ballast[*]': 'Ballast {n}',
  'karts.*.sprockets': 'Sprockets',
  'karts.*.chain': 'Chain',
  'karts.*.weighed': 'Weighed whole, with its driver',
  'surfaces.*.kind': 'kind',
  'tracks.*.closed': 'a closed circuit',
  'tracks.*.surface': 'surface',
  'tracks.*.points': 'Points',
  'tracks.*.stretches': 'Stretches',
  'tracks.*.stretches[*]': 'Stretch {n}',
  'tracks.*.stretches[*].turn': 'turn',
  'tracks.*.stretches[*].surface': 'surface',
  'tracks.*.sections': 'Laid over part of the lap',
  'tracks.*.sections[*]': 'Section {n}',
  'tracks.*.sections[*].surface': 'surface',
};

export function sectionWords(path: string, surfaceName: (id: string) => string): string {
  const last = path.split(/[.[]/).at(-1) ?? path;
  if (last === 'name' || last === 'note') return last;
  const surface = /\.grip\.([^.]+)/.exec(path)?.[1] ?? '';
  const place = Number(/\[(\d+)\]/.exec(path)?.[1] ?? 0) + 1;
  return (SECTION_WORDS[patternOf(path)] ?? last)
    .replace('{surface}', surfaceName(surface).toLowerCase())
    .replace('{n}', String(place));
}

/** The options of a group that may be written in several ways, by the keys each has. */
export const OPTION_WORDS: Readonly<Record<string, string>> = {
  frontShare: 'as a front share',
  'front,rear': 'from springs and bars',
  'frontStiffness,rearStiffness': 'as stiffness of each axle',
  biasRatio: 'limited slip',
  straight: 'straight',
  turn: 'turn',
};

/** Words of the file as the page says them. */
export const CHOICE_WORDS: Readonly<Record<string, string>> = {
  spool: 'locked together (spool)',
  open: 'open',
  hard: 'hard',
  packed: 'packed',
  loose: 'loose',
  grass: 'grass',
  with: 'from behind',
  against: 'against',
  none: 'none along it',
};
