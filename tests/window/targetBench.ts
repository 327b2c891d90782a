/** An ink whose targets are handled in a real browser, and what tests of it share. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect } from 'vitest';
import type { Edit, KnownTargetFiles, Work } from '../../electron/backend/api.ts';
import { DPI } from '../backend/targetScans.ts';
import { violations } from './accessible.ts';
import { settledBox } from './inSight.ts';
import { running } from './running.ts';
import {
  arePicturesTaken,
  chooseFiles,
  type OpenedWindow,
  openWindow,
  picture,
  pictured,
  SCREENS,
  temporaryFolder,
} from './startWindow.ts';

/** The sample is the first ink of a library, the tests' own the second. */
const INK = '/api/inks/2';

/** @param files Scans on the desk, by name. */
export function targetBench(name: string, files: Readonly<Record<string, Buffer>>) {
  const bench = running(name);
  const desk = temporaryFolder(`${name}-desk`);
  const unheard: string[] = [];
  let opened: OpenedWindow | null = null;
  beforeAll(async () => {
    for (const [file, bytes] of Object.entries(files)) writeFileSync(join(desk.path, file), bytes);
    opened = await openWindow(bench.browser, bench.server.url);
  });
  afterAll(() => desk.remove());
  const window = (): OpenedWindow => {
    if (!opened) throw new Error('the window is not open yet');
    return opened;
  };
  const page = (): Page => window().page;
  const target = () => page().getByRole('region', { name: 'Target', exact: true });
  const list = () => page().getByRole('navigation', { name: 'Scans of this ink' });
  const got = async <T>(path: string): Promise<T> => {
    const value: T = JSON.parse(await page().evaluate((url) => fetch(url).then((answer) => answer.text()), path));
    return value;
  };
  return {
    page,
    target,
    /** What axe found on the way. */
    unheard,
    /** A refused calibration, and a picture in colours that are no longer the scan’s, are answers which a browser calls failures. */
    complaints: () => window().complaints.filter((line) => !/\/(targets|tiles|overview)\//.test(line)),
    point: (n: number) => page().getByRole('button', { name: new RegExp(`^Target point ${n},`) }),
    work: () => got<Work>(INK),

    newInk: async (called: string) => {
      await page().getByRole('button', { name: 'New ink' }).click();
      await page().getByLabel('Name of the ink').fill(called);
      await page().getByRole('button', { name: 'Make the ink' }).click();
      await page().getByText('Lay the page square on the scanner').waitFor();
    },
    bring: async (file: string) => {
      await chooseFiles(page(), join(desk.path, file));
      await list().getByText(file.replace('.png', ''), { exact: true }).waitFor();
    },
    openScan: async (id: string) => {
      await list().getByText(id, { exact: true }).click();
      await page()
        .getByRole('heading', { name: `Scan “${id}”` })
        .waitFor();
    },
    sendEdit: async (edit: Edit) => {
      const body = JSON.stringify({ edit });
      const status = await page().evaluate(
        ([path, text]) => fetch(path, { method: 'POST', body: text }).then((answer) => answer.status),
        [`${INK}/edits`, body] as const,
      );
      if (status !== 200) throw new Error(`the edit was answered with ${status}`);
    },
    builtInChart: async () => {
      const { layouts, references } = await got<KnownTargetFiles>('/api/targets');
      const hashOf = (known: readonly { name: string; hash: string }[]) =>
        known.find((one) => one.name === 'chart-4x6')?.hash ?? '';
      return { layout: hashOf(layouts), reference: hashOf(references) };
    },

    /** A picture of a state whose elements another had, too; without one asked for, nothing. */
    shown: async (state: string) => {
      if (!arePicturesTaken) return;
      await pictured(window());
      await picture(page(), `${state}-1280`);
    },
    /** A picture of a state on the bench’s own screen, with `large` also on a large one, and what axe says of it. */
    seen: async (state: string, large = false) => {
      await pictured(window());
      await picture(page(), `${state}-1280`);
      unheard.push(...(await violations(page())).map((line) => `${state}: ${line}`));
      if (!large || !arePicturesTaken) return;
      await page().setViewportSize(SCREENS.large);
      // Overlays fade while the view moves.
      await page().waitForTimeout(800);
      await pictured(window());
      await picture(page(), `${state}-2560`);
      await page().setViewportSize(SCREENS.small);
      await page().waitForTimeout(800);
    },
    calibrated: async () => {
      await target()
        .getByText(/Left out/)
        .waitFor({ timeout: 60_000 });
    },
    /** ΔE00, median of patches left out, as the panel says it. */
    leftOut: async () => {
      const text = await target()
        .getByText(/ΔE00 \(median\)/)
        .textContent();
      return Number(/[\d.]+/.exec(text ?? '')?.[0] ?? NaN);
    },
    /** Where a place of the scan lies on the screen. @param mm of the scan */
    placeOf: (mm: readonly [number, number]) => placeOn(page(), mm),
    dragPoint: async (n: number, mm: readonly [number, number]) => {
      const point = page().getByRole('button', { name: new RegExp(`^Target point ${n},`) });
      const box = await settledBox(point.locator('circle').first());
      const [x, y] = await placeOn(page(), mm);
      const { mouse } = page();
      await mouse.move(box.x + box.width / 2, box.y + box.height / 2);
      await mouse.down();
      await mouse.move((box.x + x) / 2, (box.y + y) / 2, { steps: 3 });
      await mouse.move(x, y, { steps: 3 });
      await mouse.up();
      // Drawn where it was let go, or it was not the point that was dragged.
      const off = async () => {
        const there = await point.locator('circle').first().boundingBox();
        const [left, top] = await placeOn(page(), mm);
        return there ? Math.hypot(there.x + there.width / 2 - left, there.y + there.height / 2 - top) : Infinity;
      };
      await expect.poll(off).toBeLessThan(2);
    },
  };
}

async function placeOn(page: Page, [x, y]: readonly [number, number]): Promise<[number, number]> {
  const pxPerMm = DPI / 25.4;
  return page
    .locator('svg.viewer-marks > g')
    .first()
    .evaluate(
      (layer, [cx, cy]) => {
        if (!(layer instanceof SVGGraphicsElement)) throw new Error('the marks are no SVG');
        const at = new DOMPoint(cx, cy).matrixTransform(layer.getScreenCTM() ?? undefined);
        return [at.x, at.y] satisfies [number, number];
      },
      [x * pxPerMm, y * pxPerMm] as const,
    );
}
