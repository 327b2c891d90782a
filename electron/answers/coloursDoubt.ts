/** How sure the colours are that a region's pictures show beside its findings: each through the calibration, as findings' own are. */
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import { colourUncertainty } from '../../analysis/calibrate/uncertainty.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import type { LabValue, Quantity } from '../../analysis/quantity.ts';
import { palestPlace, placeNearest } from '../../analysis/report/stripPlaces.ts';
import { triple } from '../../analysis/triple.ts';
import type { RegionDetail } from '../backend/api.ts';
import type { ColoursDoubt } from '../backend/doubtAnswer.ts';
import { JobError } from '../jobs/jobError.ts';
import type { Measuring } from '../jobs/measuring.ts';
import type { Library } from '../library/library.ts';
import { colourWay } from '../view/scanColours.ts';
import { viewScan } from './viewScan.ts';

/** What a scan's colours come through on the screen; null: the scan has gone, or its calibration did not come about. */
export async function calibrationThrough(
  library: Library,
  measuring: Measuring,
  ink: number,
  scan: string,
  signal: AbortSignal,
): Promise<Calibration | null> {
  try {
    return (await colourWay(await viewScan(library, measuring, ink, scan, null, signal))).compiled.calibration;
  } catch (error) {
    if (error instanceof JobError) return null;
    throw error;
  }
}

/**
 * @param calibration that the region's scan is looked at through
 * @param quantities of the region alone, whose colour brings its own scatter and its edges' part along
 */
export function coloursDoubt(
  { ink, edge, strip }: Pick<RegionDetail, 'ink' | 'edge' | 'strip'>,
  calibration: Calibration,
  quantities: readonly Quantity[],
): ColoursDoubt {
  const own = quantities.find(({ quantity }) => quantity === 'inkColour' || quantity === 'paperColour')?.uParts;
  const of = (lab: LabValue, subject: 'ink' | 'paper'): LabValue => {
    const told = colourUncertainty(labD50(...lab), calibration, subject);
    if (subject === 'paper') return told;
    return triple((c) => Math.hypot(told[c], component(own?.repeatability, c), component(own?.placement, c)));
  };
  const doubt: { -readonly [K in keyof ColoursDoubt]: ColoursDoubt[K] } = {};
  if (ink) {
    doubt.ink = of(ink.lab, 'ink');
    doubt.paper = of(ink.paper, 'paper');
    doubt.dark = of(ink.dark, 'ink');
    doubt.light = of(ink.light, 'ink');
  }
  if (edge?.halo) {
    doubt.halo = of(edge.halo.lab, 'ink');
    doubt.paperBeyond = of(edge.halo.paperLab, 'paper');
  }
  if (edge?.profile) doubt.acrossEdge = edge.profile.lab.map((lab) => of(lab, 'ink'));
  if (strip && strip.lab.length > 0) {
    doubt.stripPaper = of(strip.lab[palestPlace(strip.lab)], 'paper');
    if (strip.originMm !== null) doubt.origin = of(strip.lab[placeNearest(strip.placesMm, strip.originMm)], 'ink');
  }
  return doubt;
}

function component(part: number | LabValue | null | undefined, c: 0 | 1 | 2): number {
  return part === null || part === undefined ? 0 : typeof part === 'number' ? part : part[c];
}
