/** A written line as another paper would show it, against the generator's own rendering of the same ink on that paper. */
import { describe, expect, test } from 'vitest';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50, type LabD50, labToXyz, xyzToLab } from '../../analysis/colour/lab.ts';
import { onOtherGround } from '../../analysis/measure/opacity/otherGround.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { xyzAt } from '../../sample-scans/generator/doseTable.ts';
import type { PaperClass } from '../../sample-scans/generator/paper.ts';
import { errorsOfInk, labAt, mean, stepsBetween, writtenLine } from '../../study/elsewhere.ts';

const WAYS: readonly [number, PaperClass, PaperClass][] = [
  [5, 'brightWhite', 'yellow'],
  [5, 'yellow', 'brightWhite'],
  [8, 'brightWhite', 'green'],
  [12, 'green', 'grey'],
];

describe.each(WAYS)('ink %i from %s to %s', (seed, from, to) => {
  const on = writtenLine(seed);
  const [here, there] = [on(from), on(to)];
  const steps = stepsBetween(here.table, there.table);

  test('is what the generator renders there, edges and crossings too', () => {
    const got = here.xyz.slice();
    onOtherGround(steps)(got);
    expect(mean(errorsOfInk(got, there))).toBeLessThan(0.25);
    // And that is no small change: as it was it would be far off.
    expect(mean(errorsOfInk(here.xyz, there))).toBeGreaterThan(2);
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
  const on = writtenLine(5);
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
    expect(deltaE2000(one(paper), ground)).toBeLessThan(1e-4);
    const [light, dark] = [
      one(labD50(paper[0] + 1.5, paper[1], paper[2])),
      one(labD50(paper[0] - 1.5, paper[1], paper[2])),
    ];
    expect(light[0] - ground[0]).toBeGreaterThan(1);
    expect(ground[0] - dark[0]).toBeGreaterThan(1);
  });

  test('another ink stays as it is, and an option says from where on', () => {
    const green = labD50(55, -50, 40);
    expect(deltaE2000(one(green), green)).toBeLessThan(1e-4);
    expect(deltaE2000(one(green, { strangerFrom: 50, strangerTo: 100 }), green)).toBeGreaterThan(3);
    const [some, wholly] = [
      one(green, { strangerFrom: 0, strangerTo: 8 }),
      one(green, { strangerFrom: 0, strangerTo: 0.1 }),
    ];
    expect(deltaE2000(some, green)).toBeGreaterThan(2);
    expect(deltaE2000(wholly, green)).toBeLessThan(1e-4);
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
