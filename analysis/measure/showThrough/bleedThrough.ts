/** Places where the ink came through: as dark on the reverse as at least a third of the front. */
import { components } from '../../raster/components.ts';
import { distanceToInside } from '../../raster/distance.ts';
import { REVERSE_MARKS } from './reverseInput.ts';

export interface Bleed {
  readonly dots: number;
  /** Dots whose being one hangs on noise: nearly too small or too pale, or the like that was not counted. */
  readonly doubtful: number;
  readonly areaMm2: number;
  readonly areaU: number;
  /** 1 where a dot lies, its rim included: no ghost is read there. */
  readonly mask: Uint8Array;
}

/** Of the front's density: what counts as come through (docs/measures.md, `bleedThrough`). */
const SHARE_OF_FRONT = 1 / 3;
/** A smaller dot is a fleck of paper or noise, mm². */
const LEAST_MM2 = 0.03;
/** A dot may lie so far outside the line that it came from, mm. */
const BESIDE_MM = 0.25;
/** So far about a dot, counted from its own runs, lies what blur moved out of it. Tried on drawn pages, 0.09 to 0.2 mm. */
const RIM_MM = 0.17;
/** What a dot's area is off by, each by itself and all of a page alike: blur, and what counts as a dot's own darkness. Seeds 401–428 of study/backPages.ts. */
const AREA_SHARE = 0.06;
const COMMON_SHARE = 0.015;

/**
 * @param ratio Y over that of the paper near, per pixel. @param marks REVERSE_MARKS per pixel
 * @param frontDensity log10(Y of paper / Y of ink) on the front
 */
export function bleedThrough(
  ratio: Float32Array,
  marks: Uint8Array,
  widthPx: number,
  heightPx: number,
  dpi: number,
  frontDensity: number,
): Bleed {
  const pxPerMm = dpi / 25.4;
  const limit = 10 ** (-SHARE_OF_FRONT * frontDensity);
  const inked = { data: new Uint8Array(marks.length), widthPx, heightPx };
  for (let i = 0; i < marks.length; i++) if (marks[i] >= REVERSE_MARKS.behindInk) inked.data[i] = 1;
  const away = distanceToInside(inked);
  const dark = { data: new Uint8Array(marks.length), widthPx, heightPx };
  for (let i = 0; i < ratio.length; i++) if (ratio[i] <= limit && away[i] <= BESIDE_MM * pxPerMm) dark.data[i] = 1;
  const around = median(ratio, inked.data, dark.data);
  const mask = new Uint8Array(marks.length);
  let dots = 0;
  let doubtful = 0;
  let areaMm2 = 0;
  let variance = 0;
  for (const piece of components(dark)) {
    const own = areaOf(ratio, piece, widthPx, heightPx, around, pxPerMm);
    const mm2 = own.areaPx / pxPerMm ** 2;
    const nearlyNone = mm2 < 1.5 * LEAST_MM2 || own.darkest > limit / 1.06;
    if (mm2 < LEAST_MM2) {
      if (mm2 > 0.7 * LEAST_MM2) doubtful++;
      continue;
    }
    dots++;
    if (nearlyNone) doubtful++;
    areaMm2 += mm2;
    variance += (AREA_SHARE * mm2) ** 2;
    for (const i of own.pixels) mask[i] = 1;
  }
  return { dots, doubtful, areaMm2, areaU: Math.hypot(Math.sqrt(variance), COMMON_SHARE * areaMm2), mask };
}

/** Share of the dot's own darkness, pixel by pixel, added up over it and its blurred rim: blur moves light about and takes none away. */
function areaOf(
  ratio: Float32Array,
  { x0, x1, y0, y1, runs }: ReturnType<typeof components>[number],
  widthPx: number,
  heightPx: number,
  around: number,
  pxPerMm: number,
): { areaPx: number; darkest: number; pixels: number[] } {
  const inside: number[] = [];
  for (let k = 0; k < runs.length; k += 3) {
    for (let x = runs[k + 1]; x <= runs[k + 2]; x++) inside.push(ratio[runs[k] * widthPx + x]);
  }
  inside.sort((a, b) => a - b);
  const few = Math.max(1, Math.floor(0.2 * inside.length));
  const darkest = inside.slice(0, few).reduce((a, b) => a + b, 0) / few;
  const rim = Math.max(2, Math.round(RIM_MM * pxPerMm));
  const w = x1 - x0 + 1 + 2 * rim;
  const h = y1 - y0 + 1 + 2 * rim;
  const near = new Uint8Array(w * h);
  for (let k = 0; k < runs.length; k += 3) {
    const y = runs[k] - y0 + rim;
    for (let dy = -rim; dy <= rim; dy++) {
      near.fill(1, (y + dy) * w + runs[k + 1] - x0, (y + dy) * w + runs[k + 2] - x0 + 2 * rim + 1);
    }
  }
  let areaPx = 0;
  const pixels: number[] = [];
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      const px = x + x0 - rim;
      const py = y + y0 - rim;
      if (!near[y * w + x] || px < 0 || py < 0 || px >= widthPx || py >= heightPx) continue;
      const i = py * widthPx + px;
      pixels.push(i);
      const share = (around - ratio[i]) / Math.max(1e-3, around - darkest);
      if (Number.isFinite(share)) areaPx += Math.min(1, Math.max(0, share));
    }
  }
  return { areaPx, darkest, pixels };
}

/** Of what lies behind ink and is not dark itself; 1 when nothing is left. */
function median(ratio: Float32Array, inked: Uint8Array, dark: Uint8Array): number {
  const values: number[] = [];
  for (let i = 0; i < ratio.length; i += 3) if (inked[i] && !dark[i] && ratio[i] > 0) values.push(ratio[i]);
  values.sort((a, b) => a - b);
  return values.length < 20 ? 1 : values[values.length >> 1];
}
