/** Where a target's four points lie in its scan: seen in a picture many times smaller, measured on the scan itself. */
import type { TargetLayout, TargetReference } from '../../analysis/calibrate/calibration.ts';
import { greyOf, type GreyRaster } from '../../analysis/locate/greyRaster.ts';
import { type ColourRaster, Shrinker } from '../../analysis/locate/target/colourRaster.ts';
import { discWindow, measureTarget, type TargetFound } from '../../analysis/locate/target/measureTarget.ts';
import type { Refusal } from '../../analysis/locate/target/refusal.ts';
import { searchFactor, searchTarget } from '../../analysis/locate/target/searchTarget.ts';
import type { KnownColours } from '../../analysis/locate/target/targetLayout.ts';
import type { Point } from '../../analysis/raster/homography.ts';
import { readScan } from '../scans/readScan.ts';
import { BUILT_IN_LAYOUTS } from '../sheet/builtIn.ts';
import { JobError } from './jobError.ts';
import { scanBands } from './scanBands.ts';
import type { CalibrateTask, LocatedBy } from './tasks.ts';
import { typicalColours } from './typicalColours.ts';
import { whyNotFound } from './whyNotFound.ts';

export interface Located extends LocatedBy {
  readonly pointsPx: readonly Point[];
}

export type LocateTask = Pick<CalibrateTask, 'info' | 'dpi' | 'layout' | 'reference'>;

export function givenPoints(pointsMm: NonNullable<CalibrateTask['pointsMm']>, dpi: number): Located {
  const pointsPx = pointsMm.map(([x, y]): Point => [(x * dpi) / 25.4, (y * dpi) / 25.4]);
  return { pointsPx, by: 'person', score: 1, words: 'where a person put its four points' };
}

/**
 * @throws JobError in one line: 'target-not-found', 'target-mirrored', 'targets-two', 'target-unsure'; not found, for a cause that is
 * told: whyNotFound's codes
 */
export async function locateTarget(given: LocateTask): Promise<Located> {
  const { layout, info, dpi } = given;
  const task = { ...given, reference: knownOf(layout, given.reference) };
  const factor = searchFactor(layout, dpi);
  const small = await smallPicture(task, factor);
  const found = await seenAndMeasured(task, small, factor);
  if (!('problem' in found)) return found;
  const why = whyNotFound(small, factor, layout, task.reference, typicalOf(layout), found);
  const seen = why?.certain === true ? (found.seen ?? found.problem) : found.problem;
  throw new JobError(
    why?.code ?? found.code,
    [`${info.file}: ${seen}`, ...(why === null ? [] : [why.words])].join(' '),
  );
}

/** A reference that says nothing of this layout's patches: what is typical of it does for finding. */
function knownOf(layout: TargetLayout, reference: TargetReference): TargetReference {
  if (layout.patches.some(({ id }) => reference.patches.has(id))) return reference;
  return typicalOf(layout) ?? reference;
}

function typicalOf(layout: TargetLayout): KnownColours | null {
  const name = [...BUILT_IN_LAYOUTS].find(([, one]) => one.name === layout.name)?.[0];
  return name === undefined ? null : typicalColours(name);
}

async function seenAndMeasured(
  { layout, info, dpi, reference }: LocateTask,
  small: ColourRaster,
  factor: number,
): Promise<TargetFound | Refusal> {
  const seen = searchTarget(small, factor, layout, reference);
  if ('problem' in seen) return seen;
  const windows: (GreyRaster | null)[] = [];
  for (const disc of seen.discs) {
    windows.push(disc === null ? null : greyOf(await readScan(info.file, discWindow(disc), dpi, info)));
  }
  return measureTarget(seen, windows, small, factor, layout, reference);
}

/** The whole scan passes by in bands; no more than a few megabytes of it are kept. */
async function smallPicture({ info, dpi }: LocateTask, factor: number): Promise<ColourRaster> {
  const shrinker = new Shrinker(info.widthPx, info.heightPx, dpi, factor);
  for await (const band of scanBands(info, dpi, [0, 0, info.widthPx, info.heightPx], factor)) shrinker.take(band);
  return shrinker.done();
}
