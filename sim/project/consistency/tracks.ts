/** What the fields of a track demand of one another, and of the karts meant to use it. */
import type { Problem } from '../problem.ts';
import { problem, warning } from '../problem.ts';
import type { Project, StretchSpec, TrackSpec } from '../schema.ts';

/** Points closer than this are one point (m). */
const COINCIDENT = 1e-3;
/** What a closed course of stretches may miss its start by and still be driven: share of its length, and rad. */
const CLOSURE_SHARE = 0.002;
const CLOSURE_ANGLE = 0.02;

const metres = (length: number) => `${Number(length.toFixed(length < 10 ? 2 : 1))} m`;
const degrees = (angle: number) => `${Number(((angle * 180) / Math.PI).toFixed(1))}°`;

export function checkTrack(track: TrackSpec, path: string): Problem[] {
  const { points, stretches } = track;
  if ((points === undefined) === (stretches === undefined)) {
    const both = points !== undefined;
    return [
      problem('one-of', path, both ? 'has both points and stretches' : 'has neither points nor stretches', {
        remedy: both ? 'remove one of them' : "add 'points' as drawn, or 'stretches' (straights and turns)",
      }),
    ];
  }
  const shape =
    points === undefined ? checkStretches(track, stretches ?? [], path) : checkPoints(track, points, path);
  return [...shape, ...checkSections(track, path)];
}

function checkPoints(track: TrackSpec, points: NonNullable<TrackSpec['points']>, path: string): Problem[] {
  const problems: Problem[] = [];
  const pairs = track.closed ? points.length : points.length - 1;
  for (let i = 0; i < pairs; i++) {
    const next = (i + 1) % points.length;
    const [a, b] = [points[i]!, points[next]!];
    if (Math.hypot(b.x - a.x, b.y - a.y) >= COINCIDENT) continue;
    const closing = next === 0;
    problems.push(
      problem('coincident', `${path}.points[${closing ? i : next}]`, `lies on point ${closing ? 0 : i}`, {
        value: `x ${metres(b.x)}, y ${metres(b.y)}`,
        remedy: closing ? 'leave it out: a closed track joins by itself' : 'remove one of the two',
      }),
    );
  }
  const distinct = new Set(
    points.map((p) => `${Math.round(p.x / COINCIDENT)} ${Math.round(p.y / COINCIDENT)}`),
  ).size;
  const least = track.closed ? 3 : 2;
  if (distinct < least) {
    problems.push(
      problem(
        'too-short',
        `${path}.points`,
        `${track.closed ? 'a closed track' : 'a course'} needs ${least} distinct points`,
        {
          value: String(distinct),
          limit: String(least),
        },
      ),
    );
  }
  return problems;
}

function checkStretches(track: TrackSpec, stretches: readonly StretchSpec[], path: string): Problem[] {
  const problems: Problem[] = [];
  stretches.forEach((stretch, i) => {
    const at = `${path}.stretches[${i}]`;
    if ('straight' in stretch) {
      if (stretch.straight > 0) return;
      problems.push(
        problem('no-length', `${at}.straight`, 'a straight must have a length', {
          value: '0 m',
          remedy: 'remove it',
        }),
      );
    } else if (!(stretch.angle > 0)) {
      problems.push(
        problem('no-length', `${at}.angle`, 'a turn must turn', { value: '0°', remedy: 'remove it' }),
      );
    }
  });
  if (problems.length === 0 && track.closed) problems.push(...checkClosure(stretches, path));
  return problems;
}

/** A warning: a track in the making must not keep the rest of the project from being used. */
function checkClosure(stretches: readonly StretchSpec[], path: string): Problem[] {
  const end = endOf(stretches);
  const gap = Math.hypot(end.x, end.y);
  const turned = Math.abs(Math.atan2(Math.sin(end.heading), Math.cos(end.heading)));
  if (gap <= CLOSURE_SHARE * end.length && turned <= CLOSURE_ANGLE) return [];
  return [
    warning(
      'not-closed',
      `${path}.stretches`,
      'the stretches do not come back to the start: no laps until they do',
      {
        value: `ends ${metres(gap)} away, turned ${degrees(turned)}`,
        limit: `${metres(CLOSURE_SHARE * end.length)} and ${degrees(CLOSURE_ANGLE)}`,
        remedy: 'adjust a straight and a turn, or set closed to false',
      },
    ),
  ];
}

/** Where a course of stretches ends (plan view, from the origin along x), and its length along the road. */
export function endOf(stretches: readonly StretchSpec[]): {
  x: number;
  y: number;
  heading: number;
  length: number;
} {
  let [x, y, heading, length] = [0, 0, 0, 0];
  for (const stretch of stretches) {
    // A straight is measured along the road, the radius of a turn in plan.
    const slope = Math.hypot(1, stretch.grade ?? 0);
    if ('straight' in stretch) {
      x += (stretch.straight / slope) * Math.cos(heading);
      y += (stretch.straight / slope) * Math.sin(heading);
      length += stretch.straight;
    } else {
      const side = stretch.turn === 'left' ? 1 : -1;
      const after = heading + side * stretch.angle;
      x += side * stretch.radius * (Math.sin(after) - Math.sin(heading));
      y -= side * stretch.radius * (Math.cos(after) - Math.cos(heading));
      heading = after;
      length += stretch.radius * stretch.angle * slope;
    }
  }
  return { x, y, heading, length };
}

function checkSections(track: TrackSpec, path: string): Problem[] {
  const problems: Problem[] = [];
  const length = track.stretches === undefined ? undefined : endOf(track.stretches).length;
  track.sections.forEach((section, i) => {
    const at = `${path}.sections[${i}]`;
    if (section.to <= section.from) {
      problems.push(
        problem('order', `${at}.to`, 'the end of a section must lie beyond its beginning', {
          value: metres(section.to),
          limit: `above ${metres(section.from)}`,
        }),
      );
    } else if (length !== undefined && section.to > length * 1.0001) {
      problems.push(
        warning('out-of-span', `${at}.to`, 'the section ends beyond the end of the track', {
          value: metres(section.to),
          limit: metres(length),
        }),
      );
    }
  });
  return problems;
}

interface Widest {
  readonly id: string;
  readonly value: number;
}

/** Whether the karts of the project fit the tracks: width, turning circle, and grip on every surface. */
export function checkKartsOnTracks(project: Project): Problem[] {
  const used = new Set(Object.values(project.karts).map((kart) => kart.chassis));
  const chassis = Object.entries(project.chassis).filter(([id]) => used.has(id));
  const widest = most(
    chassis.map(([id, c]) => ({ id, value: c.width ?? Math.max(c.track.front, c.track.rear) })),
  );
  const clumsiest = most(chassis.map(([id, c]) => ({ id, value: c.turningRadius })));
  const problems: Problem[] = [];
  for (const [id, track] of Object.entries(project.tracks)) {
    const path = `tracks.${id}`;
    if (widest !== undefined) problems.push(...checkWidth(track, path, widest));
    if (clumsiest !== undefined) problems.push(...checkTightest(track, path, clumsiest));
  }
  return [...problems, ...checkGrip(project)];
}

function checkWidth(track: TrackSpec, path: string, widest: Widest): Problem[] {
  const pieces = (['points', 'stretches', 'sections'] as const).flatMap((part) =>
    (track[part] ?? []).map((piece, i) => ({ width: piece.width, path: `${path}.${part}[${i}].width` })),
  );
  const narrow = [{ width: track.width as number | undefined, path: `${path}.width` }, ...pieces].filter(
    (piece) => piece.width !== undefined && piece.width < widest.value,
  );
  return narrow.map((piece) =>
    problem('too-narrow', piece.path, `the chassis '${widest.id}' does not fit the track`, {
      value: metres(piece.width ?? 0),
      limit: `above ${metres(widest.value)}`,
      remedy: 'check the unit of the width',
    }),
  );
}

function checkTightest(track: TrackSpec, path: string, clumsiest: Widest): Problem[] {
  const problems: Problem[] = [];
  (track.stretches ?? []).forEach((stretch, i) => {
    if ('straight' in stretch || stretch.radius >= clumsiest.value) return;
    problems.push(
      warning(
        'too-tight',
        `${path}.stretches[${i}].radius`,
        `the chassis '${clumsiest.id}' cannot turn so tightly`,
        {
          value: metres(stretch.radius),
          limit: metres(clumsiest.value),
        },
      ),
    );
  });
  return problems;
}

function checkGrip(project: Project): Problem[] {
  const problems: Problem[] = [];
  const surfaces = surfacesUsed(project);
  const tyres = new Set(Object.values(project.karts).flatMap((kart) => [kart.tyres.front, kart.tyres.rear]));
  for (const tyre of tyres) {
    const grip = Object.hasOwn(project.tyres, tyre) ? project.tyres[tyre]?.grip : undefined;
    if (grip === undefined) continue;
    for (const [surface, track] of surfaces) {
      if (Object.hasOwn(grip, surface)) continue;
      problems.push(
        warning(
          'no-grip',
          `tyres.${tyre}.grip`,
          `has no grip on '${surface}', which the track '${track}' uses`,
          {
            remedy: `add grip.${surface}, a guess with a wide spread if need be`,
          },
        ),
      );
    }
  }
  return problems;
}

/** Surfaces of all tracks, each with the first track that uses it. */
function surfacesUsed(project: Project): Map<string, string> {
  const used = new Map<string, string>();
  for (const [id, track] of Object.entries(project.tracks)) {
    const pieces = [...(track.points ?? []), ...(track.stretches ?? []), ...track.sections];
    for (const surface of [track.surface, ...pieces.map((piece) => piece.surface)]) {
      if (surface !== undefined && !used.has(surface) && Object.hasOwn(project.surfaces, surface))
        used.set(surface, id);
    }
  }
  return used;
}

function most(items: readonly Widest[]): Widest | undefined {
  return items.reduce<Widest | undefined>(
    (best, item) => (best === undefined || item.value > best.value ? item : best),
    undefined,
  );
}
