/** What a perfect instrument would find in an ink field: no blur, no noise, no fibres. Definitions: docs/measures.md, details: README. */
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { chroma, hueDeg, hueDifferenceDeg, xyzToLab } from '../../analysis/colour/lab.ts';
import type { LabD50, Xyz } from '../../analysis/colour/lab.ts';
import { entryOf, xyzAt } from './doseTable.ts';
import type { DoseTable } from './doseTable.ts';
import type { InkField } from './inkField.ts';

export type Lab = readonly [number, number, number];

export interface ShadingTruth {
  /** ΔE00 between the mean colours about the 10th and 90th percentile of L*. */
  readonly dE00: number;
  /** L* light minus dark. */
  readonly dL: number;
  /** Hue light minus dark, °; null below chroma 2. */
  readonly dHueDeg: number | null;
  readonly light: Lab;
  readonly dark: Lab;
}

export interface InkColourTruth {
  readonly inkColour: Lab;
  /** Mean XYZ, from which inkColour comes. */
  readonly xyz: Xyz;
  readonly meanDose: number;
  /** Dose at the 5th, 50th and 95th percentile. */
  readonly doses: readonly [number, number, number];
  /** mm² that were judged. */
  readonly areaMm2: number;
  /** The same with fewer or more layers, where strokes cross: Lab of the interior with two layers, null when there is none. */
  readonly twoLayers: Lab | null;
}

/** Weighted XYZ samples in order of L*, the raw stuff of both truths. */
interface Sample {
  readonly xyz: Xyz;
  readonly weight: number;
}

const BINS_PER_ENTRY = 4;

/** Colour and shading of what one pass of the pen laid down, crossings left out. */
export function strokeTruth(field: InkField, table: DoseTable): { colour: InkColourTruth; shading: ShadingTruth } {
  const single = histogram(field, table, 1);
  const double = histogram(field, table, 2);
  return { colour: inkColour(single, double, field, table), shading: shadingOf(samples(single, table)) };
}

/** A swab's colour over its interior, and its variation after averaging over squares of 1 mm (dry gaps left out). */
export function swabTruth(field: InkField, table: DoseTable): { colour: InkColourTruth; variation: ShadingTruth } {
  const bins = histogram(field, table, 1);
  return { colour: inkColour(bins, null, field, table), variation: shadingOf(millimetreSamples(field, table)) };
}

function histogram(field: InkField, table: DoseTable, layers: number): Float64Array {
  const bins = new Float64Array((table.last + 1) * BINS_PER_ENTRY);
  for (let i = 0; i < field.dose.length; i++) {
    if (field.interior[i] === 1 && field.layers[i] === layers) {
      bins[Math.floor(entryOf(table, field.dose[i]) * BINS_PER_ENTRY)]++;
    }
  }
  return bins;
}

function binEntry(bin: number): number {
  return (bin + 0.5) / BINS_PER_ENTRY;
}

function samples(bins: Float64Array, table: DoseTable): Sample[] {
  const out: Sample[] = [];
  for (const [bin, weight] of bins.entries()) if (weight > 0) out.push({ xyz: xyzAt(table, binEntry(bin)), weight });
  return out;
}

function inkColour(
  single: Float64Array,
  double: Float64Array | null,
  field: InkField,
  table: DoseTable,
): InkColourTruth {
  const list = samples(single, table);
  const cells = list.reduce((sum, s) => sum + s.weight, 0);
  if (cells === 0) throw new Error('No interior cell in this field: its strokes are too thin or missing.');
  const xyz = meanXyz(list);
  const twice = double === null ? [] : samples(double, table);
  const doseAt = (share: number): number => {
    let passed = 0;
    const bin = single.findIndex((w) => (passed += w) >= share * cells);
    return binEntry(bin) ** 2 / table.perDose;
  };
  const dose = single.reduce((sum, w, bin) => sum + (w * binEntry(bin) ** 2) / table.perDose, 0);
  return {
    inkColour: xyzToLab(xyz),
    xyz,
    meanDose: dose / cells,
    doses: [doseAt(0.05), doseAt(0.5), doseAt(0.95)],
    areaMm2: cells / field.finePerMm ** 2,
    twoLayers: twice.length > 0 ? xyzToLab(meanXyz(twice)) : null,
  };
}

function meanXyz(list: readonly Sample[]): Xyz {
  const sum = [0, 0, 0];
  let weights = 0;
  for (const { xyz, weight } of list) {
    for (let c = 0; c < 3; c++) sum[c] += weight * xyz[c];
    weights += weight;
  }
  return [sum[0] / weights, sum[1] / weights, sum[2] / weights];
}

export function shadingOf(list: readonly Sample[]): ShadingTruth {
  // L* grows with Y, so Y puts the samples in order.
  const ordered = [...list].sort((p, q) => p.xyz[1] - q.xyz[1]);
  const total = ordered.reduce((sum, s) => sum + s.weight, 0);
  const about = (percentile: number): LabD50 => {
    const from = (percentile - 0.025) * total;
    const to = (percentile + 0.025) * total;
    const inside: Sample[] = [];
    let passed = 0;
    for (const { xyz, weight } of ordered) {
      const share = Math.min(to, passed + weight) - Math.max(from, passed);
      if (share > 0) inside.push({ xyz, weight: share });
      passed += weight;
    }
    return xyzToLab(meanXyz(inside));
  };
  const dark = about(0.1);
  const light = about(0.9);
  const grey = chroma(dark) < 2 || chroma(light) < 2;
  return {
    dE00: deltaE2000(dark, light),
    dL: light[0] - dark[0],
    dHueDeg: grey ? null : hueDifferenceDeg(hueDeg(dark), hueDeg(light)),
    light,
    dark,
  };
}

/** At every interior cell: mean XYZ of the interior cells in the square of 1 mm about it. */
function millimetreSamples(field: InkField, table: DoseTable): Sample[] {
  const width = field.widthPx * field.factor;
  const height = field.heightPx * field.factor;
  const reach = Math.round(field.finePerMm / 2);
  const planes = [0, 1, 2, 3].map(() => new Float64Array((width + 1) * (height + 1)));
  for (let y = 0; y < height; y++) {
    const run = [0, 0, 0, 0];
    for (let x = 0; x < width; x++) {
      const cell = y * width + x;
      if (field.interior[cell] === 1) {
        const xyz = xyzAt(table, entryOf(table, field.dose[cell]));
        run[0] += xyz[0];
        run[1] += xyz[1];
        run[2] += xyz[2];
        run[3] += 1;
      }
      const at = (y + 1) * (width + 1) + x + 1;
      for (let p = 0; p < 4; p++) planes[p][at] = planes[p][at - width - 1] + run[p];
    }
  }
  const out: Sample[] = [];
  // Every third cell both ways is plenty: neighbours share nearly all of their square.
  for (let y = 0; y < height; y += 3) {
    for (let x = 0; x < width; x += 3) {
      if (field.interior[y * width + x] === 0) continue;
      const x0 = Math.max(0, x - reach);
      const x1 = Math.min(width, x + reach + 1);
      const y0 = Math.max(0, y - reach);
      const y1 = Math.min(height, y + reach + 1);
      const sum = planes.map((p) => {
        const stride = width + 1;
        return p[y1 * stride + x1] - p[y0 * stride + x1] - p[y1 * stride + x0] + p[y0 * stride + x0];
      });
      out.push({ xyz: [sum[0] / sum[3], sum[1] / sum[3], sum[2] / sum[3]], weight: 1 });
    }
  }
  return out;
}

export interface ToneTruth {
  /** ΔE00 of the two ink colours, both against D50. */
  readonly absolute: number;
  /** ΔE00 of the two, each against its own paper: Lab with the paper's XYZ as white. */
  readonly adapted: number;
  /** Second minus first, absolute. */
  readonly dL: number;
  readonly dC: number;
  readonly dHueDeg: number;
}
