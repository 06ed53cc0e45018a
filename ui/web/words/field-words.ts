/**
 * What each field of the project file is called on the page. In: a path such as `tyres.knobbly-rear.grip.clay.peak`.
 * Out: the field's words ("peak grip on Loose clay"), and the same with its owner ("Knobbly, rear: ...").
 *
 * Ids, indices and surfaces stand as `*` in the table; a test walks the schema and finds every quantity here. Pure.
 */
import type { Project } from '../../../sim/index.ts';

/** `{surface}` is replaced by the surface's name, `{n}` by the place in the list counted from 1. */
const FIELD_WORDS: Readonly<Record<string, string>> = {
  'days.*.temperature': 'air temperature',
  'days.*.pressure': 'air pressure',
  'days.*.altitude': 'altitude',
  'days.*.humidity': 'humidity',
  'days.*.density': 'air density, if you know it',
  'days.*.wind.speed': 'wind speed',
  'days.*.gravity': 'gravity',
  'days.*.grip.*': 'grip today on {surface}',
  'tyres.*.rollOut': 'roll-out',
  'tyres.*.rollingRadiusFactor': 'rolling radius over half the size-code diameter',
  'tyres.*.mass': 'tyre and rim',
  'tyres.*.inertia': 'spin inertia of one wheel',
  'tyres.*.grip.*.peak': 'peak grip on {surface}',
  'tyres.*.grip.*.lateralPeak': 'peak grip sideways on {surface}',
  'tyres.*.grip.*.sliding': 'sliding grip on {surface}',
  'tyres.*.grip.*.peakSlip': 'slip at the peak on {surface}',
  'tyres.*.grip.*.loadSensitivity': 'grip lost as the load doubles, {surface}',
  'tyres.*.grip.*.referenceLoad': 'wheel load the grip was found at, {surface}',
  'tyres.*.grip.*.curve.stiffness': 'slip curve, stiffness factor, {surface}',
  'tyres.*.grip.*.curve.shape': 'slip curve, shape factor, {surface}',
  'tyres.*.grip.*.curve.curvature': 'slip curve, curvature factor, {surface}',
  'tyres.*.grip.*.rolling.coefficient': 'rolling resistance on {surface}',
  'tyres.*.grip.*.rolling.perSpeed': 'rolling resistance growing with speed, {surface}',
  'tyres.*.grip.*.rolling.perSpeedSquared': 'rolling resistance growing with speed squared, {surface}',
  'donors.*.displacement': 'displacement',
  'donors.*.stroke': 'piston stroke',
  'donors.*.torque.points': 'torque curve as a whole',
  'donors.*.torque.measuredIn.temperature': 'air temperature at the dyno',
  'donors.*.torque.measuredIn.pressure': 'air pressure at the dyno',
  'donors.*.torque.measuredIn.humidity': 'humidity at the dyno',
  'donors.*.torque.spread': 'spread of the torque curve',
  'donors.*.pumping': 'closed-throttle pumping',
  'donors.*.idle': 'idle',
  'donors.*.revLimit': 'rev limiter',
  'donors.*.safeRev': 'highest engine speed a downshift may drive it to',
  'donors.*.inertia': 'engine inertia at the crank',
  'donors.*.primary': 'primary ratio',
  'donors.*.gears[*]': 'gear {n}',
  'donors.*.belt.low': 'belt drive, lowest ratio',
  'donors.*.belt.high': 'belt drive, highest ratio',
  'donors.*.belt.engages': 'belt drive takes hold at',
  'donors.*.belt.shiftsOut': 'belt drive shifts out at',
  'donors.*.belt.efficiency': 'belt drive efficiency',
  'donors.*.shift.up': 'time of an upshift',
  'donors.*.shift.down': 'time of a downshift',
  'donors.*.clutch.torque': 'torque the clutch carries',
  'donors.*.clutch.launchSpeed': 'engine speed at the start',
  'donors.*.efficiency': 'efficiency of primary drive and gearbox',
  'donors.*.mass': 'mass with its oil',
  'donors.*.price': 'price',
  'chassis.*.mass': 'mass of the frame without its wheels',
  'chassis.*.cg.behindFrontAxle': 'centre of gravity behind the front axle',
  'chassis.*.cg.height': 'centre of gravity height',
  'chassis.*.donorAt.behindFrontAxle': 'donor behind the front axle',
  'chassis.*.donorAt.height': 'donor’s height',
  'chassis.*.driverAt.behindFrontAxle': 'driver behind the front axle',
  'chassis.*.driverAt.height': 'driver’s height',
  'chassis.*.wheelbase': 'wheelbase',
  'chassis.*.track.front': 'front track',
  'chassis.*.track.rear': 'rear track',
  'chassis.*.width': 'overall width',
  'chassis.*.turningRadius': 'turning radius',
  'chassis.*.roll.frontShare': 'front share of roll stiffness',
  'chassis.*.roll.frontStiffness': 'front roll stiffness',
  'chassis.*.roll.rearStiffness': 'rear roll stiffness',
  'chassis.*.roll.front.rate': 'front spring rate',
  'chassis.*.roll.front.motionRatio': 'front motion ratio',
  'chassis.*.roll.front.bar': 'front anti-roll bar',
  'chassis.*.roll.rear.rate': 'rear spring rate',
  'chassis.*.roll.rear.motionRatio': 'rear motion ratio',
  'chassis.*.roll.rear.bar': 'rear anti-roll bar',
  'chassis.*.rollCentres.front': 'front roll centre height',
  'chassis.*.rollCentres.rear': 'rear roll centre height',
  'chassis.*.unsprung.front.mass': 'front unsprung mass',
  'chassis.*.unsprung.front.height': 'front unsprung mass, height',
  'chassis.*.unsprung.rear.mass': 'rear unsprung mass',
  'chassis.*.unsprung.rear.height': 'rear unsprung mass, height',
  'chassis.*.aero.dragArea': 'drag area',
  'chassis.*.aero.downforceArea': 'downforce area',
  'chassis.*.aero.downforceFrontShare': 'front share of downforce',
  'chassis.*.aero.height': 'height the drag acts at',
  'chassis.*.coupling.biasRatio': 'torque bias ratio of the axle',
  'chassis.*.liveAxleShaftRatio': 'bevel ratio of the live axle',
  'brakes.*.frontShare': 'front share of braking force',
  'brakes.*.hydraulics.pedalRatio': 'pedal ratio',
  'brakes.*.hydraulics.barFrontShare': 'balance bar, front share',
  'brakes.*.hydraulics.front.masterBore': 'front master cylinder bore',
  'brakes.*.hydraulics.front.pistonBore': 'front caliper piston bore',
  'brakes.*.hydraulics.front.pistons': 'front pistons on one side of the discs',
  'brakes.*.hydraulics.front.padFriction': 'front pad friction',
  'brakes.*.hydraulics.front.discRadius': 'front disc, effective radius',
  'brakes.*.hydraulics.rear.masterBore': 'rear master cylinder bore',
  'brakes.*.hydraulics.rear.pistonBore': 'rear caliper piston bore',
  'brakes.*.hydraulics.rear.pistons': 'rear pistons on one side of the discs',
  'brakes.*.hydraulics.rear.padFriction': 'rear pad friction',
  'brakes.*.hydraulics.rear.discRadius': 'rear disc, effective radius',
  'brakes.*.buildUp': 'time for the brakes to build up',
  'karts.*.driver.mass': 'driver with kit',
  'karts.*.driver.gripUse': 'share of the grip the driver uses',
  'karts.*.driver.reaction': 'driver’s reaction time',
  'karts.*.ballast[*].mass': 'ballast {n}',
  'karts.*.ballast[*].behindFrontAxle': 'ballast {n} behind the front axle',
  'karts.*.ballast[*].height': 'ballast {n}, height',
  'karts.*.sprockets.front': 'front sprocket',
  'karts.*.sprockets.rear': 'rear sprocket',
  'karts.*.finalRatio': 'final drive',
  'karts.*.chain.pitch': 'chain pitch',
  'karts.*.chain.centreDistance': 'chain, distance between sprocket centres',
  'karts.*.chain.efficiency': 'chain efficiency',
  'karts.*.shiftAt': 'engine speed you shift up at',
  'karts.*.weighed.frontLeft': 'scale under the front left wheel',
  'karts.*.weighed.frontRight': 'scale under the front right wheel',
  'karts.*.weighed.rearLeft': 'scale under the rear left wheel',
  'karts.*.weighed.rearRight': 'scale under the rear right wheel',
  'karts.*.weighed.cgHeight': 'centre of gravity height, weighed',
  'tracks.*.width': 'width',
  'tracks.*.startSpeed': 'speed at the start line',
  'tracks.*.smooth': 'farthest that smoothing may move a point',
  'tracks.*.points[*].x': 'point {n}, east',
  'tracks.*.points[*].y': 'point {n}, north',
  'tracks.*.points[*].height': 'point {n}, height',
  'tracks.*.points[*].width': 'point {n}, width',
  'tracks.*.points[*].bank': 'point {n}, bank (left edge higher: +)',
  'tracks.*.stretches[*].straight': 'stretch {n}, straight',
  'tracks.*.stretches[*].angle': 'stretch {n}, angle',
  'tracks.*.stretches[*].radius': 'stretch {n}, radius',
  'tracks.*.stretches[*].grade': 'stretch {n}, grade',
  'tracks.*.stretches[*].speedLimit': 'stretch {n}, speed limit',
  'tracks.*.stretches[*].width': 'stretch {n}, width',
  'tracks.*.stretches[*].bank': 'stretch {n}, bank (left edge higher: +)',
  'tracks.*.sections[*].from': 'section {n}, from',
  'tracks.*.sections[*].to': 'section {n}, to',
  'tracks.*.sections[*].grade': 'section {n}, grade',
  'tracks.*.sections[*].speedLimit': 'section {n}, speed limit',
  'tracks.*.sections[*].width': 'section {n}, width',
  'tracks.*.sections[*].bank': 'section {n}, bank (left edge higher: +)',
  'tracks.*.widthLeft': 'width left of the line',
  'tracks.*.widthRight': 'width right of the line',
  'tracks.*.points[*].widthLeft': 'point {n}, width left of the line',
  'tracks.*.points[*].widthRight': 'point {n}, width right of the line',
  'tracks.*.stretches[*].widthLeft': 'stretch {n}, width left of the line',
  'tracks.*.stretches[*].widthRight': 'stretch {n}, width right of the line',
  'tracks.*.sections[*].widthLeft': 'section {n}, width left of the line',
  'tracks.*.sections[*].widthRight': 'section {n}, width right of the line',
  'sprockets.front[*].teeth': 'front sprocket {n}, teeth',
  'sprockets.front[*].price': 'front sprocket {n}, price',
  'sprockets.rear[*].teeth': 'rear sprocket {n}, teeth',
  'sprockets.rear[*].price': 'rear sprocket {n}, price',
};

/** Kinds of the file whose entries have a name. */
const NAMED = ['days', 'surfaces', 'tyres', 'donors', 'chassis', 'brakes', 'karts', 'tracks'] as const;
type NamedKind = (typeof NAMED)[number];

/** The pattern of a path: ids and places in lists as `*`. */
export function patternOf(path: string): string {
  return path
    .replace(/\[\d+\]/g, '[*]')
    .replace(/^([a-z]+)\.[^.[]+(?=\.|$)/i, (whole, kind: string) =>
      kind === 'sprockets' ? whole : `${kind}.*`,
    )
    .replace(/\.grip\.[^.]+/, '.grip.*');
}

/** The words of a field; undefined for a path the table does not know. */
export function fieldWords(path: string, project: Project): string | undefined {
  const words = FIELD_WORDS[patternOf(path)];
  if (words === undefined) return undefined;
  const surface = /\.grip\.([^.]+)/.exec(path)?.[1] ?? '';
  const place = Number(/\[(\d+)\]/.exec(path)?.[1] ?? 0) + 1;
  return words
    .replace('{surface}', (project.surfaces[surface]?.name ?? surface).toLowerCase())
    .replace('{n}', String(place));
}

/** The name of the entry a path belongs to: "Knobbly, rear". */
export function ownerName(path: string, project: Project): string {
  const [kind, id] = path.split(/[.[]/);
  if (kind === undefined || id === undefined || !(NAMED as readonly string[]).includes(kind)) return '';
  return project[kind as NamedKind][id]?.name ?? id;
}

/** Entries of lists that are no quantity themselves, one of them. */
const LISTED: Readonly<Record<string, string>> = {
  points: 'point',
  stretches: 'stretch',
  sections: 'section',
  ballast: 'ballast',
};

/** Groups that are spoken of as a whole. */
const WHOLES: Readonly<Record<string, string>> = { torque: 'torque curve', points: 'points' };

/** Where in a project a path leads: "Home field: point 3, east"; undefined where that has no name on the page. */
export function placeWords(path: string, project: Project): string | undefined {
  const owner = ownerName(path, project);
  const rest = /^[^.[]+\.[^.[]+\.?(.*)$/.exec(path)?.[1] ?? '';
  if (owner !== '' && rest === '') return owner;
  const [, list, place] = /^([a-z]+)\[(\d+)\]$/i.exec(rest) ?? [];
  const listed = list === undefined ? undefined : LISTED[list];
  const words =
    fieldWords(path, project) ??
    WHOLES[rest] ??
    (listed === undefined ? undefined : `${listed} ${Number(place) + 1}`);
  if (words === undefined || owner === '') return words;
  return `${owner}: ${words}`;
}
