/** A written line as another paper would show it, against the generator's own rendering of the same ink on that paper. */
import { describe, expect, test } from 'vitest';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50, type LabD50, labToXyz, xyzToLab } from '../../analysis/colour/lab.ts';
import { type DoseSteps, onOtherGround } from '../../analysis/measure/opacity/otherGround.ts';
import type { LabValue } from '../../analysis/quantity.ts';
import { gaussianSmooth } from '../../analysis/raster/gaussian.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { type DoseTable, doseTable, entryOf, xyzAt } from '../../sample-scans/generator/doseTable.ts';
import { drawHand, writeLine } from '../../sample-scans/generator/hand.ts';
import { drawInk } from '../../sample-scans/generator/ink.ts';
import { emptyField, type InkField, paintInk } from '../../sample-scans/generator/inkField.ts';
import { drawPaper, type PaperClass } from '../../sample-scans/generator/paper.ts';
import { drawHabit, layPasses } from '../../sample-scans/generator/pen.ts';
import { stream } from '../../sample-scans/generator/random.ts';
import { drawScanner } from '../../sample-scans/generator/scanner.ts';

const DPI = 300;
const BOX = [0, 0, 26, 10] as const;

/** One written line and how it looks through a scanner's blur, exact XYZ and no noise. */
function written(seed: number): {
  field: InkField;
  on: (paper: PaperClass) => { xyz: Float32Array; table: DoseTable };
} {
  const ink = drawInk(seed);
  const scanner = drawScanner(seed);
  const field = emptyField(BOX, DPI);
  const random = stream(seed, 'line');
  const passes = writeLine('Quail', { xMm: 2, baselineMm: 6.5, xHeightMm: 2.8 }, drawHand(seed), random);
  layPasses(field, passes, { name: 'M', widthMm: 0.65, flow: 1.15 * ink.strength }, drawHabit(seed, 'line'), random);
  const on = (paper: PaperClass) => {
    const table = doseTable(ink, drawPaper(seed, paper, paper).reflectance, scanner);
    const { widthPx, heightPx } = field;
    const data = new Float32Array(3 * widthPx * heightPx);
    for (let i = 0; i < data.length; i += 3) data.set(table.xyz.subarray(0, 3), i);
    const band = { data, widthPx, firstRow: 0, rows: heightPx, pxPerMm: DPI / 25.4 };
    paintInk(band, field, { ...table, signal: Float32Array.from(table.xyz) });
    return { xyz: blurred(data, widthPx, heightPx, (scanner.blurSdMm * DPI) / 25.4), table };
  };
  return { field, on };
}

function blurred(data: Float32Array, widthPx: number, heightPx: number, sdPx: number): Float32Array {
  const out = new Float32Array(data.length);
  for (let c = 0; c < 3; c++) {
    const one = gaussianSmooth(
      Float32Array.from({ length: data.length / 3 }, (_, i) => data[3 * i + c]),
      widthPx,
      heightPx,
      sdPx,
    );
    one.forEach((v, i) => {
      out[3 * i + c] = v;
    });
  }
  return out;
}

/** As a fit tells them: thirty doses and bare paper. */
function stepsBetween(from: DoseTable, to: DoseTable): DoseSteps {
  const doses = [0, ...Array.from({ length: 30 }, (_, i) => 0.05 * 160 ** (i / 29))];
  const labs = (table: DoseTable): LabValue[] =>
    doses.map((dose) => {
      const [L, a, b] = xyzToLab(xyzAt(table, entryOf(table, dose)));
      return [L, a, b];
    });
  return { from: labs(from), to: labs(to) };
}

function labAt(xyz: Float32Array, i: number): LabD50 {
  return xyzToLab([xyz[i], xyz[i + 1], xyz[i + 2]]);
}

/** Mean ΔE00 over the pixels that differ from bare paper by more than 5 ΔL*. */
function meanError(got: Float32Array, truth: Float32Array, paperL: number): number {
  let sum = 0;
  let count = 0;
  for (let i = 0; i < truth.length; i += 3) {
    const there = labAt(truth, i);
    if (paperL - there[0] < 5) continue;
    sum += deltaE2000(labAt(got, i), there);
    count++;
  }
  return sum / count;
}

const WAYS: readonly [number, PaperClass, PaperClass][] = [
  [5, 'brightWhite', 'yellow'],
  [5, 'yellow', 'brightWhite'],
  [8, 'brightWhite', 'green'],
  [12, 'green', 'grey'],
];

describe.each(WAYS)('ink %i from %s to %s', (seed, from, to) => {
  const { on } = written(seed);
  const [here, there] = [on(from), on(to)];
  const steps = stepsBetween(here.table, there.table);
  const paperL = xyzToLab(xyzAt(there.table, 0))[0];

  test('is what the generator renders there, edges and crossings too', () => {
    const got = here.xyz.slice();
    onOtherGround(steps)(got);
    expect(meanError(got, there.xyz, paperL)).toBeLessThan(0.25);
    // And that is no small change: as it was it would be far off.
    expect(meanError(here.xyz, there.xyz, paperL)).toBeGreaterThan(2);
  });

  test('noise goes along and is no stranger', () => {
    const random = seededRandom(seed);
    const noise = here.xyz.map((v) => 1 + (0.02 * Math.sqrt(12) * (random() - 0.5) * Math.sqrt(v + 0.02)) / (v + 0.02));
    const noisy = here.xyz.map((v, i) => v * noise[i]);
    const [got, kept] = [noisy.slice(), noisy.slice()];
    onOtherGround(steps)(got);
    onOtherGround(steps, { strangerFrom: 1e6, strangerTo: 2e6 })(kept);
    const changed = got.filter((v, i) => Math.abs(v - kept[i]) > 1e-3).length;
    expect(changed / got.length).toBeLessThan(0.002);
  });
});

describe('what is no ink', () => {
  const { on } = written(5);
  const [here, there] = [on('brightWhite'), on('yellow')];
  const steps = stepsBetween(here.table, there.table);
  const one = (lab: LabD50, options = {}): LabD50 => {
    const pixel = Float32Array.from(labToXyz(lab));
    onOtherGround(steps, options)(pixel);
    return labAt(pixel, 0);
  };
  const paper = xyzToLab(xyzAt(here.table, 0));

  test('bare paper becomes the other paper, its grain with it', () => {
    const ground = xyzToLab(xyzAt(there.table, 0));
    expect(deltaE2000(one(paper), ground)).toBeLessThan(0.01);
    const [light, dark] = [
      one(labD50(paper[0] + 1.5, paper[1], paper[2])),
      one(labD50(paper[0] - 1.5, paper[1], paper[2])),
    ];
    expect(light[0] - ground[0]).toBeGreaterThan(1);
    expect(ground[0] - dark[0]).toBeGreaterThan(1);
  });

  test('another ink stays as it is, and an option says from where on', () => {
    const green = labD50(55, -50, 40);
    expect(deltaE2000(one(green), green)).toBeLessThan(0.01);
    expect(deltaE2000(one(green, { strangerFrom: 50, strangerTo: 100 }), green)).toBeGreaterThan(3);
    const [some, wholly] = [
      one(green, { strangerFrom: 0, strangerTo: 8 }),
      one(green, { strangerFrom: 0, strangerTo: 0.1 }),
    ];
    expect(deltaE2000(some, green)).toBeGreaterThan(0.2);
    expect(deltaE2000(wholly, green)).toBeLessThan(0.01);
  });

  test('on the ink’s own ground nothing changes', () => {
    const same = here.xyz.slice();
    onOtherGround({ from: steps.from, to: steps.from })(same);
    expect(Math.max(...same.map((v, i) => Math.abs(v - here.xyz[i])))).toBeLessThan(1e-5);
  });

  test('lists that are not in step are refused', () => {
    expect(() => onOtherGround({ from: steps.from, to: steps.to.slice(1) })).toThrow('31 and 30 steps');
    expect(() => onOtherGround({ from: [paper], to: [paper] })).toThrow('two or more');
  });
});
