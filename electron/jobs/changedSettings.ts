/** Scans that were not made as their target was, by what their bare papers and the values of their scale tell. */
import { isOtherScale } from '../../analysis/calibrate/scaleUse.ts';
import { isLighterThanPaper } from '../../analysis/measure/barePaper.ts';
import { type PaperReading, readOtherwise } from '../../analysis/measure/samePaper.ts';
import type { LoadedScan } from '../sheet/loadedSheet.ts';
import type { ScanCalibration } from './calibrateSheet.ts';
import type { PaperGroup } from './paperGroups.ts';
import type { PaperResult, RegionResult } from './tasks.ts';
import { withFlags } from './withFlags.ts';

type Found = ReadonlyMap<string, Promise<PaperResult>>;

/**
 * Whether each paper's scan was made with other settings than its target's.
 * @param papers and what was found of them, by paperKey. @param calibrations by scan
 * @returns by paperKey; a promise waits only for what bears its paper's name. Whatever goes wrong with one of them goes wrong where it is asked for.
 */
export function changedSettings(
  papers: ReadonlyMap<string, PaperGroup>,
  found: Found,
  calibrations: ReadonlyMap<string, ScanCalibration>,
): ReadonlyMap<string, Promise<boolean>> {
  const byName = new Map<string, Promise<ReadonlySet<string>>>();
  for (const name of new Set([...papers.values()].map(({ paper }) => paper))) {
    const keys = [...papers].filter(([, { paper }]) => paper === name).map(([key]) => key);
    byName.set(name, oddOnes(keys, papers, found, calibrations));
  }
  return new Map(
    [...papers].map(([key, group]) => [key, isChanged(key, group, found, calibrations, byName.get(group.paper)!)]),
  );
}

async function isChanged(
  key: string,
  { scan }: PaperGroup,
  found: Found,
  calibrations: ReadonlyMap<string, ScanCalibration>,
  odd: Promise<ReadonlySet<string>>,
): Promise<boolean> {
  const calibration = calibrations.get(scan.id)!;
  if (calibration.target === null) return false;
  const otherwise = (await odd).has(key);
  const { bare, scale } = await found.get(key)!.catch(() => NOTHING);
  return otherwise || isUnderOtherCurve(scan, calibration, scale) || (bare !== null && isLighterThanPaper(bare));
}

function isUnderOtherCurve(
  { info }: Pick<LoadedScan, 'info'>,
  { target, scale }: ScanCalibration,
  ofScan: PaperResult['scale'],
): boolean {
  return !!scale && !!ofScan && target?.info.file !== info.file && isOtherScale(scale, ofScan);
}

/** A strip brings its own paper, of which no other tells: only the values of its scale do. */
export function stripAsSet(result: RegionResult, scan: LoadedScan, calibration: ScanCalibration): RegionResult {
  const known = calibration.flags.includes('settings-changed');
  if (result.strip === null || known || !isUnderOtherCurve(scan, calibration, result.scale)) return result;
  return withFlags(result, (flags) => ['settings-changed', ...flags]);
}

const NOTHING: PaperResult = { paper: null, bare: null };

/** Of all that bears one name those that read otherwise than the others, or than the one whose target lies beside it. */
async function oddOnes(
  keys: readonly string[],
  papers: ReadonlyMap<string, PaperGroup>,
  found: Found,
  calibrations: ReadonlyMap<string, ScanCalibration>,
): Promise<ReadonlySet<string>> {
  if (keys.length < 2) return new Set();
  const all = await Promise.allSettled(keys.map((key) => found.get(key)!));
  const readings = keys.flatMap((key, i): PaperReading[] => {
    const [one, { scan }] = [all[i], papers.get(key)!];
    const { target } = calibrations.get(scan.id)!;
    if (one.status === 'rejected' || one.value.bare === null || target === null) return [];
    const besideTarget = target.info.file === scan.info.file;
    return [{ key, lab: one.value.bare.lab, target: target.info.file, besideTarget }];
  });
  return new Set(readOtherwise(readings));
}
