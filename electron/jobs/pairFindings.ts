/** What follows from holding measured regions against each other. */
import { setImmediate } from 'node:timers/promises';
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import { nibShading, toneShift } from '../../analysis/measure/colourPairs.ts';
import type { MeasuredInk } from '../../analysis/measure/ink.ts';
import { nibPairs, type Pair, type Pairable, paperPairs, runPairs } from '../../analysis/measure/pairs.ts';
import { frontLineFinding, type TimedFront } from '../../analysis/measure/strip/frontSpeed.ts';
import { runShift } from '../../analysis/measure/strip/runShift.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import type { LoadedRegion } from '../sheet/loadedSheet.ts';
import { paperName } from './paperGroups.ts';
import { pathFindings, pathGroups } from './pathFindings.ts';
import type { RegionResult } from './tasks.ts';

/** Which regions are held against each other; told by what they are, before anything is measured. */
export function pairsOf(regions: readonly LoadedRegion[]): {
  readonly nibs: readonly Pair[];
  readonly papers: readonly Pair[];
  readonly runs: readonly Pair[];
} {
  const pairable = regions.map((r): Pairable => ({
    id: r.id,
    kind: r.kind,
    paper: paperName(r),
    nib: 'nib' in r ? (r.nib ?? null) : null,
    run: r.kind === 'strip' ? (r.run ?? null) : null,
    liquid: r.kind === 'strip' ? (r.liquid ?? null) : null,
  }));
  return { nibs: nibPairs(pairable), papers: paperPairs(pairable), runs: runPairs(pairable) };
}

/** Whoever else waits for this thread, the window's other answers, gets their turn between one pair and the next. */
async function inTurns<T>(ones: readonly T[], told: (one: T) => readonly Quantity[]): Promise<Quantity[]> {
  const all: Quantity[] = [];
  for (const one of ones) {
    await setImmediate();
    all.push(...told(one));
  }
  return all;
}

export async function pairFindings(
  regions: readonly LoadedRegion[],
  byId: ReadonlyMap<string, RegionResult>,
  calibrationOf: (scan: string) => Calibration,
): Promise<Quantity[]> {
  const pairs = pairsOf(regions);
  const inks = (pair: readonly [string, string]): [MeasuredInk, MeasuredInk] | null => {
    const [a, b] = [byId.get(pair[0])?.ink, byId.get(pair[1])?.ink];
    return a && b ? [a, b] : null;
  };
  const scanOf = new Map(regions.map((r) => [r.id, r.scan]));
  const calibrationOfRegion = (id: string): Calibration => calibrationOf(scanOf.get(id)!);
  const nibs = await inTurns(pairs.nibs, (pair) => {
    const both = inks(pair);
    return both ? [nibShading(both[0], both[1], calibrationOfRegion(pair[0]), calibrationOfRegion(pair[1]))] : [];
  });
  const tones = await inTurns(pairs.papers, (pair) => {
    const both = inks(pair);
    if (!both) return [];
    const [pale, other] = both.toSorted((a, b) => b.paper.lab[0] - a.paper.lab[0]);
    return toneShift(pale, other, calibrationOfRegion(pale.region), calibrationOfRegion(other.region));
  });
  const paths = await inTurns(pathGroups(regions), (group) => pathFindings(group, byId, calibrationOf));
  const runs = await inTurns(pairs.runs, ([fresh, dried]) => {
    const [a, b] = [byId.get(fresh)?.strip, byId.get(dried)?.strip];
    return a && b ? runShift(a, b) : [];
  });
  return [...nibs, ...tones, ...paths, ...runs, ...frontLines(regions, byId)];
}

/** Strips of one paper, liquid and temperature whose times are told. */
function frontLines(regions: readonly LoadedRegion[], byId: ReadonlyMap<string, RegionResult>): Quantity[] {
  const groups = new Map<string, TimedFront[]>();
  for (const region of regions) {
    if (region.kind !== 'strip' || region.runS === undefined) continue;
    const strip = byId.get(region.id)?.strip;
    if (!strip?.frontDistance) continue;
    const key = JSON.stringify([paperName(region), region.liquid ?? null, region.temperatureC ?? null]);
    const { id, frontDistance: distance, flags } = strip;
    groups.set(key, [...(groups.get(key) ?? []), { region: id, distance, runS: region.runS, flags }]);
  }
  return [...groups.values()].flatMap(frontLineFinding);
}
