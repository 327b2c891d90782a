/** Whole scans, drawn: the points in every order, the wrong layout, a hand on the target. */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { TargetLayout } from '../../analysis/calibrate/calibration.ts';
import { CalibrationError } from '../../analysis/calibrate/calibrationError.ts';
import { POINT_ORDERS } from '../../analysis/calibrate/misreading.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { calibrateTarget } from '../../electron/jobs/calibrateTarget.ts';
import type { CalibrateTask } from '../../electron/jobs/tasks.ts';
import { scanInfo } from '../../electron/scans/scanInfo.ts';
import { BUILT_IN_LAYOUTS } from '../../electron/sheet/builtIn.ts';
import { drawScene, drawTarget, plainDevice, type DrawnTarget, type TargetDrawing } from './drawTarget.ts';

const DPI = 100;
let folder: string;
let files = 0;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'wetline-misreading-'));
});
afterAll(() => rm(folder, { recursive: true }));

/** Greys down in L*, other patches all over; the same for every layout. */
function referenceFor(layout: TargetLayout, seed = 4) {
  const random = seededRandom(seed);
  const greys = layout.patches.filter((patch) => patch.grey);
  const patches = new Map(
    layout.patches.map(({ id, grey }) => {
      const step = greys.findIndex((patch) => patch.id === id) / (greys.length - 1);
      const lab = grey
        ? labD50(94 - 76 * step, 0.3, -0.5)
        : labD50(28 + 55 * random(), 50 * random() - 25, 50 * random() - 25);
      return [id, { lab }] as const;
    }),
  );
  return { patches };
}

const layoutOf = (name: string) => BUILT_IN_LAYOUTS.get(name)!;

async function saved({ data, widthPx, heightPx }: DeviceRaster): Promise<string> {
  const file = join(folder, `scan-${files++}.png`);
  await sharp(Uint8Array.from(data), { raw: { width: widthPx, height: heightPx, channels: 3 } })
    .png()
    .toFile(file);
  return file;
}

async function taskFor(
  name: string,
  drawing: Partial<TargetDrawing> = {},
): Promise<CalibrateTask & { drawn: DrawnTarget }> {
  const layout = layoutOf(name);
  const reference = referenceFor(layout);
  const drawn = drawTarget(layout, plainDevice(reference.patches), { dpi: DPI, turnDeg: 4, noise: 0.006, ...drawing });
  const info = await scanInfo(await saved(drawn));
  const pointsMm = ordered(drawn, [0, 1, 2, 3]);
  return { task: 'calibrate', info, dpi: DPI, layout, reference, pointsMm, white: null, drawn };
}

function ordered(drawn: DrawnTarget, order: readonly number[]) {
  const [a, b, c, d] = order.map((i) => {
    const [x, y] = drawn.pointsPx[i];
    return [(x * 25.4) / DPI, (y * 25.4) / DPI] as const;
  });
  return [a, b, c, d] as const;
}

async function refusal(task: CalibrateTask): Promise<CalibrationError> {
  try {
    await calibrateTarget(task);
  } catch (error) {
    if (error instanceof CalibrationError) return error;
    throw error;
  }
  throw new Error('nothing was refused');
}

describe('points in another order', () => {
  it.each([
    ['card', POINT_ORDERS],
    ['chart-4x6', [POINT_ORDERS[1]]],
    ['iso12641-1', [POINT_ORDERS[1], POINT_ORDERS[4]]],
  ] as const)(
    '%s: every order is refused, and the one that fits is named',
    async (name, orders) => {
      const task = await taskFor(name);
      const { calibration } = await calibrateTarget(task);
      expect(calibration.judgement).toBe('good');
      for (const order of orders) {
        const error = await refusal({ ...task, pointsMm: ordered(task.drawn, order) });
        expect(error.code).toBe('points-order');
        // The point that was given in the place `back` is the layout's first.
        const back = order.indexOf(0) + 1;
        expect(error.message).toContain(
          `In the order ${[0, 1, 2, 3].map((i) => order.indexOf(i) + 1).join(', ')} they do`,
        );
        expect(error.message).toContain(`point ${back} is its top left`);
      }
    },
    60_000,
  );

  it('a mirrored scan is told from points in a wrong order, either way round', async () => {
    const task = await taskFor('card', { mirrored: true });
    // Corners as a person sees them: top left first, clockwise.
    const clockwise = await refusal({ ...task, pointsMm: ordered(task.drawn, [1, 0, 3, 2]) });
    expect(clockwise.message).toMatch(/the scan is mirrored\. Turn mirroring off/);
    const asPrinted = await refusal(task);
    expect(asPrinted.code).toBe('points-order');
    expect(asPrinted.message).toMatch(/run counter-clockwise .* the scan is mirrored/);
  });
});

it('a scan in grey, saved with three channels, is told so', async () => {
  const task = await taskFor('chart-4x6');
  const { data, ...frame } = task.drawn;
  const grey = data.map((_, i) => data[i - (i % 3) + 1]);
  const info = await scanInfo(await saved({ ...frame, data: grey }));
  const error = await refusal({ ...task, info });
  expect(error.code).toBe('no-colour');
  expect(error.message).toMatch(/^The scan has no colour: .* Scan in colour/);
});

describe('another layout', () => {
  it('whose patches are even at the same corners is named', async () => {
    const card = await taskFor('card');
    const error = await refusal({
      ...card,
      layout: layoutOf('chart-4x6'),
      reference: referenceFor(layoutOf('chart-4x6')),
    });
    expect(error.code).toBe('other-layout');
    expect(error.message).toMatch(/24 of 24 patches of the layout .* are not even inside; those of the layout "card"/);
    expect(error.message).toMatch(/Choose "card" and its reference/);
  });

  it('points beside the target’s corners are told from it', async () => {
    const task = await taskFor('card');
    const [a, b, c, d] = task.pointsMm!.map(([x, y]) => [x + 4.7, y + 4.7] as const);
    const error = await refusal({ ...task, pointsMm: [a, b, c, d] });
    expect(error.code).toBe('other-layout');
    expect(error.message).toMatch(/they do not lie where it says. Put the four points on the layout's own corners/);
  });
});

describe('something on the target', () => {
  it('a finger and a hair cost the patches under them and nothing else', async () => {
    const skin = [0.78, 0.58, 0.5] as const;
    const clean = (await calibrateTarget(await taskFor('card'))).calibration;
    const task = await taskFor('card', {
      covered: [
        { boxMm: [60, 15, 17, 21], colour: skin },
        { boxMm: [110, -2, 1.1, 40], colour: 0.1 },
      ],
    });
    const c = (await calibrateTarget(task)).calibration;
    const under = task.layout.patches.filter(({ boxMm: [x, y, w, h] }) => {
      const inner = [x + 0.2 * w, y + 0.2 * h, x + 0.8 * w, y + 0.8 * h];
      const meets = (l: number, t: number, r: number, b: number) =>
        inner[0] < r && inner[2] > l && inner[1] < b && inner[3] > t;
      return meets(60.1, 15.1, 76.9, 35.9) || meets(110.1, -2, 111, 37.9);
    });
    const told = c.patches.filter((patch) => patch.flags.includes('covered')).map((patch) => patch.id);
    expect(under.length).toBeGreaterThan(5);
    expect(told.toSorted()).toEqual(under.map((patch) => patch.id).toSorted());
    expect(c.cautions.map((caution) => caution.code)).toContain('covered');
    expect(c.leftOutMedian!).toBeLessThan(1.2 * clean.leftOutMedian! + 0.1);
  });

  it('a sheet over a third of it is refused', async () => {
    const error = await refusal(await taskFor('card', { covered: [{ boxMm: [-5, -5, 58, 70], colour: 0.92 }] }));
    expect(error.code).toBe('other-target');
    expect(error.message).toMatch(/does not follow the reference .* or much of the target is covered/);
  });
});

describe('a white sheet beside the target’s scan', () => {
  const sizeMm = [190, 110] as const;
  const lit = { sizeMm, centreMm: [95, 55] as const, turnDeg: 0, gradient: 0.12 };

  it('tells the light, whatever its resolution; of another scan it is told', async () => {
    const task = await taskFor('card', lit);
    const sheet = async (gradient: number) => {
      const drawn = drawScene(sizeMm, { dpi: 60, bed: 0.9, gradient, noise: 0.004 });
      return { info: await scanInfo(await saved(drawn)), dpi: 60 };
    };
    const { calibration } = await calibrateTarget({ ...task, white: await sheet(0.12) });
    expect(calibration.flatField?.grid).toBeDefined();
    expect(calibration.cautions).toEqual([]);
    expect(calibration.leftOutMedian!).toBeLessThan(0.4);
    const other = await calibrateTarget({ ...task, white: await sheet(0) });
    expect(other.calibration.cautions.map(({ code }) => code)).toContain('uneven-light');
    expect(other.calibration.leftOutMedian!).toBeGreaterThan(1.5 * calibration.leftOutMedian!);
  });

  it('that is written on is refused by name', async () => {
    const task = await taskFor('card', lit);
    const scribbled = await taskFor('card', { ...lit, gradient: 0 });
    await expect(calibrateTarget({ ...task, white: { info: scribbled.info, dpi: DPI } })).rejects.toThrow(
      /scan-\d+\.png: .* of the white sheet is not bare|even white are seen/,
    );
  });
});
