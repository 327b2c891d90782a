/** The odd one out among the samples of one ink on one paper, under one calibration. */
import { signalToXyz } from '../../analysis/calibrate/apply.ts';
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import { pathDistances, type PathSample } from '../../analysis/measure/pathDistance.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import type { LoadedRegion } from '../sheet/loadedSheet.ts';
import { compiled } from './compiled.ts';
import { paperName } from './paperGroups.ts';
import type { RegionResult } from './tasks.ts';

/** Regions whose colours are held against each other's path: ids in the sheet's order, one group a paper. */
export function pathGroups<R extends LoadedRegion>(regions: readonly R[]): R[][] {
  const groups = new Map<string, R[]>();
  for (const region of regions) {
    if (region.kind !== 'strokes' && region.kind !== 'swab') continue;
    const name = paperName(region);
    groups.set(name, [...(groups.get(name) ?? []), region]);
  }
  return [...groups.values()];
}

export function pathFindings(
  regions: readonly LoadedRegion[],
  byId: ReadonlyMap<string, RegionResult>,
  calibrationOf: (scan: string) => Calibration,
): Quantity[] {
  return pathGroups(regions).flatMap((group) => {
    const calibrations = [...new Set(group.map(({ scan }) => calibrationOf(scan)))];
    return calibrations.flatMap((calibration) => {
      const here = group.filter(({ scan }) => calibrationOf(scan) === calibration);
      const samples = here.flatMap(({ id }): PathSample[] => {
        const result = byId.get(id);
        return result ? sampleOf(result, calibration) : [];
      });
      return pathDistances(samples, calibration);
    });
  });
}

export function sampleOf({ id, ink, doses, quantities }: RegionResult, calibration: Calibration): PathSample[] {
  if (!ink || !doses) return [];
  const map = compiled(calibration);
  const { covariance } = ink.colour;
  const colours = doses.beside?.length
    ? doses.beside
    : doses.bins
        .filter(({ clippedShare }) => clippedShare < 0.5)
        .map(({ signal, share }) => ({ xyz: signalToXyz(signal, map), share }));
  const { placement, flags } = ink;
  const shines = quantities.find(({ quantity }) => quantity === 'sheen')?.value;
  const sheen = typeof shines === 'number' ? shines / 100 : 0;
  const { narrow, tooNarrow = false } = doses;
  return [{ region: id, colours, paper: ink.paper.xyz, covariance, placement, narrow, tooNarrow, sheen, flags }];
}
