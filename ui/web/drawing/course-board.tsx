/**
 * The drawing board at work on the chosen course: what the hand and the keys do becomes edits, one step to undo per
 * gesture; length, radius and the lap time of the chosen kart follow the hand.
 */
import { useRef } from 'preact/hooks';
import { useWorkbench } from '../state/context.ts';
import { written } from '../state/document.ts';
import { addPart } from '../state/part-commands.ts';
import type { Workbench } from '../state/workbench.ts';
import { DrawingBoard } from './drawing-board.tsx';
import { backToTrack, drawing, unpickBeyond, zoomBy } from './drawing-state.ts';
import type { DrawnPoint } from './drawn-points.ts';
import type { Deed } from './gesture.ts';
import type { Place } from './point-edits.ts';
import { bent, inserted, moved, nextPlaceAfter, removed } from './point-edits.ts';
import { comesBack, ringPoints, strokePoints } from './stroke-points.ts';
import { newTrack, setClosed } from './track-commands.ts';
import type { Course } from './use-course.ts';
import { useCourse } from './use-course.ts';

/** px from the first point within which a stroke or tap closes the course. */
const CLOSING = 24;
/** px from where it was within which a point dragged is back there. */
const HOME = 0.5;
/** m per press of an arrow key; with Shift ten times. */
const NUDGE = 0.25;

export function CourseBoard() {
  const course = useCourse();
  return course === undefined ? null : <BoardOf course={course} />;
}

function BoardOf({ course }: { readonly course: Course }) {
  const workbench = useWorkbench();
  const state = drawing;
  const { id, spec, points, outline, radii, edit } = course;
  const { closed } = spec;
  const fresh = state.fresh.value;
  const now: readonly DrawnPoint[] = points ?? [];
  const stay = useRef(0);
  const drag = useRef<Drag | undefined>(undefined);
  unpickBeyond(state, now.length);

  const saying = (at: number | undefined, place: Place | undefined): string => {
    const length = outline === undefined ? '' : `course ${outline.length.toFixed(0)} m`;
    const radius = at === undefined ? undefined : radii[at];
    const bend =
      radius === undefined
        ? ''
        : Number.isFinite(radius) && radius < 500
          ? `radius ${radius.toFixed(1)} m`
          : 'straight here';
    const digits = at === undefined ? 0 : 1;
    const spot =
      place === undefined ? '' : `${place.x.toFixed(digits)} m east, ${place.y.toFixed(digits)} m north`;
    return [bend, spot, length].filter((part) => part !== '').join(' · ');
  };

  /** Carries out what the hand did. */
  const onDeed = (deed: Deed, toGround: (pixel: Place) => Place): void => {
    const view = state.view.peek();
    const perPixel = 1 / (view?.scale ?? 1);
    state.strokeDropped.value = deed.do === 'stroke' && closed && !fresh;
    switch (deed.do) {
      case 'select':
        state.selected.value = deed.point;
        return;
      case 'drag':
        dragged(deed.point, toGround(deed.to), `drag ${id} ${deed.serial}`, HOME * perPixel);
        return;
      case 'withdraw':
        workbench.withdraw(`drag ${id} ${deed.serial}`);
        if (drag.current !== undefined) state.selected.value = drag.current.picked;
        return;
      case 'tap':
        if (state.mode.peek() === 'measure') {
          const spots = state.spots.peek();
          state.spots.value = [...(spots.length >= 2 ? [] : spots), toGround(deed.at)];
          return;
        }
        tapped(toGround(deed.at), deed.over);
        return;
      case 'stroke':
        drawn(deed.stroke.map(toGround), perPixel);
        return;
      default:
    }
  };

  const dragged = (at: number, to: Place, gesture: string, near: number): void => {
    if (drag.current?.gesture !== gesture) {
      drag.current = { gesture, from: now[at]!, picked: state.selected.peek() };
      state.selected.value = at;
    }
    const { from } = drag.current;
    // Back where it was: to the last digit, and no step to undo.
    if (Math.hypot(to.x - from.x, to.y - from.y) < near) workbench.withdraw(gesture);
    else edit(`point ${at + 1} moved`, moved(now, at, to), gesture);
  };

  /** A tap while drawing: on the first point it closes the course, on another it picks it, elsewhere it goes on. */
  const tapped = (place: Place, over: number | undefined): void => {
    if (fresh) begun(place);
    else if (over === 0 && !closed && now.length >= 3) close();
    else if (over !== undefined) state.selected.value = over;
    else if (points !== undefined) {
      // On a closed course a tap goes between the two points it lies nearest to; on an open one it goes on from the end.
      const after = closed ? nearestSpan(now, place) : now.length - 1;
      edit('point added', inserted(now, after, place));
      state.selected.value = after + 1;
    }
  };

  /** A tap of a track that is not in the project yet: the second makes it one. */
  const begun = (place: Place): void => {
    const first = state.draft.peek();
    if (first === undefined) state.draft.value = place;
    else added([first, place], false);
  };

  /** A course drawn in one go is one step, closed or not. */
  const added = (places: readonly Place[], isRing: boolean): void => {
    const name = freeName(workbench.project.peek().tracks);
    const track = newTrack(name, spec.surface, places.map(bare), isRing);
    const { id: newId, command } = addPart(workbench.document.peek(), 'tracks', 'drawn', track);
    const keptView = state.view.peek();
    workbench.edit(command);
    state.draft.value = undefined;
    state.fresh.value = false;
    state.of.value = newId;
    state.selected.value = places.length - 1;
    state.spots.value = [];
    state.view.value = keptView;
    workbench.choose({ track: newId });
  };

  const drawn = (stroke: readonly Place[], pixel: number): void => {
    const to = stroke.at(-1);
    if (to === undefined) return;
    const near = CLOSING * pixel;
    if (fresh) {
      const first = state.draft.peek();
      const whole = first === undefined ? stroke : [first, ...stroke];
      const isRing = comesBack(whole, near);
      const places = isRing ? ringPoints(whole, pixel) : strokePoints(whole, pixel);
      if (places.length > 1) added(places, isRing);
      return;
    }
    if (closed || points === undefined) return;
    const [first, next] = [now[0]!, now[1]!];
    const joins = Math.hypot(first.x - to.x, first.y - to.y) < near;
    const more = strokePoints(stroke, pixel, now.at(-1), joins ? { first, next } : undefined);
    const all = [...now, ...more.map(bare)];
    if (joins) workbench.edit(setClosed(id, spec.name, true, all));
    else edit('stroke drawn', all);
  };

  const close = (): void => workbench.edit(setClosed(id, spec.name, true, now));

  const onKey = (event: KeyboardEvent): void => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const at = state.selected.peek();
    const point = at === undefined ? undefined : now[at];
    const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
    const step = NUDGE * (event.shiftKey ? 10 : 1);
    const nudge = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, step], ArrowDown: [0, -step] }[
      key
    ];
    const pick = { n: 1, b: -1 }[key];
    if (nudge !== undefined && at !== undefined && point !== undefined) {
      edit(
        `point ${at + 1} moved`,
        moved(now, at, { x: point.x + nudge[0]!, y: point.y + nudge[1]! }),
        `nudge ${id} ${at} ${stay.current}`,
      );
    } else if (pick !== undefined && now.length > 0) {
      stay.current += 1;
      state.selected.value = ((at ?? (pick > 0 ? -1 : 0)) + pick + now.length) % now.length;
    } else if ((key === 'Delete' || key === 'Backspace') && at !== undefined) {
      edit(`point ${at + 1} deleted`, removed(now, at, closed));
      state.selected.value = undefined;
    } else if (key === 's' && at !== undefined) edit(`point ${at + 1} sharper`, bent(now, at, 1.12, closed));
    else if (key === 'e' && at !== undefined) edit(`point ${at + 1} easier`, bent(now, at, 1 / 1.12, closed));
    else if (key === 'i' && at !== undefined) {
      edit('point added', inserted(now, at, nextPlaceAfter(now, at, closed)));
      state.selected.value = at + 1;
    } else if (key === 'c' && !closed && now.length >= 3) close();
    else if (key === '+' || key === '=') zoomBy(state, 1.25);
    else if (key === '-') zoomBy(state, 0.8);
    else if (key === '0') state.view.value = undefined;
    else if (key === 'Escape' && fresh) backToTrack(state);
    else if (key === 'Escape') state.selected.value = undefined;
    else return;
    event.preventDefault();
    event.stopPropagation();
  };
  return (
    <DrawingBoard
      state={state}
      course={() => (state.fresh.peek() ? undefined : courseNow(workbench))}
      points={now}
      closed={closed}
      outline={outline}
      radii={radii}
      saying={saying}
      onDeed={onDeed}
      onKey={onKey}
    />
  );
}

/** What a drag has to put back. */
interface Drag {
  readonly gesture: string;
  readonly from: Place;
  readonly picked: number | undefined;
}

/** The chosen track as it is written at this moment: the same object for as long as it is the same course. */
function courseNow({ document, choice }: Workbench): unknown {
  return written(document.peek(), ['tracks', choice.peek().track]);
}

function bare(place: Place): DrawnPoint {
  return { x: place.x, y: place.y, laid: {} };
}

/** The point whose span to the next passes nearest to a place. */
function nearestSpan(points: readonly DrawnPoint[], place: Place): number {
  let best = 0;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < points.length; i++) {
    const [a, b] = [points[i]!, points[(i + 1) % points.length]!];
    const [dx, dy] = [b.x - a.x, b.y - a.y];
    const square = dx * dx + dy * dy;
    const t =
      square === 0 ? 0 : Math.min(1, Math.max(0, ((place.x - a.x) * dx + (place.y - a.y) * dy) / square));
    const distance = Math.hypot(place.x - a.x - t * dx, place.y - a.y - t * dy);
    if (distance < least) [least, best] = [distance, i];
  }
  return best;
}

function freeName(tracks: Readonly<Record<string, { readonly name: string }>>): string {
  const taken = new Set(Object.values(tracks).map(({ name }) => name));
  let n = 1;
  while (taken.has(n === 1 ? 'My course' : `My course ${n}`)) n += 1;
  return n === 1 ? 'My course' : `My course ${n}`;
}
