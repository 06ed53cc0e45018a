/**
 * A kart with another donor, or with one thing of it changed: as rows of changed inputs.
 *
 * In: project, kart, donor. Out: changes. The frame stays; mass, place and price of the donor follow. A kart weighed as a
 * whole was weighed with its own donor: the weights are worked over for the other. Knows nothing of runs.
 */
import { compileKart } from '../../compile/kart.ts';
import type { InputChange } from '../../project/changed-inputs.ts';
import { readDragPoints, readPoints } from '../../project/points.ts';
import type { PointsSpec, Project } from '../../project/schema.ts';
import { runKartSheet } from '../../run/kart-sheet.ts';

const HORSEPOWER = 745.6998715822702;
const RPM = Math.PI / 30;

/** Puts a donor into the kart; the shift speed set for the old one falls away. */
export function withDonor(project: Project, kartId: string, donorId: string): InputChange[] {
  const kart = project.karts[kartId]!;
  if (kart.donor === donorId) return [];
  const at = `karts.${kartId}`;
  return [
    { path: `${at}.donor`, value: donorId },
    ...(kart.shiftAt === undefined ? [] : [{ path: `${at}.shiftAt`, value: null }]),
    ...weightsWith(project, kartId, project.donors[donorId]!.mass),
  ];
}

/** Corner weights and height with a donor of another mass in the same place; none where parts are added up anyway. */
function weightsWith(project: Project, kartId: string, mass: number): InputChange[] {
  const kart = project.karts[kartId]!;
  const { weighed } = kart;
  const chassis = project.chassis[kart.chassis]!;
  if (weighed === undefined) return [];
  const added = mass - project.donors[kart.donor]!.mass;
  const toFront = 1 - chassis.donorAt.behindFrontAxle / chassis.wheelbase;
  const whole = weighed.frontLeft + weighed.frontRight + weighed.rearLeft + weighed.rearRight;
  const height = (whole * weighed.cgHeight + added * chassis.donorAt.height) / (whole + added);
  const at = `karts.${kartId}.weighed`;
  const corner = (name: 'frontLeft' | 'frontRight' | 'rearLeft' | 'rearRight', share: number) => ({
    path: `${at}.${name}`,
    value: weighed[name] + (added * share) / 2,
  });
  return [
    corner('frontLeft', toFront),
    corner('frontRight', toFront),
    corner('rearLeft', 1 - toFront),
    corner('rearRight', 1 - toFront),
    { path: `${at}.cgHeight`, value: height },
  ];
}

/** The kart lighter by so much: of the frame, or of all four corners alike where it was weighed as a whole. */
export function lighterBy(project: Project, kartId: string, mass: number): InputChange[] {
  const kart = project.karts[kartId]!;
  const { weighed } = kart;
  if (weighed === undefined) {
    const path = `chassis.${kart.chassis}.mass`;
    return [{ path, value: Math.max(0, project.chassis[kart.chassis]!.mass - mass) }];
  }
  const whole = weighed.frontLeft + weighed.frontRight + weighed.rearLeft + weighed.rearRight;
  return (['frontLeft', 'frontRight', 'rearLeft', 'rearRight'] as const).map((name) => ({
    path: `karts.${kartId}.weighed.${name}`,
    value: (weighed[name] * (whole - mass)) / whole,
  }));
}

/**
 * The sheet scaled so that the peak at the crank on the day gains so many horsepower, wherever and whenever it was taken;
 * empty where it cannot be read.
 */
export function strongerBy(project: Project, kart: string, day: string, horsepower: number): InputChange[] {
  const { kart: compiled } = compileKart(project, { kart, day });
  const peak = compiled === undefined ? 0 : (runKartSheet(compiled).result?.peakPower ?? 0);
  if (!(peak > 0)) return [];
  const path = `donors.${project.karts[kart]!.donor}.torque.points`;
  return [{ path, value: 1 + (horsepower * HORSEPOWER) / peak }];
}

export function quickerShiftBy(project: Project, donorId: string, time: number): InputChange[] {
  const { up } = project.donors[donorId]!.shift;
  return [{ path: `donors.${donorId}.shift.up`, value: Math.max(0, up - time) }];
}

/**
 * The limiter and the safe speed raised by so many rpm. Beyond its last point the sheet goes on along its last slope, no
 * lower than nothing: an assumption, as the sheet does not say; so does a sheet of closed-throttle drag.
 */
export function limiterRaisedBy(project: Project, donorId: string, rpm: number): InputChange[] {
  const donor = project.donors[donorId]!;
  const at = `donors.${donorId}`;
  const raise = rpm * RPM;
  const torque = extended(readPoints(donor.torque.points, at).points, donor.revLimit + raise);
  const drag =
    donor.closedThrottle === undefined
      ? undefined
      : extended(readDragPoints(donor.closedThrottle, at).points, donor.safeRev + raise);
  return [
    { path: `${at}.revLimit`, value: donor.revLimit + raise },
    { path: `${at}.safeRev`, value: donor.safeRev + raise },
    ...(torque === undefined ? [] : [{ path: `${at}.torque.points`, value: torque }]),
    ...(drag === undefined ? [] : [{ path: `${at}.closedThrottle`, value: drag }]),
  ];
}

interface Sheet {
  readonly speed: ArrayLike<number>;
  readonly torque: ArrayLike<number>;
}

function extended(sheet: Sheet | undefined, to: number): PointsSpec | undefined {
  if (sheet === undefined) return undefined;
  const n = sheet.speed.length;
  const end = sheet.speed[n - 1]!;
  if (n < 2 || end >= to) return undefined;
  const rows = Array.from({ length: n }, (_, i): [number, number] => [sheet.speed[i]!, sheet.torque[i]!]);
  const slope = (sheet.torque[n - 1]! - sheet.torque[n - 2]!) / (end - sheet.speed[n - 2]!);
  rows.push([to, Math.max(0, sheet.torque[n - 1]! + slope * (to - end))]);
  return { columns: ['rad/s', 'N·m'], rows };
}
