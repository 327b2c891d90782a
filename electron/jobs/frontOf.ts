/** The written side of a reverse region: what the two are laid over each other by. */
import type { FrontSide } from '../../analysis/measure/showThrough/reverseInput.ts';
import type { LoadedRegion } from '../sheet/loadedSheet.ts';
import { compiled } from './compiled.ts';
import { isMeasurable, type Measurable } from './measurable.ts';
import { linearBox } from './scanBands.ts';
import type { FrontTask } from './tasks.ts';

/** The region that a reverse lies behind; null: none is named, or it has no place. */
export function frontRegion(region: LoadedRegion, all: readonly LoadedRegion[]): Measurable | null {
  if (region.kind !== 'reverse' || region.of === undefined) return null;
  const front = all.find(({ id }) => id === region.of);
  return front && isMeasurable(front) ? front : null;
}

export async function readFront(front: FrontTask): Promise<FrontSide> {
  const calibration = compiled(front.calibration);
  const signal = await linearBox(front.info, front.dpi, front.boxPx, calibration);
  return { region: front.region, signal, calibration, paper: front.paper, scanFlags: front.flags };
}
