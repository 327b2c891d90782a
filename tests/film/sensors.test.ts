/** Sensors estimated from a target: published lamps and measured camera sensitivities, both outside the prior, and the chart's published spectra. */
import { describe, expect, test } from 'vitest';
import { GRID, onGrid, xyzOnGrid } from '../../analysis/film/grid.ts';
import { groundEstimate } from '../../analysis/film/ground.ts';
import { seen } from '../../analysis/film/sensorFit.ts';
import { estimateSensors, type SeenPatch } from '../../analysis/film/sensors.ts';
import { spectrumFromLab } from '../../analysis/film/patchSpectra.ts';
import { straightened } from '../../analysis/film/bend.ts';
import { xyzToLab } from '../../analysis/colour/lab.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { printedTarget } from '../../analysis/film/printedTarget.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { drawTarget, TARGET_SIZES, type TargetKind } from '../../study/simulatedColours.ts';
import { readVectors } from '../vectors/readVectors.ts';

// CIE 15:2018 lamps; Darrodi, Finlayson, Goodman & Mackiewicz 2015, JOSA A 32, 381; N. Ohta 1997, The Basis of Color Reproduction Engineering.
const lamps = readVectors('lamp_spd_cie_fl_led_5nm.csv', { rows: 81, sha256: '7638b71144b0' });
const camera = readVectors('rgb_sensitivity_npl2015_5nm.csv', { rows: 81, sha256: '0dc528948449' });
const chart = readVectors('chart24_reflectance_ohta1997_5nm.csv', { rows: 81, sha256: '72adc2a2d105' });

/** 380–730 nm by 10 nm of a column given by 5 nm. */
function column(rows: typeof lamps, name: string): Float64Array {
  return onGrid({ firstNm: 380, stepNm: 5, values: rows.map((row) => row.number(name)) });
}

const patches = chart[0].columns.slice(1).map((name) => column(chart, name));
const isGrey = (i: number): boolean => i >= 18;

function device(lamp: string): Float64Array {
  const light = column(lamps, lamp);
  const out = new Float64Array(3 * GRID.count);
  ['R', 'G', 'B'].forEach((name, c) => {
    const band = column(camera, name).map((v, l) => v * light[l]);
    const sum = band.reduce((a, b) => a + b, 0);
    out.set(
      band.map((v) => v / sum),
      c * GRID.count,
    );
  });
  return out;
}

const seenBy = (curves: Float64Array, r: Float64Array): [number, number, number] => [
  seen(curves, 0, r),
  seen(curves, 1, r),
  seen(curves, 2, r),
];

function chartSeen(curves: Float64Array): SeenPatch[] {
  return patches.map((reflectance, i) => ({
    signal: seenBy(curves, reflectance),
    grey: isGrey(i),
    spectrum: { mean: reflectance, doubt: [] },
  }));
}

/** A paper that is none of the prior's: yellowish, with a dip. */
const paper = Float64Array.from(
  { length: GRID.count },
  (_, l) => 0.86 - 0.2 * Math.exp(-l / 6) - 0.03 * Math.exp(-(((l - 20) / 5) ** 2)),
);

test.each(['LED-B3', 'LED-V1', 'FL11'])(
  'under the published lamp %s the estimate foretells what the device sees',
  (lamp) => {
    const curves = device(lamp);
    const sensors = estimateSensors(chartSeen(curves));
    const truth = seenBy(curves, paper);
    const foretold = seenBy(sensors.curves, paper);
    const straight = straightened(truth, sensors.bends);
    for (let c = 0; c < 3; c++) expect(Math.abs(foretold[c] / straight[c] - 1)).toBeLessThan(0.01);
    for (let c = 0; c < 3; c++) expect(Math.abs(straight[c] / truth[c] - 1)).toBeLessThan(0.02);
  },
);

test('a bare paper comes out as it is', () => {
  const curves = device('LED-B3');
  const sensors = estimateSensors(chartSeen(curves));
  const { log } = groundEstimate(straightened(seenBy(curves, paper), sensors.bends), sensors);
  expect(deltaE2000(xyzToLab(xyzOnGrid(log.map(Math.exp))), xyzToLab(xyzOnGrid(paper)))).toBeLessThan(0.6);
});

test('stray light that the curves of one channel hold is found, and taken off the dark', () => {
  const curves = device('LED-B3');
  const stray = (signal: readonly [number, number, number]): [number, number, number] => [
    signal[0],
    signal[1] + 0.006,
    signal[2],
  ];
  const { bends } = estimateSensors(chartSeen(curves).map((patch) => ({ ...patch, signal: stray(patch.signal) })));
  for (const share of [0.03, 0.08, 0.3]) {
    const truth = seenBy(
      curves,
      paper.map((r) => share * r),
    );
    const [, green] = straightened(stray(truth), bends);
    expect(Math.abs(green - truth[1])).toBeLessThan(0.0007);
  }
  expect(bends[1].offset).toBeLessThan(-0.0015);
  expect(Math.abs(Number(bends[0].offset))).toBeLessThan(0.001);
});

test('a signal cut at black says nothing: a patch clipped in one channel changes little', () => {
  const curves = device('LED-B3');
  const whole = chartSeen(curves);
  const cut = whole.map((patch, i): SeenPatch =>
    i === 12 ? { ...patch, signal: [0, patch.signal[1], patch.signal[2]] } : patch,
  );
  const [a, b] = [estimateSensors(whole), estimateSensors(cut)];
  for (let c = 0; c < 3; c++) {
    expect(Math.abs(seen(a.curves, c, paper) - seen(b.curves, c, paper))).toBeLessThan(0.0005);
  }
});

test('a spectrum told from Lab alone has that Lab exactly, and says how it may be off', () => {
  for (const [i, reflectance] of patches.entries()) {
    const lab = xyzToLab(xyzOnGrid(reflectance));
    const { mean, doubt } = spectrumFromLab(lab, isGrey(i));
    expect(deltaE2000(xyzToLab(xyzOnGrid(mean)), lab)).toBeLessThan(0.03);
    expect(doubt.length).toBeGreaterThan(0);
    for (const mode of doubt) {
      // What is in doubt the eye does not see.
      const off = xyzToLab(xyzOnGrid(mean.map((v, l) => v + 0.5 * mode[l])));
      expect(deltaE2000(off, lab)).toBeLessThan(0.06);
    }
  }
});

describe('a target of which only Lab is known', () => {
  const patchesOf = (kind: TargetKind) => drawTarget(kind, TARGET_SIZES.small, seededRandom(41));
  const labOf = (r: Float64Array) => xyzToLab(xyzOnGrid(r));

  test.each([
    ['photographic', 'tone', 0.03],
    ['dots', 'dots', 0.03],
    ['colorants', 'inks', 0.03],
  ] as const)('%s is found out, and teaches what its greys, taken as flat, would not', (kind, name, most) => {
    const curves = device('LED-V1');
    const target = patchesOf(kind);
    const asSeen = target.map(({ reflectance, grey }): SeenPatch => ({
      signal: seenBy(curves, reflectance),
      grey,
      spectrum: spectrumFromLab(labOf(reflectance), grey),
    }));
    const sensors = estimateSensors(asSeen);
    expect([sensors.taughtBy, sensors.target]).toEqual(['lab', name]);
    // Too few patches to look for dyes: greys are flat, colours as the library has them.
    const plain = estimateSensors(asSeen.filter((_, i) => i % 4 === 3).slice(0, 11));
    expect(plain.target).toBe('varied');
    const off = (by: typeof sensors): number =>
      Math.max(
        ...[paper, ...patches.slice(0, 18)].map((r) => {
          const truth = straightened(seenBy(curves, r), by.bends);
          return Math.max(...seenBy(by.curves, r).map((v, c) => Math.abs(v - truth[c])));
        }),
      );
    expect(off(sensors)).toBeLessThan(most);
    expect(off(sensors)).toBeLessThan(off(plain));
  });

  test('the chart’s paints, none of three dyes and none of five inks, are each taken by itself', () => {
    const asSeen = patches.map((reflectance, i): SeenPatch => ({
      signal: seenBy(device('LED-V1'), reflectance),
      grey: isGrey(i),
      spectrum: spectrumFromLab(labOf(reflectance), isGrey(i)),
    }));
    expect(estimateSensors(asSeen).target).toBe('varied');
  });

  test.each([
    ['photographic', 'tone'],
    ['dots', 'dots'],
    ['colorants', 'inks'],
  ] as const)(
    '%s: whatever it is printed with prints every patch’s Lab, and goes on as its slopes say',
    (kind, name) => {
      const drawn = patchesOf(kind);
      const labs = drawn.map(({ reflectance }) => labOf(reflectance));
      const target = printedTarget(
        labs,
        drawn.map(({ grey }) => grey),
        name,
      );
      const random = seededRandom(7);
      const z = Float64Array.from({ length: target.count }, () => random() - 0.5);
      const { mean, modes } = target.at(z);
      const here = mean.map((r) => Float64Array.from(r));
      here.forEach((r, i) => expect(deltaE2000(labOf(r), labs[i])).toBeLessThan(0.03));
      const way = Float64Array.from(z, () => 0.2 * (random() - 0.5));
      const foretold = here.map((r, i) =>
        r.map((v, l) => way.reduce((sum, step, j) => sum + step * modes[j][i][l], v)),
      );
      const there = target.at(z.map((v, j) => v + way[j])).mean;
      const apart = (a: Float64Array, b: Float64Array): number => Math.hypot(...a.map((v, l) => v - b[l]));
      // Solid inks, which cannot be more than solid, go on otherwise: half of the patches and more are none.
      const off = there.map((r, i) => apart(r, foretold[i]) / apart(r, here[i])).toSorted((a, b) => a - b);
      expect(off[Math.floor(off.length / 2)]).toBeLessThan(0.2);
    },
  );
});
