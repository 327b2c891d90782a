/** Teaching from whole scans: a known target and the printed card rendered on one glass (sample-scans/generator, study/printedCard.ts). */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { TargetLayout } from '../../analysis/calibrate/calibration.ts';
import { WETLINE_CARD } from '../../analysis/calibrate/card/plan.ts';
import { taughtReferenceText } from '../../analysis/calibrate/teach.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { xyzToLab } from '../../analysis/colour/lab.ts';
import { calibrateTarget } from '../../electron/jobs/calibrateTarget.ts';
import type { CalibrateTask } from '../../electron/jobs/tasks.ts';
import { type Taught, teachFromScans } from '../../electron/jobs/teach.ts';
import { parseReference } from '../../electron/sheet/reference.ts';
import { drawScanner } from '../../sample-scans/generator/scanner.ts';
import { toXyz } from '../../sample-scans/generator/spectra.ts';
import { asTask, drawPieces, GLASS_MM, type Glass, KNOWN_MM, scanTogether } from '../../study/teachBench.ts';

const SEED = 7;
const pieces = drawPieces(SEED);
const scanner = drawScanner(SEED);
const card = WETLINE_CARD.layout;
let folder = '';
let together: CalibrateTask;
let taught: Taught;

async function scanned(name: string, glass: Omit<Glass, 'dpi' | 'seed'> & { dpi?: number; seed?: number }) {
  const raster = scanTogether(pieces, scanner, { dpi: 150, seed: SEED, ...glass });
  return asTask(folder, name, raster, pieces.known.layout, pieces.reference);
}

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'wetline-teach-'));
  together = await scanned('together', {});
  taught = await teachFromScans({ scans: [together], card });
}, 60_000);
afterAll(() => rm(folder, { recursive: true, force: true }));

describe('a card beside a target of six varied colorants', () => {
  test('every patch gets a value and a u that covers what it is off by', () => {
    let covered = 0;
    const errors = card.patches.map(({ id }, i) => {
      const truth = xyzToLab(toXyz(pieces.printed.patches[i]));
      const { lab, u } = taught.reference.patches.get(id)!;
      for (let k = 0; k < 3; k++) covered += Math.abs(lab[k] - truth[k]) <= 2 * u![k] ? 1 : 0;
      return deltaE2000(truth, lab);
    });
    errors.sort((a, b) => a - b);
    // Four colorants that the known target does not have: as far off as inks are.
    expect(errors[48]).toBeLessThan(3);
    expect(covered / (3 * errors.length)).toBeGreaterThan(0.9);
    const lengths = [...taught.reference.patches.values()].map(({ u }) => Math.hypot(...u!)).toSorted((a, b) => a - b);
    expect(lengths[48]).toBeLessThan(8);
  });

  test('the file that is written of it is read back with its u', () => {
    const text = taughtReferenceText(taught.reference, {
      known: 'the "known" one',
      printer: 'a printer',
      date: '2026-05-03',
    });
    const read = parseReference(text, 'card-reference.txt');
    expect([...read.patches.keys()]).toEqual(card.patches.map((p) => p.id));
    for (const [id, { lab, u }] of read.patches) {
      const own = taught.reference.patches.get(id)!;
      for (let k = 0; k < 3; k++) {
        expect(Math.abs(lab[k] - own.lab[k])).toBeLessThan(6e-4);
        expect(Math.abs(u![k] - own.u![k])).toBeLessThan(6e-4);
      }
    }
  });

  test('the taught card alone then calibrates another scan', async () => {
    const alone = await scanned('alone', {
      dpi: 300,
      sizeMm: [174, 92],
      knownAt: null,
      cardAt: { centreMm: [87, 46], angleDeg: 180.6 },
      seed: SEED + 1,
    });
    const result = await calibrateTarget({ ...alone, layout: card, reference: taught.reference });
    expect(result.calibration.judgement).not.toBe('poor');
    // The slanted edge tells the blur with the pixel's own square in it.
    const pixelMm = 25.4 / 300 / Math.sqrt(12);
    expect(Math.abs(result.scannerBlurMm! / Math.hypot(scanner.blurSdMm, pixelMm) - 1)).toBeLessThan(0.01);
  });
});

test('a wrong dpi is not taken for a print of another size: the known target’s discs lie as far apart as they should', async () => {
  const { reference } = await teachFromScans({ scans: [{ ...together, dpi: 155 }], card });
  for (const [id, { lab }] of reference.patches) {
    expect(deltaE2000(lab, taught.reference.patches.get(id)!.lab), id).toBeLessThan(0.01);
  }
});

describe('refused in one line', () => {
  async function refusal(task: CalibrateTask, layout: TargetLayout = card): Promise<string> {
    const error: unknown = await teachFromScans({ scans: [task], card: layout }).catch((e: unknown) => e);
    if (!(error instanceof Error)) throw new Error('not refused');
    expect(error.message).not.toContain('\n');
    return error.message;
  }
  /** As if the layout's millimetres were others: the same as a print of another size. */
  function printedAt(size: number): TargetLayout {
    const by = (v: number): number => v / size;
    const [a, b, c, d] = card.pointsMm.map(([x, y]) => [by(x), by(y)] as const);
    return {
      ...card,
      pointsMm: [a, b, c, d],
      fiducial: { shape: 'disc', radiusMm: by(2.5), eyeMm: by(1) },
      patches: card.patches.map(({ boxMm: [x, y, w, h], ...p }) => ({ ...p, boxMm: [by(x), by(y), by(w), by(h)] })),
    };
  }

  test.each([0.96, 1.03, 0.9])('a print of %f times its size, told in per cent', async (size) => {
    expect(await refusal(together, printedAt(size))).toMatch(
      new RegExp(`printed at ${(100 * size).toFixed(1)} % of its size; expected 100 %. Print it again`),
    );
  });

  test('no card in the scan', async () => {
    const task = await scanned('no-card', { cardAt: null, sizeMm: [150, 98] });
    expect(await refusal(task)).toContain(
      `the card that is to be taught ("${card.name}") was not found in this scan, the known target was`,
    );
  });

  test('no known target in the scan', async () => {
    const task = await scanned('no-known', {
      knownAt: null,
      cardAt: { centreMm: [92, 50], angleDeg: 0.7 },
      sizeMm: [184, 98],
    });
    expect(await refusal(task)).toContain(pieces.known.layout.name);
  });

  test('one on the other', async () => {
    // The known target lies under the card's lower edge, its discs and patches free.
    const task = await scanned('overlap', {
      knownAt: { centreMm: KNOWN_MM, angleDeg: 0 },
      cardAt: { centreMm: [KNOWN_MM[0] + 18, KNOWN_MM[1] + 42.5 + 33], angleDeg: 0 },
    });
    const at = (mm: readonly [number, number]): [number, number] => [mm[0], mm[1]];
    const points = pieces.known.layout.pointsMm.map(([x, y]) => at([x + KNOWN_MM[0] - 59, y + KNOWN_MM[1] - 36.5]));
    const [a, b, c, d] = points;
    expect(await refusal({ ...task, pointsMm: [a, b, c, d] })).toContain('expected them side by side');
  });

  test('too coarse', async () => {
    const task = await scanned('coarse', { dpi: 100, sizeMm: GLASS_MM });
    expect(await refusal(task)).toContain('100 dpi is too coarse to teach a card; expected at least 150');
  });
});
