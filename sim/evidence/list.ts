/** All outside checks, in the order they are printed. */
import { AIR_AND_ENGINE } from './air-and-engine.ts';
import { BRAKE_BALANCE } from './brake-balance.ts';
import { BRAKING } from './braking.ts';
import { CHAIN } from './chain.ts';
import type { EvidenceCase } from './check.ts';
import { DRIVING } from './driving.ts';
import { LAPS } from './laps.ts';
import { LINES } from './lines.ts';
import { PRACTICE } from './practice.ts';
import { SAMPLING } from './sampling.ts';
import { TYRES_AND_CORNERING } from './tyres-and-cornering.ts';

export const EVIDENCE: readonly EvidenceCase[] = [
  ...DRIVING,
  ...BRAKING,
  ...BRAKE_BALANCE,
  ...CHAIN,
  ...AIR_AND_ENGINE,
  ...TYRES_AND_CORNERING,
  ...LAPS,
  ...LINES,
  ...SAMPLING,
  ...PRACTICE,
];
