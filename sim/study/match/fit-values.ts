/**
 * The values a log can speak of: what each is in the file, what moves with it, within which bounds, what shows it.
 *
 * In: project, notes, kart, day, surface. Out: one entry per value, each a factor on what stands in the file. Knows nothing
 * of logs.
 */
import type { InputChange } from '../../project/changed-inputs.ts';
import type { InputNote } from '../../project/origins.ts';
import type { Project } from '../../project/schema.ts';
import type { QuantityName } from '../../quantities/table.ts';
import { spreadOf } from '../../quantities/table.ts';
import type { SegmentKind } from './segments.ts';

export const FIT_IDS = [
  'drag area',
  'rolling resistance',
  'power',
  'grip',
  'engine drag',
  'brake balance',
] as const;
export type FitId = (typeof FIT_IDS)[number];

export interface FitValue {
  readonly id: FitId;
  /** Places in the file, and the value of each there (1 for a dyno sheet, which is of no one quantity). */
  readonly places: readonly {
    readonly path: string;
    readonly value: number;
    readonly quantity?: QuantityName;
  }[];
  /** Other places the factor multiplies: a log knows their product with it, so that they stand for no doubt of their own. */
  readonly scales: readonly string[];
  /** One standard deviation of the factor, from the file or the table of quantities. */
  readonly spread: number;
  /** The same without the doubt of the places it `scales`, which taking it over leaves as they are. */
  readonly ownSpread: number;
  readonly min: number;
  readonly max: number;
  readonly shownBy: readonly SegmentKind[];
  /** Fitted unless asked otherwise */
  readonly usual: boolean;
  readonly lowCause: string;
  readonly highCause: string;
}

export interface MatchWho {
  readonly kart: string;
  readonly day: string;
  readonly surface: string;
}

export function fitValuesOf(project: Project, notes: readonly InputNote[], who: MatchWho): FitValue[] {
  const kart = project.karts[who.kart]!;
  const chassis = project.chassis[kart.chassis]!;
  const donor = project.donors[kart.donor]!;
  const brakes = project.brakes[kart.brakes]!;
  const noteAt = (path: string) => notes.find((note) => note.path === path);
  const relative = (path: string, otherwise: number) => {
    const note = noteAt(path);
    return note !== undefined && note.value !== 0 && note.spread > 0
      ? note.spread / Math.abs(note.value)
      : otherwise;
  };
  const dragPath = `chassis.${kart.chassis}.aero.dragArea`;
  const rolling = [...new Set([kart.tyres.front, kart.tyres.rear])].flatMap((tyre) => {
    const grip = project.tyres[tyre]?.grip[who.surface];
    const path = `tyres.${tyre}.grip.${who.surface}.rolling.coefficient`;
    return grip === undefined
      ? []
      : [{ path, value: grip.rolling.coefficient, quantity: 'rollingResistance' as const }];
  });
  const sheet = `donors.${kart.donor}.torque.points`;
  const dayGrip = `days.${who.day}.grip.${who.surface}`;
  const share =
    brakes.hydraulics !== undefined
      ? {
          path: `brakes.${kart.brakes}.hydraulics.barFrontShare`,
          value: brakes.hydraulics.barFrontShare,
          quantity: 'share' as const,
        }
      : {
          path: `brakes.${kart.brakes}.frontShare`,
          value: brakes.frontShare ?? 0,
          quantity: 'brakeShare' as const,
        };
  const drag: FitValue['places'][number] =
    donor.closedThrottle !== undefined
      ? { path: `donors.${kart.donor}.closedThrottle`, value: 1 }
      : { path: `donors.${kart.donor}.pumping`, value: donor.pumping, quantity: 'pumpingPressure' };
  const gripSpread = relative(dayGrip, spreadOf('gripFactor', 1));
  const values: (Omit<FitValue, 'ownSpread'> & { readonly ownSpread?: number })[] = [
    {
      id: 'drag area',
      places: [{ path: dragPath, value: chassis.aero.dragArea, quantity: 'dragArea' }],
      scales: [],
      spread: relative(dragPath, 0.2),
      min: 0.2,
      max: 4,
      shownBy: ['rolling out', 'pull', 'engine braking'],
      usual: true,
      lowCause: 'a tail wind or a downhill in every run, or speeds shown too high',
      highCause: 'a head wind or an uphill in every run, a dragging brake, or speeds in another unit',
    },
    {
      id: 'rolling resistance',
      places: rolling,
      scales: [],
      spread: relative(rolling[0]?.path ?? '', 0.25),
      min: 0.15,
      max: 5,
      shownBy: ['rolling out', 'pull', 'engine braking'],
      usual: true,
      lowCause: 'a downhill in every run, or other ground than named',
      highCause: 'a dragging brake, a tight chain, soft tyres or an uphill in every run',
    },
    {
      id: 'power',
      places: [{ path: sheet, value: 1 }],
      scales: [],
      spread: relative(sheet, 0.05),
      min: 0.4,
      max: 1.8,
      shownBy: ['pull'],
      usual: true,
      lowCause:
        'pulls not at full throttle, a slipping clutch, wheelspin, or a sheet taken at the crank read as wheel',
      highCause:
        'a sheet taken at the wheel read as crank, a downhill, other sprockets than in the file, or less mass',
    },
    {
      id: 'grip',
      places: [
        {
          path: dayGrip,
          value: project.days[who.day]?.grip[who.surface] ?? 1,
          quantity: 'gripFactor',
        },
      ],
      scales: [kart.tyres.front, kart.tyres.rear].flatMap((tyre) =>
        ['peak', 'lateralPeak'].map((key) => `tyres.${tyre}.grip.${who.surface}.${key}`),
      ),
      spread: Math.hypot(gripSpread, relative(`tyres.${kart.tyres.rear}.grip.${who.surface}.peak`, 0.12)),
      ownSpread: gripSpread,
      min: 0.3,
      max: 2.5,
      shownBy: ['stop'],
      usual: true,
      lowCause: 'stops short of the limit: the brakes or the driver, not the ground, set the pace',
      highCause: 'other ground or tyres than named, or an uphill in every stop',
    },
    {
      id: 'engine drag',
      places: [drag],
      scales: [],
      spread: relative(drag.path, 0.3),
      min: 0.1,
      max: 5,
      shownBy: ['engine braking'],
      usual: true,
      lowCause: 'the throttle not quite closed, or the clutch in',
      highCause: 'brakes used as well',
    },
    {
      id: 'brake balance',
      places: [share],
      scales: [],
      spread: relative(share.path, 0.05),
      min: 0.2,
      max: 1 / Math.max(share.value, 1e-6),
      shownBy: ['stop'],
      usual: false,
      lowCause: 'the front brake did next to nothing',
      highCause: 'the rear brake did next to nothing',
    },
  ];
  return values
    .filter(({ places }) => places.length > 0 && places.every(({ value }) => value > 0))
    .map((value) => ({ ownSpread: value.spread, ...value }));
}

export function changesFor(values: readonly FitValue[], factors: readonly number[]): InputChange[] {
  return values.flatMap(({ places }, i) =>
    places.map(({ path, value }) => ({ path, value: value * factors[i]! })),
  );
}
