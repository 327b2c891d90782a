/**
 * Sheen: where much ink lies, some of it dries to crystals on top, in patches, and reflects as a metal does what the ink absorbs: light toward another
 * hue is added to the film's. All ranges are invented.
 */
import { xyzToLab } from '../../analysis/colour/lab.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { triple } from '../../analysis/triple.ts';
import { type DoseTable, entryOf, xyzAt } from './doseTable.ts';
import type { Ink } from './ink.ts';
import type { InkField } from './inkField.ts';
import { stream } from './random.ts';
import { type Scanner, toSignal, type Triple } from './scanner.ts';
import { drawLattice, latticeAt } from './smoothNoise.ts';
import { curve, type Curve, toXyz } from './spectra.ts';

export interface Sheen {
  /** Reflectance of the metallic layer where it is whole. */
  readonly metal: Curve;
  readonly signal: Triple;
  readonly xyz: Triple;
  /** Share of a region's ink, the densest, on which some may form. */
  readonly share: number;
  readonly patchMm: number;
}

/** @param amount reflectance that a whole layer adds where the ink absorbs most: 0.1 is a strong one on a flatbed. */
export function drawSheen(seed: number, ink: Ink, scanner: Scanner, amount: number): Sheen {
  const random = stream(seed, 'sheen');
  const floor = random.range(0.05, 0.15);
  const metal = curve((nm) => amount * (floor + (1 - floor) * ink.absorption[Math.round((nm - 380) / 10)] ** 1.5));
  return {
    metal,
    signal: toSignal(scanner, metal),
    xyz: triple((c) => toXyz(metal)[c]),
    share: random.range(0.05, 0.5),
    patchMm: random.range(0.4, 1),
  };
}

/** Share of a whole layer per cell, 0..1, into `field.sheen`. */
export function laySheen(field: InkField, sheen: Sheen, seed: number, name: string): InkField {
  const doses = field.dose.filter((_, i) => field.interior[i] === 1 && i % 7 === 0).sort();
  const from = doses[Math.floor((1 - sheen.share) * (doses.length - 1))];
  const full = doses[Math.floor((1 - 0.4 * sheen.share) * (doses.length - 1))];
  const width = field.widthPx * field.factor;
  const height = field.heightPx * field.factor;
  const mm = 1 / field.finePerMm;
  const area = { leftMm: 0, topMm: 0, widthMm: width * mm, heightMm: height * mm };
  const patches = drawLattice(stream(seed, `sheen/${name}`), area, sheen.patchMm);
  const layer = new Float32Array(field.dose.length);
  for (let i = 0; i < layer.length; i++) {
    if (!(field.dose[i] > from)) continue;
    const rise = Math.min(1, (field.dose[i] - from) / Math.max(1e-6, full - from));
    const patch = 0.5 + 0.8 * latticeAt(patches, (i % width) * mm, Math.floor(i / width) * mm);
    layer[i] = rise * Math.min(1, Math.max(0, patch));
  }
  return { ...field, sheen: layer };
}

/** Share of the cells with one layer of ink that lie more than `limit` ΔE00 off all colours that the film alone can have, 0..1. */
export function sheenTruth(field: InkField, table: DoseTable, sheen: Sheen, limit = 3): number {
  const film = Array.from({ length: 200 }, (_, k) => xyzToLab(xyzAt(table, (k / 200) * table.last * 0.6)));
  // By dose and layer on a coarse grid: the search over all doses is the same for thousands of cells.
  const known = new Map<number, boolean>();
  const isOff = (entry: number, share: number): boolean => {
    const key = Math.round(entry / 4) * 64 + Math.round(share * 63);
    const before = known.get(key);
    if (before !== undefined) return before;
    const under = xyzAt(table, entry);
    const lab = xyzToLab(triple((c) => under[c] + share * sheen.xyz[c]));
    const off = film.every((f) => deltaE2000(f, lab) > limit);
    known.set(key, off);
    return off;
  };
  let cells = 0;
  let off = 0;
  for (let i = 0; i < field.dose.length; i++) {
    if (field.interior[i] !== 1 || field.layers[i] !== 1) continue;
    cells++;
    const share = field.sheen?.[i] ?? 0;
    if (share > 0 && isOff(entryOf(table, field.dose[i]), share)) off++;
  }
  return off / Math.max(1, cells);
}
