/** What the fields of a donor demand of one another. */
import { readDragPoints, readPoints } from '../points.ts';
import type { Problem } from '../problem.ts';
import { problem, warning } from '../problem.ts';
import type { DonorSpec } from '../schema.ts';

const rpm = (speed: number) => `${Math.round((speed * 30) / Math.PI)} rpm`;

export function checkDonor(donor: DonorSpec, path: string): Problem[] {
  return [...checkSpeeds(donor, path), ...checkSheet(donor, path), ...checkDrive(donor, path)];
}

function checkSpeeds(donor: DonorSpec, path: string): Problem[] {
  const problems: Problem[] = [];
  const above = (lower: number, upper: number, at: string, message: string, equalMayBe = false): void => {
    if (equalMayBe ? upper >= lower : upper > lower) return;
    problems.push(problem('order', `${path}.${at}`, message, { value: rpm(upper), limit: rpm(lower) }));
  };
  above(donor.idle, donor.revLimit, 'revLimit', 'the limiter must be above idle');
  above(
    donor.revLimit,
    donor.safeRev,
    'safeRev',
    'the highest safe speed must not be below the limiter',
    true,
  );
  const launch = donor.clutch?.launchSpeed;
  if (launch !== undefined) {
    above(donor.idle, launch, 'clutch.launchSpeed', 'the launch speed must be above idle');
    above(launch, donor.revLimit, 'revLimit', 'the limiter must not be below the launch speed', true);
  }
  return problems;
}

function checkSheet(donor: DonorSpec, path: string): Problem[] {
  const sheet = donor.torque;
  const { points, problems } = readPoints(sheet.points, `${path}.torque.points`);
  const all = [...problems];
  if (points !== undefined) {
    const [lowest = 0, highest = 0] = [points.speed[0], points.speed.at(-1)];
    if (lowest >= donor.revLimit) {
      all.push(
        problem('out-of-span', `${path}.torque.points`, 'every point lies above the limiter', {
          value: `from ${rpm(lowest)}`,
          limit: rpm(donor.revLimit),
          remedy: 'check the unit of the speed column and the limiter',
        }),
      );
    } else if (highest < donor.revLimit * 0.95) {
      all.push(
        warning(
          'short-sheet',
          `${path}.torque.points`,
          'the points end below the limiter: no thrust is assumed above them',
          {
            value: `to ${rpm(highest)}`,
            limit: rpm(donor.revLimit),
            remedy: 'add points up to the limiter, estimated if need be',
          },
        ),
      );
    }
  }
  if (donor.closedThrottle !== undefined) {
    all.push(...readDragPoints(donor.closedThrottle, `${path}.closedThrottle`).problems);
  }
  if (sheet.standard === 'as measured' && sheet.measuredIn === undefined) {
    all.push(
      problem(
        'missing',
        `${path}.torque.measuredIn`,
        'the sheet is uncorrected, so the air it was measured in is needed',
        {
          remedy: "give temperature and pressure of that day, or set standard to 'as on the day'",
        },
      ),
    );
  }
  if (sheet.standard !== 'as measured' && sheet.measuredIn !== undefined) {
    all.push(
      warning('unused', `${path}.torque.measuredIn`, 'is not used: the sheet states a standard', {
        value: sheet.standard,
        remedy: "set standard to 'as measured' if the figures are uncorrected",
      }),
    );
  }
  return all;
}

function checkDrive(donor: DonorSpec, path: string): Problem[] {
  const { gears, belt } = donor;
  if (gears !== undefined && belt !== undefined) {
    return [problem('one-of', path, 'has both gears and a belt', { remedy: 'remove one of them' })];
  }
  if (gears !== undefined) {
    const rising = gears.findIndex((ratio, i) => i > 0 && ratio >= gears[i - 1]!);
    if (rising < 0) return [];
    return [
      problem(
        'order',
        `${path}.gears[${rising}]`,
        'each gear must have a smaller ratio than the one below it',
        {
          value: gears[rising]!.toPrecision(4),
          limit: `below ${gears[rising - 1]!.toPrecision(4)}`,
          remedy: 'list the gears from first to last, driven over driving teeth',
        },
      ),
    ];
  }
  if (belt === undefined) {
    return [
      problem('one-of', path, 'has neither gears nor a belt', {
        remedy: "add 'gears' from first to last, or 'belt'",
      }),
    ];
  }
  const problems: Problem[] = [];
  if (belt.low <= belt.high) {
    problems.push(
      problem('order', `${path}.belt.low`, 'the low ratio must be the larger number', {
        value: String(belt.low),
        limit: `above ${belt.high}`,
        remedy: 'exchange low and high',
      }),
    );
  }
  if (belt.engages >= belt.shiftsOut) {
    problems.push(
      problem('order', `${path}.belt.shiftsOut`, 'the belt must shift out above the speed it engages at', {
        value: rpm(belt.shiftsOut),
        limit: `above ${rpm(belt.engages)}`,
      }),
    );
  }
  if (belt.shiftsOut > donor.revLimit) {
    problems.push(
      problem('order', `${path}.belt.shiftsOut`, 'the belt must shift out at or below the limiter', {
        value: rpm(belt.shiftsOut),
        limit: rpm(donor.revLimit),
      }),
    );
  }
  return problems;
}
