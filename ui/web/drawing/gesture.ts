/**
 * What pointers on the drawing board mean: a small state machine in front of the edits. Pure.
 *
 * In: pointer events in pixels with what lies under them, and the mode. Out: the next state and what is to be done.
 * One finger draws, or moves a point; two fingers, the middle button or the space key move the ground, and so does one
 * finger on bare ground where nothing is drawn.
 */
import type { Place } from './point-edits.ts';

export type Mode = 'move' | 'draw' | 'measure';

export type Gesture =
  | { readonly kind: 'none' }
  /** Pressed, not yet moved far enough to be more than a tap. */
  | ({ readonly kind: 'pressed' } & Press)
  | {
      readonly kind: 'dragging';
      readonly point: number;
      /** px from the pointer to the middle of the point, as it was grasped. */
      readonly grip: Place;
      readonly serial: number;
    }
  | { readonly kind: 'stroke'; readonly stroke: readonly Place[] }
  | { readonly kind: 'panning'; readonly last: Place }
  | {
      readonly kind: 'pinching';
      readonly middle: Place;
      readonly spread: number;
    };

export type Deed =
  | { readonly do: 'select'; readonly point: number | undefined }
  | { readonly do: 'drag'; readonly point: number; readonly to: Place; readonly serial: number }
  /** All that the drag has done is taken back. */
  | { readonly do: 'withdraw'; readonly serial: number }
  | { readonly do: 'tap'; readonly at: Place; readonly over: number | undefined }
  | { readonly do: 'stroke'; readonly stroke: readonly Place[] }
  | { readonly do: 'pan'; readonly dx: number; readonly dy: number }
  | {
      readonly do: 'pinch';
      readonly at: Place;
      readonly factor: number;
      readonly dx: number;
      readonly dy: number;
    };

export interface Press {
  readonly at: Place;
  /** The control point under it. */
  readonly over: number | undefined;
  /** px from there to the middle of that point. */
  readonly grip: Place;
  /** Middle button, or space held. */
  readonly pan: boolean;
}

/** px; less is a tap with an unsteady hand. */
const MOVED = 5;

export interface Step {
  readonly gesture: Gesture;
  readonly deeds: readonly Deed[];
}

export function pressed(press: Press): Step {
  return { gesture: { kind: 'pressed', ...press }, deeds: [] };
}

/** A second finger came down: whatever the first one was doing ends without a trace. */
export function pinchBegun(gesture: Gesture, first: Place, second: Place): Step {
  return {
    gesture: { kind: 'pinching', middle: middleOf(first, second), spread: spreadOf(first, second) },
    deeds: cancelled(gesture).deeds,
  };
}

/** Ends without a trace: a point dragged is back where it was, a stroke is not drawn. Ground that was moved stays moved. */
export function cancelled(gesture: Gesture): Step {
  return {
    gesture: { kind: 'none' },
    deeds: gesture.kind === 'dragging' ? [{ do: 'withdraw', serial: gesture.serial }] : [],
  };
}

export function pinched(gesture: Gesture, first: Place, second: Place): Step {
  if (gesture.kind !== 'pinching') return { gesture, deeds: [] };
  const middle = middleOf(first, second);
  const spread = spreadOf(first, second);
  return {
    gesture: { kind: 'pinching', middle, spread },
    deeds: [
      {
        do: 'pinch',
        at: middle,
        factor: gesture.spread > 0 ? spread / gesture.spread : 1,
        dx: middle.x - gesture.middle.x,
        dy: middle.y - gesture.middle.y,
      },
    ],
  };
}

/** `serial` names the gesture, so that all its moves are one step to undo. */
export function movedTo(gesture: Gesture, mode: Mode, to: Place, serial: number): Step {
  switch (gesture.kind) {
    case 'pressed': {
      const distance = Math.hypot(to.x - gesture.at.x, to.y - gesture.at.y);
      if (distance < MOVED) return { gesture, deeds: [] };
      if (gesture.pan || mode === 'measure' || (mode === 'move' && gesture.over === undefined))
        return {
          gesture: { kind: 'panning', last: to },
          deeds: [{ do: 'pan', dx: to.x - gesture.at.x, dy: to.y - gesture.at.y }],
        };
      if (gesture.over !== undefined && mode === 'move')
        return movedTo(
          { kind: 'dragging', point: gesture.over, grip: gesture.grip, serial },
          mode,
          to,
          serial,
        );
      return { gesture: { kind: 'stroke', stroke: [gesture.at, to] }, deeds: [] };
    }
    case 'dragging': {
      const { point, grip } = gesture;
      const held = { x: to.x + grip.x, y: to.y + grip.y };
      return { gesture, deeds: [{ do: 'drag', point, to: held, serial: gesture.serial }] };
    }
    case 'stroke':
      return { gesture: { kind: 'stroke', stroke: [...gesture.stroke, to] }, deeds: [] };
    case 'panning':
      return {
        gesture: { kind: 'panning', last: to },
        deeds: [{ do: 'pan', dx: to.x - gesture.last.x, dy: to.y - gesture.last.y }],
      };
    default:
      return { gesture, deeds: [] };
  }
}

export function lifted(gesture: Gesture, mode: Mode): Step {
  const none: Gesture = { kind: 'none' };
  switch (gesture.kind) {
    case 'pressed':
      if (gesture.pan) return { gesture: none, deeds: [] };
      return {
        gesture: none,
        deeds:
          mode === 'move'
            ? [{ do: 'select', point: gesture.over }]
            : [{ do: 'tap', at: gesture.at, over: gesture.over }],
      };
    case 'stroke':
      return { gesture: none, deeds: [{ do: 'stroke', stroke: gesture.stroke }] };
    default:
      return { gesture: none, deeds: [] };
  }
}

function middleOf(a: Place, b: Place): Place {
  return { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
}

function spreadOf(a: Place, b: Place): number {
  return Math.hypot(a.x - b.x, a.y - b.y);
}
