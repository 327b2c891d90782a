/** The library's schema as it grew. Append only: what has gone out is never edited, renumbered or taken away. */
import { shelf } from './0001-shelf.ts';
import { findings } from './0002-findings.ts';
import { results } from './0003-results.ts';
import { calibrationsAbout } from './0004-calibrations-about.ts';
import { claim } from './0005-claim.ts';
import { findingsByQuantity } from './0006-findings-by-quantity.ts';
import { answered } from './0007-answered.ts';
import { answeredSteps } from './0008-answered-steps.ts';

/** The first brings an empty database to version 1, and so on. */
export const MIGRATIONS: readonly string[] = [
  shelf,
  findings,
  results,
  calibrationsAbout,
  claim,
  findingsByQuantity,
  answered,
  answeredSteps,
];
