/** The door to the simulator: everything workers, ui and tests may use of it. */

export type { CourseOutline } from './compile/course-outline.ts';
export { outlineCourse } from './compile/course-outline.ts';
export { isBeltDrive } from './compile/drivetrain.ts';
export { fitPoints } from './compile/fit-points.ts';
export type { CompiledKart, KartChoice, SurfacePair } from './compile/kart.ts';
export { compileKart } from './compile/kart.ts';
export type { LineChoice, LineKind, LineOffsets } from './compile/kept-line.ts';
export { keptLineOf, LINE_KINDS } from './compile/kept-line.ts';
export type { SmoothedPoints } from './compile/smooth-points.ts';
export { smoothPoints } from './compile/smooth-points.ts';
export type { CompiledTrack } from './compile/track.ts';
export { compileTrack, DEFAULT_SPACING } from './compile/track.ts';
export type { EvidenceCase, EvidenceRow, EvidenceStatus } from './evidence/check.ts';
export { EVIDENCE } from './evidence/list.ts';
export type { EvidenceLine } from './evidence/run.ts';
export { runEvidence } from './evidence/run.ts';
export { evaluateCubic, monotoneCubic } from './numerics/monotone-cubic.ts';
export { transferHeights } from './physics/load-transfer.ts';
export type { InputChange } from './project/changed-inputs.ts';
export { withInputs } from './project/changed-inputs.ts';
export { projectJsonSchema } from './project/json-schema.ts';
export { MAX_FILE_LENGTH, readJson } from './project/json-text.ts';
export type { Merged, ProjectFile } from './project/merge.ts';
export { mergeProjects } from './project/merge.ts';
export type { InputNote } from './project/origins.ts';
export type { Column, PointsRead } from './project/points.ts';
export { findColumn, readDragPoints, readPoints } from './project/points.ts';
export type { Problem } from './project/problem.ts';
export { isBlocking, problem, problemLine, warning } from './project/problem.ts';
export type { ProjectReader } from './project/project-reader.ts';
export { createProjectReader } from './project/project-reader.ts';
export type { Origin } from './project/quantity-field.ts';
export { ORIGINS, readQuantity, readRatio, readSpread } from './project/quantity-field.ts';
export type { ProjectRead } from './project/read.ts';
export { readProject, readProjectValue } from './project/read.ts';
export type { PointsSpec, Project, ProjectInput } from './project/schema.ts';
export { FORMAT_VERSION } from './project/schema.ts';
export type { Field, Shape } from './project/shape.ts';
export { chosenOption, PROJECT_SHAPE } from './project/shape.ts';
export type {
  BrakeCircuit,
  BrakeLayout,
  CornerWeights,
  PlacedPart,
  RaisedWeighing,
} from './project/worksheets.ts';
export {
  brakeGain,
  cgHeightFromLift,
  massWithout,
  rollAnglePerG,
  rollingRadius,
  rollStiffness,
  rollStiffnessShare,
  weighKart,
} from './project/worksheets.ts';
export type { Parsed } from './quantities/parse.ts';
export { parseQuantity } from './quantities/parse.ts';
export type { Quantity, QuantityName } from './quantities/table.ts';
export { defaultOf, QUANTITIES, quantity } from './quantities/table.ts';
export type { Dimension, Unit } from './quantities/units.ts';
export { DIMENSIONS, findUnit, fromSI, inUnit, siLabel, unitsOf } from './quantities/units.ts';
export type { AccelerationOptions, AccelerationResult, Mark } from './run/accelerate.ts';
export type { BalanceCurveOptions, BalanceCurveResult } from './run/balance-curve.ts';
export { bestFrontShare } from './run/best-share.ts';
export type { BrakeResult } from './run/brake.ts';
export type { BrakeInCornerOptions, BrakeInCornerResult } from './run/brake-in-corner.ts';
export type { BrakeMode, BrakeOptions, EngineMode } from './run/braking/brake-options.ts';
export type { ChainOptions, ChainRule, ChainSheet } from './run/chain-sheet.ts';
export { bearsOnKarts } from './run/chain-sheet.ts';
export type { CornerOptions, CornerResult } from './run/corner.ts';
export type { CornerCurveOptions, CornerCurveResult } from './run/corner-curve.ts';
export type { KartSheet } from './run/kart-sheet.ts';
export type { EngineBraking } from './run/lap/braking-pass.ts';
export { lapProblem } from './run/lap/lap-problem.ts';
export type { LapColumns, LapOptions, LapResult } from './run/lap.ts';
export { pairKartAndTrack } from './run/lap.ts';
export type { LapStart } from './run/lap-solver.ts';
export { solveLap } from './run/lap-solver.ts';
export type { Limit } from './run/limit.ts';
export { LIMIT_MEANING, LIMITS } from './run/limit.ts';
export { lineAge } from './run/line/line-age.ts';
export type { LineAge } from './run/line/made-for.ts';
export type { LineFound, LineOptions, LineResult, LineState } from './run/line/run-line.ts';
export { runLine } from './run/line/run-line.ts';
export type { Figures, SweepResult } from './run/named-figures.ts';
export type { Outcome, RunStatus } from './run/outcome.ts';
export type {
  Answer,
  AnswerTo,
  LineRunner,
  Request,
  ResultOf,
  RunRequest,
  SweepRequest,
  Verb,
} from './run/perform.ts';
export { createPerformerWith, figuresOf } from './run/perform.ts';
export { createPerformer, perform } from './run/perform-all.ts';
export type { GearSummary, ThrustOptions, ThrustResult } from './run/thrust.ts';
export type { BalanceOn, BalanceOptions, BalanceResult, BothGrounds } from './study/balance/balance.ts';
export { planBalance } from './study/balance/balance.ts';
export type { ShareBand, ShareStop } from './study/balance/share-curve.ts';
export type { Verdict } from './study/decided.ts';
export { DECIDED, LIKELY, verdictOn } from './study/decided.ts';
export type {
  Comparison,
  DonorCard,
  DonorOnTrack,
  DonorsOptions,
  DonorsResult,
  WhatIf,
} from './study/donors/donors.ts';
export { planDonors } from './study/donors/donors.ts';
export type { TimeDifference } from './study/donors/time-difference.ts';
export type { Effect, FirstOrder, Probe } from './study/first-order.ts';
export { effectSize, firstOrder, firstOrderDifference, probesOf } from './study/first-order.ts';
export { inputsInUse, isCourse, isInUse, pathsInUse } from './study/inputs-in-use.ts';
export type { AcceptedFrom, AcceptedPlace, RawEdit } from './study/match/accept.ts';
export { editsFor, holdsEdits, withEdits } from './study/match/accept.ts';
export type { Ask } from './study/match/ask.ts';
export type { DriveLog } from './study/match/drive-log.ts';
export type { FitId } from './study/match/fit-values.ts';
export { FIT_IDS } from './study/match/fit-values.ts';
export { LOGGED_SPEEDS, SLOPE_OF_GROUND } from './study/match/from-inputs.ts';
export type { LapMatch } from './study/match/lap-match.ts';
export type { MatchedSegment, MatchOptions, MatchResult } from './study/match/match.ts';
export { matchLog } from './study/match/match.ts';
export type { FittedValue, RefusedValue } from './study/match/refusals.ts';
export type { SegmentKind } from './study/match/segments.ts';
export type {
  DonorHere,
  GripHere,
  GripTurn,
  RulesOptions,
  RulesPlan,
  RulesResult,
  StopHere,
} from './study/rules-of-thumb.ts';
export { frontToothWorth, planRules } from './study/rules-of-thumb.ts';
export type { Answers, Grid, Planned, Study } from './study/study.ts';
export { MOST_ROUNDS, performStudy } from './study/study.ts';
export { lineDriven, STUDY_LAP_SPACING } from './study/study-lap.ts';
export type { SprocketPair, Stock } from './study/teeth/sprocket-pairs.ts';
export type { TeethOptions } from './study/teeth/teeth.ts';
export { CLOCK_NOISE, planTeeth } from './study/teeth/teeth.ts';
export type {
  CarriedPairs,
  PairLap,
  PairSheet,
  RivalPair,
  TeethOnTrack,
  TeethResult,
  TyreAsTeeth,
} from './study/teeth/teeth-result.ts';
export type { CarriedSet } from './study/teeth/worth-carrying.ts';
export type { SweepAnswers } from './study/unknowns/answers.ts';
export type {
  Decision,
  FigureSpread,
  UnknownShare,
  UnknownsResult,
  VarianceOf,
} from './study/unknowns/combine.ts';
export { combineUnknowns } from './study/unknowns/combine.ts';
export type { Measuring, NotMeasured } from './study/unknowns/measuring.ts';
export type { UnknownsOptions, UnknownsPlan } from './study/unknowns/plan.ts';
export { DEFAULT_DRAWS, LEAST_DRAWS, MOST_DRAWS, planUnknowns } from './study/unknowns/plan.ts';
export type { SharesPlan } from './study/unknowns/plan-shares.ts';
export { planShares } from './study/unknowns/plan-shares.ts';
export type { Spread } from './study/unknowns/statistics.ts';
export { studyUnknowns } from './study/unknowns/study.ts';
