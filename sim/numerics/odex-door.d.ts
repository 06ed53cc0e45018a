/** The part of odex's Solver used by ode.ts (odex ships no declarations of its own). */
export class Solver {
  constructor(dimension: number);
  absoluteTolerance: number | number[];
  relativeTolerance: number | number[];
  maxSteps: number;
  maxStepSize: number;
  initialStepSize: number;
  denseOutput: boolean;
  solve(
    derivative: (x: number, y: readonly number[]) => number[],
    x0: number,
    y0: readonly number[],
    xEnd: number,
    solOut?: (
      count: number,
      xOld: number,
      x: number,
      y: readonly number[],
      dense: (component: number, x: number) => number,
    ) => boolean | undefined,
  ): { y: number[]; outcome: number; nStep: number; nEval: number; nAccept: number; nReject: number };
}
