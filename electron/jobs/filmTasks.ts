/** What is gathered for the film fit: all of an ink's samples whose scans one target serves. */
import { type TargetPatch, targetPatches } from '../../analysis/measure/film/targetPatches.ts';
import type { PaperSurface } from '../../analysis/locate/paperSurface.ts';
import type { FilmBar } from '../../analysis/measure/opacity/barByFilm.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import type { LoadedRegion, LoadedSheet, LoadedTarget } from '../sheet/loadedSheet.ts';
import type { ScanCalibration } from './calibrateSheet.ts';
import { isMeasurable } from './measurable.ts';
import { paperKey } from './paperGroups.ts';
import type { FilmTask, RegionResult } from './tasks.ts';

/** As for the ink's own pixels: more than this share at an end of the scale, and what the paper is cannot be told. */
const CLIPPED_SHARE = 0.005;

/** Of a sheet's all that is needed here. */
type Sheet = Pick<LoadedSheet, 'regions' | 'targets'>;

/** Targets under whose scans an ink was written or swabbed: one fit each. */
export function filmTargets(loaded: Sheet): LoadedTarget[] {
  const targets = loaded.regions
    .filter((region) => isMeasurable(region) && isSample(region))
    .flatMap(({ scan }) => loaded.targets.get(scan) ?? []);
  return [...new Set(targets)];
}

function isSample({ kind }: LoadedRegion): boolean {
  return kind === 'strokes' || kind === 'swab';
}

export interface Measured {
  readonly calibrations: ReadonlyMap<string, ScanCalibration>;
  /** By paperKey; those of measured regions have been found. */
  readonly papers: ReadonlyMap<string, Promise<{ readonly paper: Pick<PaperSurface, 'clippedShare'> | null }>>;
  readonly results: ReadonlyMap<string, RegionResult>;
  /** Through the map: of all regions, and between them. */
  readonly findings: readonly Quantity[];
}

/** Null: not one sample under this target was measured. */
export async function filmTask(target: LoadedTarget, loaded: Sheet, measured: Measured): Promise<FilmTask | null> {
  const samples = loaded.regions.filter((region) => isSample(region) && loaded.targets.get(region.scan) === target);
  const found = samples.flatMap((region) => {
    const { ink, doses } = measured.results.get(region.id) ?? {};
    return ink && doses ? [{ key: paperKey(region), scan: region.scan, ink, doses }] : [];
  });
  if (found.length === 0) return null;
  const keys = [...new Set(found.map(({ key }) => key))];
  const { calibration } = measured.calibrations.get(found[0].scan)!;
  const bars = loaded.regions.flatMap((region): FilmBar[] => {
    const bar = loaded.targets.get(region.scan) === target ? measured.results.get(region.id)?.bar : null;
    return bar && !bar.flags.includes('clipped') ? [{ region: region.id, signals: bar.signals }] : [];
  });
  const ids = new Set([...found.map(({ ink }) => ink.region), ...bars.map(({ region }) => region)]);
  const { model, ridge, matrix, curves } = calibration;
  return {
    task: 'film',
    target: patchesOf(calibration, target),
    curves,
    map: { model, ridge, matrix },
    papers: await Promise.all(
      keys.map(async (key) => ({
        id: key,
        bare: found.find((one) => one.key === key)!.ink.paper,
        clipped: ((await measured.papers.get(key))?.paper?.clippedShare ?? 0) > CLIPPED_SHARE,
      })),
    ),
    regions: found.map(({ key, ink, doses }) => ({ paper: keys.indexOf(key), ink, doses })),
    ...(bars.length > 0 && { bars }),
    findings: measured.findings.filter(({ subject }) => subject.regions.every((id) => ids.has(id))),
  };
}

function patchesOf(calibration: ScanCalibration['calibration'], target: LoadedTarget): TargetPatch[] {
  return targetPatches(calibration, target.layout, target.reference);
}

/** Findings with those of the fits in the place of the map's; what is the ink's own comes last. */
export function withFilms(findings: readonly Quantity[], told: readonly Quantity[]): Quantity[] {
  const byKey = new Map(told.map((finding) => [keyOf(finding), finding]));
  const known = new Set(findings.map(keyOf));
  return [
    ...findings.map((finding) => byKey.get(keyOf(finding)) ?? finding),
    ...told.filter((finding) => !known.has(keyOf(finding))),
  ];
}

/** What the pictures write beside each region: the numbers that were found, not those that the film's took the place of. */
export function asFound(
  results: ReadonlyMap<string, RegionResult>,
  findings: readonly Quantity[],
): Map<string, RegionResult> {
  const byKey = new Map(findings.map((finding) => [keyOf(finding), finding]));
  return new Map(
    [...results].map(([id, result]) => {
      const quantities = result.quantities.map((quantity) => byKey.get(keyOf(quantity)) ?? quantity);
      return [id, { ...result, quantities }];
    }),
  );
}

function keyOf({ quantity, subject }: Quantity): string {
  return JSON.stringify([quantity, subject.regions, subject.band ?? null, subject.on ?? null]);
}
