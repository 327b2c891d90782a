/** The printed card, read back from the PDF's own drawing: sizes, places, colours, and that the program finds and reads it. */
import { describe, expect, test } from 'vitest';
import { likelyColours } from '../../analysis/calibrate/card/likelyColours.ts';
import { CARD_PLACES, WETLINE_CARD } from '../../analysis/calibrate/card/plan.ts';
import { edgeBlur } from '../../analysis/locate/slantedEdge.ts';
import { homography } from '../../analysis/raster/homography.ts';
import { cardOrigin, cardPdf, SHEETS } from '../../electron/card/cardPdf.ts';
import { readPatches, readSurround } from '../calibrate/readWhole.ts';
import { locateDrawn } from '../locate/locateDrawn.ts';
import { type PdfPage, rasterise, readPdf } from './readPdf.ts';

/** Device value of bare paper. */
const PAPER = 0.92;

const pages = new Map<string, PdfPage>();
async function pageOf(size: 'a4' | 'letter'): Promise<PdfPage> {
  const known = pages.get(size) ?? readPdf(await cardPdf(size));
  pages.set(size, known);
  return known;
}

describe.each(['a4', 'letter'] as const)('%s', (size) => {
  test('the sheet, and everything on it within what printers reach', async () => {
    const page = await pageOf(size);
    expect(page.widthMm).toBeCloseTo(SHEETS[size][0], 3);
    expect(page.heightMm).toBeCloseTo(SHEETS[size][1], 3);
    const points = [...page.fills.flatMap((f) => f.outlines.flat()), ...page.strokes.flatMap((s) => [s.from, s.to])];
    for (const [x, y] of points) {
      expect(x).toBeGreaterThan(6);
      expect(x).toBeLessThan(page.widthMm - 6);
      expect(y).toBeGreaterThan(12);
      expect(y).toBeLessThan(page.heightMm - 12);
    }
    for (const { at } of page.texts) expect(at[1]).toBeLessThan(page.heightMm - 12);
  });

  test('the scale is 50 mm from the middle of its first tick to that of its last', async () => {
    const { strokes } = await pageOf(size);
    const [x0, y0] = cardOrigin(size);
    const y = y0 + CARD_PLACES.scaleFromMm[1];
    const near = (a: number, b: number): boolean => Math.abs(a - b) < 1e-3;
    const line = strokes.filter((s) => near(s.from[1], y) && near(s.to[1], y));
    expect(line).toHaveLength(1);
    expect(line[0].to[0] - line[0].from[0]).toBeCloseTo(50, 4);
    const ticks = strokes.filter((s) => near(s.from[0], s.to[0]) && near(s.to[1], y)).map((s) => s.from[0]);
    expect(ticks).toHaveLength(11);
    expect(Math.max(...ticks) - Math.min(...ticks)).toBeCloseTo(50, 4);
    expect(Math.min(...ticks)).toBeCloseTo(x0 + CARD_PLACES.scaleFromMm[0], 4);
  });

  test('patches lie where the layout says, in the device colours of the plan and in no profile', async () => {
    const { fills, spaces } = await pageOf(size);
    expect([...spaces]).toEqual(['/DeviceRGB']);
    const [x0, y0] = cardOrigin(size);
    WETLINE_CARD.layout.patches.forEach(({ id, boxMm: [x, y, w, h] }, i) => {
      const [corner, , opposite] = fills[i].outlines[0];
      expect(corner[0]).toBeCloseTo(x0 + x, 4);
      expect(corner[1]).toBeCloseTo(y0 + y, 4);
      expect(opposite[0]).toBeCloseTo(x0 + x + w, 4);
      expect(opposite[1]).toBeCloseTo(y0 + y + h, 4);
      for (let c = 0; c < 3; c++) expect(fills[i].rgb[c]).toBeCloseTo(WETLINE_CARD.patches.get(id)![c], 9);
    });
  });

  test('same bytes every time', async () => {
    expect(Buffer.compare(await cardPdf(size), await cardPdf(size))).toBe(0);
  });
});

describe('drawn as a printer would', () => {
  test('the finder finds it and the device colours come back', async () => {
    const dpi = 150;
    const page = await pageOf('a4');
    const [x0, y0] = cardOrigin('a4');
    const { marginMm, widthMm, heightMm } = CARD_PLACES;
    const scan = rasterise(page, [x0 - marginMm - 6, y0 - marginMm - 6, widthMm + 12, heightMm + 12], dpi, PAPER);
    const { layout } = WETLINE_CARD;
    const found = locateDrawn(scan, layout, likelyColours(layout));
    if ('problem' in found) throw new Error(found.problem);
    const pxPerMm = dpi / 25.4;
    found.pointsPx.forEach(([x, y], k) => {
      const [u, v] = layout.pointsMm[k];
      expect(Math.abs(x / pxPerMm - (u + marginMm + 6))).toBeLessThan(0.02);
      expect(Math.abs(y / pxPerMm - (v + marginMm + 6))).toBeLessThan(0.02);
    });
    expect(found.score).toBeGreaterThan(0.8);
    const toPx = homography(layout.pointsMm, found.pointsPx);
    for (const { id, device, sd } of readPatches(scan, layout, toPx)) {
      const asked = WETLINE_CARD.patches.get(id)!;
      for (let c = 0; c < 3; c++) expect(Math.abs(device[c] - PAPER * asked[c]), id).toBeLessThan(1 / 255 / 2);
      expect(Math.max(...sd), id).toBeLessThan(1e-6);
    }
    // Bare card all over, for the light: none of its blocks holds words, lines or patches.
    const bare = readSurround(scan, layout, toPx);
    expect(bare.length).toBeGreaterThan(100);
    for (const { device } of bare) expect(Math.max(...device.map((v) => Math.abs(v - PAPER)))).toBeLessThan(0.002);
    const linear = Float32Array.from(scan.data, (v) => v / 255);
    const blur = edgeBlur(
      { ...scan, data: linear, clipped: new Uint8Array(scan.widthPx * scan.heightPx) },
      CARD_PLACES.edgeBoxMm,
      toPx,
    );
    // Nothing blurred it but the pixels, squares one wide.
    expect(blur!.sigmaPx).toBeGreaterThan(0.2);
    expect(blur!.sigmaPx).toBeLessThan(0.4);
  });
});
