/** A piece of a region at full size or larger, where one can see which pixels counted, and as what. */
import type { CompiledCalibration } from '../../analysis/calibrate/apply.ts';
import type { EdgeDetail } from '../../analysis/measure/edge/edgeDetail.ts';
import { INK_MARKS } from '../../analysis/measure/ink.ts';
import { REVERSE_MARKS } from '../../analysis/measure/showThrough/reverseInput.ts';
import type { BoxPx } from '../scans/readScan.ts';
import type { ScanInfo } from '../scans/scanInfo.ts';
import { readPart } from './ground.ts';
import type { Rgb } from '../../analysis/colour/shown.ts';
import { edgeShapes } from './edgeShapes.ts';
import { veilGhost } from './ghostVeil.ts';
import { bleedShapes, borderPath, hatchPath, isInk, type Marks, signPlaces, signShapes } from './markShapes.ts';
import { drawShapes, enlarged, type Picture } from './picture.ts';
import { cased, path } from './svg.ts';

export interface Inset {
  readonly picture: Picture;
  /** Where it was taken from, in scan pixels. */
  readonly boxPx: BoxPx;
  readonly times: number;
}

/** Width of what an inset shows, mm; the enlargement is the whole number that comes nearest. */
const SHOWS_MM = 11;

/** @param most the inset's size at most, px of the picture. */
export async function drawInset(
  scan: { readonly info: ScanInfo; readonly dpi: number; readonly calibration: CompiledCalibration },
  region: { readonly boxPx: BoxPx; readonly marks: Marks; readonly edge: EdgeDetail | null },
  { rgb, hex: colour }: { readonly rgb: Rgb; readonly hex: string },
  most: { readonly widthPx: number; readonly heightPx: number },
  lineScale: number,
): Promise<Inset> {
  const { marks, edge } = region;
  const times = Math.max(1, Math.round((most.widthPx * 25.4) / (SHOWS_MM * scan.dpi)));
  const widthPx = Math.min(marks.widthPx, Math.floor(most.widthPx / times));
  const heightPx = Math.min(marks.heightPx, Math.floor(most.heightPx / times));
  const [left, top] = tellingPlace(marks, widthPx, heightPx);
  const boxPx: BoxPx = [
    Math.floor(Math.max(0, region.boxPx[0])) + left,
    Math.floor(Math.max(0, region.boxPx[1])) + top,
    widthPx,
    heightPx,
  ];
  const part = await readPart(scan.info, boxPx, scan.dpi, scan.calibration);
  const markAt = (x: number, y: number): number =>
    x < 0 || y < 0 || x >= widthPx || y >= heightPx ? INK_MARKS.none : marks.data[(top + y) * marks.widthPx + left + x];
  const shown = Uint8Array.from({ length: widthPx * heightPx }, (_, i) => markAt(i % widthPx, Math.floor(i / widthPx)));
  veilGhost(part, { data: shown, columns: widthPx, rows: heightPx, fromX: 0, fromY: 0 }, scan.dpi / 25.4, rgb);
  const picture = enlarged(part, times);
  const perPoint = times / lineScale; // points of the drawing to a pixel of the scan
  const border = (is: (mark: number) => boolean): string =>
    borderPath((x, y) => is(markAt(x, y)), widthPx, heightPx, perPoint);
  const outline = edge
    ? edgeShapes(edge, { left, top, widthPx, heightPx }, perPoint, colour)
    : cased(border(isInk), colour, 1.1, 'stroke-linecap="round"');
  const shapes =
    outline +
    cased(
      border((mark) => mark === INK_MARKS.halo),
      colour,
      0.8,
      'stroke-dasharray="3 2.5"',
    ) +
    path(
      hatchPath(
        (x, y) => markAt(x, y) === INK_MARKS.doubleLayer,
        widthPx,
        heightPx,
        perPoint,
        Math.max(1, Math.round(7 / perPoint)),
      ),
      `fill="none" stroke="${colour}" stroke-width="1"`,
    ) +
    bleedShapes(marks, (x, y) => [(x - left) * perPoint, (y - top) * perPoint], perPoint, colour) +
    signShapes(
      signPlaces(
        (x, y) => markAt(Math.floor(x / perPoint), Math.floor(y / perPoint)),
        Math.floor(widthPx * perPoint),
        Math.floor(heightPx * perPoint),
        11,
        1,
      ),
      colour,
    );
  const { widthPx: w, heightPx: h } = picture;
  await drawShapes(picture, shapes, { left: 0, top: 0, widthPx: w, heightPx: h }, lineScale);
  return { picture, boxPx, times };
}

/** The window in which most of the classes are to be seen, and much ink. */
function tellingPlace(marks: Marks, widthPx: number, heightPx: number): [left: number, top: number] {
  const classes = [
    INK_MARKS.dark,
    INK_MARKS.light,
    INK_MARKS.doubleLayer,
    INK_MARKS.counted,
    INK_MARKS.sheen,
    INK_MARKS.halo,
    INK_MARKS.hair,
    REVERSE_MARKS.bleed,
    REVERSE_MARKS.behindCore,
  ] as const;
  const worth = [1, 1, 0.5, 0.8, 0.8, 0.4, 0.6, 1, 0.8];
  const counts = classes.map((mark) => runningSums(marks, mark));
  const step = Math.max(1, Math.round(heightPx / 6));
  const area = widthPx * heightPx;
  const enough = [0.02, 0.02, 0.005, 0.25, 0.01, 0.02, 0.005, 0.005, 0.1].map((share) => share * area);
  let best: [number, number] = [0, 0];
  let most = -1;
  for (let top = 0; top + heightPx <= marks.heightPx; top += step) {
    for (let left = 0; left + widthPx <= marks.widthPx; left += step) {
      const score = counts.reduce((sum, counted, i) => {
        const found = inWindow(counted, marks.widthPx, left, top, widthPx, heightPx);
        return sum + worth[i] * Math.min(1, found / enough[i]);
      }, 0);
      if (score > most) [most, best] = [score, [left, top]];
    }
  }
  return best;
}

/** How many pixels of a class lie above and left of (x, y); one row and column more than the marks. */
function runningSums({ data, widthPx, heightPx }: Marks, mark: number): Uint32Array {
  const sums = new Uint32Array((widthPx + 1) * (heightPx + 1));
  for (let y = 0; y < heightPx; y++) {
    let row = 0;
    for (let x = 0; x < widthPx; x++) {
      if (data[y * widthPx + x] === mark) row++;
      sums[(y + 1) * (widthPx + 1) + x + 1] = sums[y * (widthPx + 1) + x + 1] + row;
    }
  }
  return sums;
}

function inWindow(sums: Uint32Array, widthPx: number, left: number, top: number, w: number, h: number): number {
  const at = (x: number, y: number): number => sums[y * (widthPx + 1) + x];
  return at(left + w, top + h) - at(left, top + h) - at(left + w, top) + at(left, top);
}
