/** Which pictures a sheet's overlays are: one a scan, and one for each target that lies in a scan of its own. */
import type { LoadedScan, LoadedSheet, LoadedTarget } from '../sheet/loadedSheet.ts';
import type { ScanCalibration } from './calibrateSheet.ts';
import { toPx } from './paperGroups.ts';
import type { CalibrateResult, OverlayTask, RegionResult } from './tasks.ts';

export interface Picture {
  readonly scanId: string;
  readonly info: LoadedScan['info'];
  readonly dpi: number;
  readonly paper: string | null;
  readonly scan: LoadedScan | null;
  /** Whose target lies in this scan. */
  readonly target: LoadedTarget | null;
}

export function picturesOf(loaded: LoadedSheet, targets: readonly LoadedTarget[]): Picture[] {
  const scans = [...loaded.scans.values()];
  const inScan = (scan: LoadedScan) => targets.find((t) => t.info.file === scan.info.file) ?? null;
  const alone = targets.filter((t) => !scans.some((s) => s.info.file === t.info.file));
  const free = (n: number): string => {
    const id = n === 0 ? 'target' : `target-${n + 1}`;
    return loaded.scans.has(id) ? `${id}-card` : id;
  };
  return [
    ...alone.map((t, n) => ({ scanId: free(n), info: t.info, dpi: t.dpi, paper: null, scan: null, target: t })),
    ...scans.map((s) => ({ scanId: s.id, info: s.info, dpi: s.dpi, paper: s.paper, scan: s, target: inScan(s) })),
  ];
}

export function overlayTask(
  picture: Picture,
  loaded: LoadedSheet,
  calibrations: ReadonlyMap<string, ScanCalibration>,
  results: ReadonlyMap<LoadedTarget, CalibrateResult>,
  byId: ReadonlyMap<string, RegionResult>,
): OverlayTask {
  const { scan, target, scanId, info, dpi, paper } = picture;
  const found = target && results.get(target);
  const calibration = scan ? calibrations.get(scan.id)!.calibration : found!.calibration;
  return {
    task: 'overlay',
    scanId,
    info,
    dpi,
    paper,
    calibration,
    target: target && found ? { pointsPx: found.pointsPx, layout: target.layout, located: found.located } : null,
    regions: loaded.regions
      .filter((r) => scan !== null && r.scan === scan.id && r.boxMm)
      .map((r) => ({
        id: r.id,
        kind: r.kind,
        nib: 'nib' in r ? (r.nib ?? null) : null,
        boxPx: toPx(r.boxMm!, scan!),
        result: byId.get(r.id) ?? null,
      })),
  };
}
