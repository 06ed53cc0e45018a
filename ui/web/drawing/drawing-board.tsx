/**
 * The drawing board: the ground from above, the builder's picture under it, the course with its control points.
 *
 * In: the points of the track and its outline. Out: deeds of the hand (gesture.ts), carried out by the caller. Pointer, touch
 * and keys do the same things; every place is also a row of the point list.
 */
import { useComputed } from '@preact/signals';
import { useId, useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { CourseOutline } from '../../../sim/index.ts';
import type { Fitted } from '../map/fit.ts';
import { groundOutline, linePath, stationsShown } from '../map/outline.ts';
import { useWorkbench } from '../state/context.ts';
import { seconds } from '../words/numbers.ts';
import type { DrawingState } from './drawing-state.ts';
import type { DrawnPoint } from './drawn-points.ts';
import type { Deed, Gesture } from './gesture.ts';
import { cancelled, lifted, movedTo, pinchBegun, pinched, pressed } from './gesture.ts';
import type { Place } from './point-edits.ts';
import type { Board, Viewport } from './viewport.ts';
import { fitted, panned, scaleBar, toGround, toScreen, zoomedAt } from './viewport.ts';

export interface DrawingBoardProps {
  readonly state: DrawingState;
  /** Which course is on the board at this moment: another object when anything has changed it. */
  readonly course: () => unknown;
  readonly points: readonly DrawnPoint[];
  readonly closed: boolean;
  /** Undefined while the points make no course. */
  readonly outline: CourseOutline | undefined;
  /** Radius at each point, m. */
  readonly radii: readonly number[];
  /** What is said of the selected point, of the place under the pointer, or of the course alone. */
  readonly saying: (point: number | undefined, at: Place | undefined) => string;
  readonly onDeed: (deed: Deed, toGround: (pixel: Place) => Place) => void;
  readonly onKey: (event: KeyboardEvent) => void;
}

/** px round a control point that count as on it: a fingertip. */
const TOUCH = 22;
/** The same while drawing, but for the point that closes the course: the next place is often near the last. */
const TOUCH_DRAWING = 8;
/** Keys that would scroll the page away from under the hand. */
const SCROLLING = /^(Arrow|Page|Home|End)/;
/** ms: moves that come more often than frames are heard once a frame, or they would be worked out twice for each. */
const SELDOM = 12;
/** px; a board not laid out yet is drawn as if it were this large. */
const LEAST_SIDE = 240;

/** px of the box without its border, and the border's. */
interface Box extends Board {
  readonly left: number;
  readonly top: number;
}
const NO_BOX: Box = { width: 0, height: 0, left: 0, top: 0 };

export function DrawingBoard(props: DrawingBoardProps) {
  const { state, points, outline, closed, radii } = props;
  const { takeInHand, letGo } = useWorkbench();
  const frame = useRef<HTMLDivElement>(null);
  const lapId = useId();
  const box = useRef(NO_BOX);
  const [{ width, height }, setBox] = useState(NO_BOX);
  const board = useMemo(() => boardOf({ width, height }), [width, height]);
  const pointers = useRef(new Map<number, Place>());
  const gesture = useRef<Gesture>({ kind: 'none' });
  const begunOn = useRef<unknown>(undefined);
  const rawAt = useRef(0);
  const ahead = useRef<(event: PointerEvent) => void>(() => {});
  const space = useRef(false);
  const [hover, setHover] = useState<Place | undefined>(undefined);
  const [stroke, setStroke] = useState<readonly Place[]>([]);

  useLayoutEffect(() => {
    const element = frame.current;
    if (element === null) return undefined;
    const measure = (): void => {
      const { clientWidth, clientHeight, clientLeft, clientTop } = element;
      box.current = { width: clientWidth, height: clientHeight, left: clientLeft, top: clientTop };
      setBox(box.current);
    };
    measure();
    const watcher = new ResizeObserver(measure);
    watcher.observe(element);
    // The page must not scroll while the wheel zooms: Preact's own listener would be passive.
    const wheel = (event: WheelEvent): void => {
      event.preventDefault();
      const view = state.view.peek();
      if (view !== undefined)
        state.view.value = zoomedAt(
          view,
          boardOf(box.current),
          pixelIn(element, box.current, event),
          Math.exp(-event.deltaY / 400),
        );
    };
    element.addEventListener('wheel', wheel, { passive: false });
    // The space key may be let go wherever the focus has gone meanwhile.
    const keyUp = (event: KeyboardEvent): void => {
      if (event.key === ' ') space.current = false;
    };
    addEventListener('keyup', keyUp);
    return () => {
      removeEventListener('keyup', keyUp);
      watcher.disconnect();
      element.removeEventListener('wheel', wheel);
      letGo();
    };
  }, []);

  const view = state.view.value ?? fitted(points.length > 0 ? points : placesOf(outline), board);
  // Held from the first look on: a window that fits itself anew would move the ground under the hand.
  useLayoutEffect(() => {
    if (width > 0 && state.view.peek() === undefined) state.view.value = view;
  });
  const screen = (place: Place): Place => toScreen(view, board, place);
  const ground = (pixel: Place): Place => toGround(view, board, pixel);
  const line = useMemo(
    () => (outline === undefined ? undefined : lineOf(outline, view, board)),
    [outline, view, board],
  );

  const rawMove = useMemo(() => (event: Event) => ahead.current(event as PointerEvent), []);
  const pixelOf = (event: PointerEvent): Place =>
    frame.current === null ? { x: 0, y: 0 } : pixelIn(frame.current, box.current, event);
  const under = (pixel: Place): number | undefined => {
    let best: number | undefined;
    let least = Number.POSITIVE_INFINITY;
    for (const [i, point] of points.entries()) {
      const closes = i === 0 && !closed;
      const reach = state.mode.peek() === 'draw' && !closes ? TOUCH_DRAWING : TOUCH;
      const at = screen(point);
      const distance = Math.hypot(at.x - pixel.x, at.y - pixel.y);
      if (distance <= reach && distance < least) [least, best] = [distance, i];
    }
    return best;
  };
  const take = (step: { readonly gesture: Gesture; readonly deeds: readonly Deed[] }): void => {
    gesture.current = step.gesture;
    if (step.gesture.kind === 'dragging') takeInHand();
    else letGo();
    setStroke(step.gesture.kind === 'stroke' ? step.gesture.stroke : []);
    for (const deed of step.deeds) {
      const now = state.view.peek() ?? view;
      if (deed.do === 'pan') state.view.value = panned(now, deed.dx, deed.dy);
      else if (deed.do === 'pinch')
        state.view.value = panned(zoomedAt(now, board, deed.at, deed.factor), deed.dx, deed.dy);
      else props.onDeed(deed, (pixel) => toGround(state.view.peek() ?? view, board, pixel));
    }
    // What the gesture itself has made of the course is the course it is at work on.
    if (step.deeds.length > 0) begunOn.current = props.course();
  };
  /** Undone, opened anew, another track chosen: nothing more is done to a course the hand did not begin on. */
  const endIfCourseIsGone = (): void => {
    if (gesture.current.kind === 'none' || begunOn.current === props.course()) return;
    take({ gesture: { kind: 'none' }, deeds: [] });
  };
  useLayoutEffect(endIfCourseIsGone);
  const two = (): readonly [Place, Place] | undefined => {
    const [first, second] = [...pointers.current.values()];
    return first === undefined || second === undefined ? undefined : [first, second];
  };
  const onDown = (event: PointerEvent): void => {
    if (event.button > 1) return;
    frame.current?.setPointerCapture(event.pointerId);
    frame.current?.addEventListener('pointerrawupdate', rawMove);
    const at = pixelOf(event);
    pointers.current.set(event.pointerId, at);
    const both = two();
    if (both !== undefined) {
      take(pinchBegun(gesture.current, ...both));
      return;
    }
    state.gestures.value += 1;
    begunOn.current = props.course();
    const over = under(at);
    const middle = over === undefined ? at : screen(points[over]!);
    const grip = { x: middle.x - at.x, y: middle.y - at.y };
    take(pressed({ at, over, grip, pan: event.button === 1 || space.current }));
  };
  const onMove = (event: PointerEvent): void => {
    const at = pixelOf(event);
    const last = pointers.current.get(event.pointerId);
    // Heard of already, ahead of its frame.
    if (last !== undefined && last.x === at.x && last.y === at.y) return;
    if (event.pointerType === 'mouse') setHover(at);
    if (last === undefined) return;
    pointers.current.set(event.pointerId, at);
    endIfCourseIsGone();
    const both = two();
    take(
      both === undefined
        ? movedTo(gesture.current, state.mode.peek(), at, state.gestures.peek())
        : pinched(gesture.current, ...both),
    );
  };
  /**
   * A browser tells of a move just before it draws the next frame, and of a raw one as it comes: the lap of a point under
   * the hand is then often there by the frame that shows the point.
   */
  ahead.current = (event) => {
    const isSeldom = event.timeStamp - rawAt.current > SELDOM;
    rawAt.current = event.timeStamp;
    if (isSeldom && gesture.current.kind === 'dragging') onMove(event);
  };
  const onUp = (event: PointerEvent): void => {
    frame.current?.removeEventListener('pointerrawupdate', rawMove);
    if (!pointers.current.delete(event.pointerId)) return;
    endIfCourseIsGone();
    // The finger that stays after a pinch moves nothing until it is lifted too.
    if (pointers.current.size > 0) {
      gesture.current = { kind: 'none' };
      letGo();
    } else take(lifted(gesture.current, state.mode.peek()));
  };

  const onCancel = (event: PointerEvent): void => {
    frame.current?.removeEventListener('pointerrawupdate', rawMove);
    if (pointers.current.delete(event.pointerId)) take(cancelled(gesture.current));
  };
  /** While a hand is at work the keys do nothing, but those that take back what it has done. */
  const onKeyDown = (event: KeyboardEvent): void => {
    if (event.key === ' ') {
      space.current = true;
      event.preventDefault();
    }
    const isUndo = (event.ctrlKey || event.metaKey) && !event.shiftKey && event.key.toLowerCase() === 'z';
    if (gesture.current.kind === 'none') props.onKey(event);
    else if (event.key === 'Escape' || isUndo) {
      take(cancelled(gesture.current));
      event.preventDefault();
      event.stopPropagation();
    } else if (SCROLLING.test(event.key)) event.preventDefault();
  };

  const { selected } = state;
  const bar = scaleBar(view, 110);
  const spoken = selected.value === undefined ? undefined : points[selected.value];
  const words = props.saying(selected.value, spoken ?? (hover === undefined ? undefined : ground(hover)));
  return (
    <>
      {/* Not on the drawing, where it would hide what the hand is at; above it, where no hand lies. */}
      <p class="board-label" aria-hidden="true">
        {words}
        {/* A course being begun is not the track in view, whose lap this would be. */}
        {state.fresh.value ? null : (
          <>
            {words === '' ? '' : ' · '}
            <LapHere id={lapId} />
          </>
        )}
      </p>
      {/* An application to a screen reader: it has keys of its own, said in its label. */}
      <div
        ref={frame}
        class={`board ${state.mode.value}`}
        role="application"
        // biome-ignore lint/a11y/noNoninteractiveTabindex: the board is worked by keys
        tabIndex={0}
        aria-roledescription="drawing board"
        aria-label={
          spoken === undefined
            ? `Course of ${points.length} points. N and B pick a point, arrows move it.`
            : `Point ${selected.value! + 1} of ${points.length}: ${props.saying(selected.value, spoken)}`
        }
        {...(state.fresh.value ? {} : { 'aria-describedby': lapId })}
        onPointerDown={onDown}
        onPointerMove={onMove}
        onPointerUp={onUp}
        onPointerCancel={onCancel}
        onPointerLeave={() => setHover(undefined)}
        onKeyDown={onKeyDown}
        onBlur={() => {
          space.current = false;
        }}
      >
        <svg width={board.width} height={board.height} aria-hidden="true">
          <PictureUnder state={state} view={view} board={board} />
          <Grid view={view} board={board} />
          {line === undefined ? null : (
            <>
              <path class="board-ground" d={line.ground} />
              <path class="board-line" d={line.path} />
            </>
          )}
          {points.map((point, i) => (
            <PointMark
              key={i}
              at={screen(point)}
              number={i + 1}
              isSelected={i === selected.value}
              isFirst={i === 0}
              isTight={(radii[i] ?? Number.POSITIVE_INFINITY) < 4}
            />
          ))}
          {state.draft.value === undefined ? null : (
            <PointMark
              at={screen(state.draft.value)}
              number={1}
              isSelected={true}
              isFirst={true}
              isTight={false}
            />
          )}
          {stroke.length === 0 ? null : (
            <polyline class="board-stroke" points={stroke.map(({ x, y }) => `${x},${y}`).join(' ')} />
          )}
          <Spots spots={state.spots.value.map(screen)} />
          <g class="board-scale" transform={`translate(14 ${board.height - 18})`}>
            <path d={`M0 -6V0H${bar.pixels.toFixed(1)}V-6`} />
            <text x={bar.pixels / 2} y="-8">
              {bar.metres} m
            </text>
          </g>
          {closed ? null : (
            <text x="14" y="22" class="board-open">
              open course: start at 1
            </text>
          )}
        </svg>
      </div>
    </>
  );
}

function boardOf({ width, height }: Board): Board {
  return { width: Math.max(width, LEAST_SIDE), height: Math.max(height, LEAST_SIDE) };
}

/** Where a pointer is on the drawing: from the corner inside the border. */
function pixelIn(element: Element, { left, top }: Box, { clientX, clientY }: MouseEvent): Place {
  const outer = element.getBoundingClientRect();
  return { x: clientX - outer.left - left, y: clientY - outer.top - top };
}

/**
 * The lap of the chosen kart on this state of the course. By itself, so that a new time while a point is dragged draws
 * nothing else anew.
 */
function LapHere({ id }: { id: string }) {
  const workbench = useWorkbench();
  const { result, freshness, problems } = workbench.answers.drawnTime.value;
  const isClosed = useComputed(() => workbench.project.value.tracks[workbench.choice.value.track]?.closed);
  const word = isClosed.value === false ? 'run' : 'lap';
  const time = result?.figures[0]?.['lap time'];
  const refusal =
    freshness === 'failed' ? problems.find((p) => p.severity === 'problem')?.message : result?.refusals[0];
  return (
    <span id={id}>
      {typeof time === 'number' && freshness !== 'failed'
        ? `${word} ${seconds(time)}`
        : refusal === undefined
          ? ''
          : `no ${word}: ${refusal}`}
    </span>
  );
}

/** Of a course of stretches, which has no points. */
function placesOf(course: CourseOutline | undefined): Place[] {
  return Array.from({ length: course?.count ?? 0 }, (_, i) => ({ x: course!.x[i]!, y: course!.y[i]! }));
}

function lineOf(course: CourseOutline, view: Viewport, board: Board): { ground: string; path: string } {
  const x = new Float64Array(course.count);
  const y = new Float64Array(course.count);
  for (let i = 0; i < course.count; i++) {
    const place = toScreen(view, board, { x: course.x[i]!, y: course.y[i]! });
    x[i] = place.x;
    y[i] = place.y;
  }
  const drawn: Fitted = { x, y, scale: view.scale };
  const stations = stationsShown(drawn, course, 0, course.count - 1);
  return {
    ground: groundOutline(drawn, course, stations),
    path: linePath(drawn, stations, course.closed),
  };
}

interface PointMarkProps {
  readonly at: Place;
  readonly number: number;
  readonly isSelected: boolean;
  readonly isFirst: boolean;
  readonly isTight: boolean;
}

function PointMark({ at, number, isSelected, isFirst, isTight }: PointMarkProps) {
  const size = isSelected ? 9 : 6;
  return (
    <g
      class={`board-point${isSelected ? ' selected' : ''}${isTight ? ' tight' : ''}`}
      transform={`translate(${at.x.toFixed(1)} ${at.y.toFixed(1)})`}
    >
      {isFirst ? <rect x={-size} y={-size} width={2 * size} height={2 * size} /> : <circle r={size} />}
      {isSelected || isFirst ? (
        <text x={size + 4} y="-6">
          {number}
        </text>
      ) : null}
    </g>
  );
}

function Spots({ spots }: { spots: readonly Place[] }) {
  const [a, b] = spots;
  return (
    <g class="board-spots">
      {a === undefined || b === undefined ? null : <path d={`M${a.x} ${a.y}L${b.x} ${b.y}`} />}
      {spots.map(({ x, y }) => (
        <path key={`${x} ${y}`} d={`M${x - 8} ${y}H${x + 8}M${x} ${y - 8}V${y + 8}`} />
      ))}
    </g>
  );
}

function PictureUnder({ state, view, board }: { state: DrawingState; view: Viewport; board: Board }) {
  const picture = state.picture.value;
  if (picture === undefined) return null;
  const wide = picture.width * picture.metresPerPixel;
  const tall = picture.height * picture.metresPerPixel;
  const corner = toScreen(view, board, { x: picture.x - wide / 2, y: picture.y + tall / 2 });
  return (
    <image
      href={picture.address}
      x={corner.x}
      y={corner.y}
      width={wide * view.scale}
      height={tall * view.scale}
      opacity={picture.strength}
      preserveAspectRatio="none"
    />
  );
}

/** Lines of the ground at a round distance, as far apart as a thumb. */
function Grid({ view, board }: { view: Viewport; board: Board }) {
  const { metres } = scaleBar(view, 130);
  const from = toGround(view, board, { x: 0, y: board.height });
  const to = toGround(view, board, { x: board.width, y: 0 });
  let d = '';
  for (let x = Math.ceil(from.x / metres) * metres; x <= to.x; x += metres)
    d += `M${toScreen(view, board, { x, y: 0 }).x.toFixed(1)} 0V${board.height}`;
  for (let y = Math.ceil(from.y / metres) * metres; y <= to.y; y += metres)
    d += `M0 ${toScreen(view, board, { x: 0, y }).y.toFixed(1)}H${board.width}`;
  return <path class="board-grid" d={d} />;
}
