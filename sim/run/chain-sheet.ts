/**
 * The chain of a kart: links, centre distance, wrap, speed at the limiter, and what handbooks prefer.
 *
 * In: a kart with sprockets, another pair of them or a number of links where asked. Out: one record in SI with the
 * rules it meets and misses, each with its source. The rules are advice for industrial drives: missing one is no fault.
 */
import type { CompiledKart } from '../compile/kart.ts';
import {
  centreDistanceFor,
  chainSpeed,
  evenLinks,
  linksFor,
  pitchDiameter,
  wrapOnSmall,
} from '../physics/chain.ts';
import { problem } from '../project/problem.ts';
import type { Project } from '../project/schema.ts';
import type { Outcome } from './outcome.ts';
import { refused } from './outcome.ts';

export interface ChainOptions {
  /** Another pair than the kart's */
  readonly front?: number;
  readonly rear?: number;
  /** Chain there is; the even number nearest to the kart's centre distance where absent */
  readonly links?: number;
}

export interface ChainSheet {
  readonly front: number;
  readonly rear: number;
  readonly pitch: number;
  /** Of the circles the rollers run on, m */
  readonly pitchDiameters: { readonly front: number; readonly rear: number };
  /** Of the frame as measured, m; null where it was not given: then only a chain at hand can be fitted */
  readonly measured: number | null;
  /** Length that fits the measured distance exactly, links; null without one */
  readonly exactLinks: number | null;
  readonly links: number | null;
  /** Centre distance at which `links` is taut, m */
  readonly centreDistance: number | null;
  /** Wrap on the small sprocket there, rad */
  readonly wrap: number | null;
  /** In the highest gear at the limiter, m/s and rad/s */
  readonly speedAtLimiter: number;
  readonly frontSpeedAtLimiter: number;
  /** Chain speed over road speed */
  readonly speedPerRoadSpeed: number;
  readonly rules: readonly ChainRule[];
}

/** What a handbook or the trade asks of a chain, and whether it is so. */
export interface ChainRule {
  readonly name: string;
  /** SI, links or teeth */
  readonly value: number;
  readonly limit: number;
  readonly kind: 'at least' | 'at most' | 'even';
  readonly holds: boolean;
  readonly source: string;
}

/** False for advice to drives that run for years, which a motorcycle chain hardly ever meets. */
export function bearsOnKarts({ source }: ChainRule): boolean {
  return !source.startsWith('industrial');
}

const HANDBOOK = 'ANSI/ASME B29.1, supplementary information (from memory)';
const TEETH_RANGE = 'ISO 606, number of teeth (from memory)';
const INDUSTRIAL =
  'industrial drives; motorcycles run 13 to 15 teeth and 20 m/s (common practice, no source)';
const RAD = Math.PI / 180;

export function runChainSheet(
  project: Project,
  kart: CompiledKart,
  options: ChainOptions = {},
): Outcome<ChainSheet> {
  const spec = project.karts[kart.id];
  const front = options.front ?? spec?.sprockets?.front;
  const rear = options.rear ?? spec?.sprockets?.rear;
  if (spec === undefined || front === undefined || rear === undefined)
    return refused([
      problem('no-sprockets', `karts.${kart.id}`, 'the kart has no sprockets: a chain needs two', {
        remedy: 'give the teeth of the front and the rear sprocket',
      }),
    ]);
  return {
    status: 'done',
    problems: [],
    diagnostics: {},
    result: chainSheet(
      { pitch: spec.chain.pitch, measured: spec.chain.centreDistance },
      { front, rear },
      topGearOf(kart),
      options.links,
    ),
  };
}

/** What the chain needs to know of engine and wheels. */
export interface TopGear {
  /** Turns of the front sprocket at the limiter in the highest gear, rad/s */
  readonly frontSpeed: number;
  /** Rolling radius of the driven wheels, m */
  readonly radius: number;
}

/** The front sprocket turns with the gearbox, whatever is behind it. */
export function topGearOf({ drivetrain, envelope, radiusFront, radiusRear }: CompiledKart): TopGear {
  const radius = envelope.driven === 'front' ? radiusFront : radiusRear;
  const last = drivetrain.gears.at(-1)!;
  return { frontSpeed: (drivetrain.revLimit * drivetrain.drive) / last.overall, radius };
}

export function chainSheet(
  { pitch, measured }: { readonly pitch: number; readonly measured: number | undefined },
  { front, rear }: { readonly front: number; readonly rear: number },
  top: TopGear,
  links?: number,
): ChainSheet {
  const drive = { pitch, front, rear };
  const fits = measured !== undefined && 2 * measured > pitch + Math.abs(rear - front) * (pitch / Math.PI);
  const exactLinks = fits ? linksFor(drive, measured) : null;
  const wanted = links ?? (exactLinks === null ? null : nearestEven(drive, measured!, exactLinks));
  const centreDistance = wanted === null ? null : centreDistanceFor(drive, wanted);
  const wrap = centreDistance === null ? null : wrapOnSmall(drive, centreDistance);
  const speedAtLimiter = chainSpeed(pitch, front, top.frontSpeed);
  return {
    front,
    rear,
    pitch,
    pitchDiameters: { front: pitchDiameter(pitch, front), rear: pitchDiameter(pitch, rear) },
    measured: measured ?? null,
    exactLinks,
    links: wanted,
    centreDistance,
    wrap,
    speedAtLimiter,
    frontSpeedAtLimiter: top.frontSpeed,
    speedPerRoadSpeed: chainSpeed(pitch, rear, 1 / top.radius),
    rules: rulesOf({ pitch, front, rear, links: wanted, centreDistance, wrap, speedAtLimiter }),
  };
}

/** The even number of links whose centre distance lies nearest to the measured one. */
function nearestEven(
  drive: { pitch: number; front: number; rear: number },
  measured: number,
  exact: number,
): number {
  const even = evenLinks(exact);
  const off = (n: number) => Math.abs((centreDistanceFor(drive, n) ?? Number.POSITIVE_INFINITY) - measured);
  return [even - 2, even + 2].reduce((best, n) => (off(n) < off(best) ? n : best), even);
}

function rulesOf(c: {
  readonly pitch: number;
  readonly front: number;
  readonly rear: number;
  readonly links: number | null;
  readonly centreDistance: number | null;
  readonly wrap: number | null;
  readonly speedAtLimiter: number;
}): ChainRule[] {
  const rules: ChainRule[] = [];
  const ask = (name: string, value: number, kind: ChainRule['kind'], limit: number, source: string) => {
    const holds = kind === 'even' ? value % 2 === 0 : kind === 'at least' ? value >= limit : value <= limit;
    rules.push({ name, value, limit, kind, holds, source });
  };
  if (c.links !== null)
    ask('links', c.links, 'even', 2, 'ISO 606: an odd number needs a cranked link, which is weaker');
  if (c.centreDistance !== null) {
    ask('centre distance in pitches', c.centreDistance / c.pitch, 'at least', 30, HANDBOOK);
    ask('centre distance in pitches', c.centreDistance / c.pitch, 'at most', 50, HANDBOOK);
  }
  if (c.wrap !== null) ask('wrap on the small sprocket', c.wrap, 'at least', 120 * RAD, HANDBOOK);
  const small = Math.min(c.front, c.rear);
  const large = Math.max(c.front, c.rear);
  ask('teeth of the small sprocket', small, 'at least', 9, TEETH_RANGE);
  ask('teeth of the large sprocket', large, 'at most', 150, TEETH_RANGE);
  ask('teeth of the small sprocket', small, 'at least', 17, INDUSTRIAL);
  ask('chain speed at the limiter', c.speedAtLimiter, 'at most', 15, INDUSTRIAL);
  return rules;
}
