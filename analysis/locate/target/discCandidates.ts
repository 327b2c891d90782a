/** Everything in a scan that could be a dark disc of a known radius on light card. */
import { components } from '../../raster/components.ts';
import { greyAt, type GreyRaster } from '../greyRaster.ts';
import { median } from '../../quantile.ts';

export interface DiscCandidate {
  readonly x: number;
  readonly y: number;
  /** Light of the middle between disc and surround, 0 as dark as the disc, 1 as light as the surround. */
  readonly eye: number;
  /** Lightness step from disc to surround, 0..1. */
  readonly contrast: number;
}

/** Levels between the scan's dark and light at which dark pieces are looked for: a disc stands alone at several of them. */
const LEVELS = [0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8];
/** Printers and dpi entries are off by a few per cent; blur and threshold add some. */
const SIZE_TOLERANCE = 0.25;
const ASPECT = 1.25;
/** Share of the directions in which the disc must be dark and its surround light. */
const ROUND_SHARE = 0.8;
const DIRECTIONS = 48;
const LEAST_CONTRAST = 0.12;

/** @param radiusPx of the disc and @param eyePx of the light eye that one of them may have */
export function discCandidates(scan: GreyRaster, radiusPx: number, eyePx: number): DiscCandidate[] {
  const [dark, light] = extremes(scan.grey);
  if (light - dark < LEAST_CONTRAST) return [];
  const found: DiscCandidate[] = [];
  const mask = new Uint8Array(scan.grey.length);
  for (const level of LEVELS) {
    const limit = dark + level * (light - dark);
    for (let i = 0; i < mask.length; i++) mask[i] = scan.grey[i] < limit ? 1 : 0;
    for (const piece of components({ data: mask, widthPx: scan.widthPx, heightPx: scan.heightPx })) {
      const width = piece.x1 - piece.x0 + 1;
      const height = piece.y1 - piece.y0 + 1;
      const size = (width + height) / (4 * radiusPx);
      if (Math.abs(size - 1) > SIZE_TOLERANCE) continue;
      if (Math.max(width, height) > ASPECT * Math.min(width, height) + 1) continue;
      const share = piece.area / ((Math.PI / 4) * width * height);
      // A full disc fills its box's ellipse; with the eye open it lacks (eye/radius)² of it.
      if (share < 0.85 * (1 - 1.3 * (eyePx / radiusPx) ** 2) || share > 1.12) continue;
      const candidate = judge(
        scan,
        (piece.x0 + piece.x1 + 1) / 2,
        (piece.y0 + piece.y1 + 1) / 2,
        radiusPx * size,
        eyePx,
      );
      if (candidate !== null) keepBest(found, candidate, radiusPx);
    }
  }
  return found;
}

/** Looks round the circle: dark within, light without, in nearly all directions. */
function judge(scan: GreyRaster, x: number, y: number, radiusPx: number, eyePx: number): DiscCandidate | null {
  const within: number[] = [];
  const without: number[] = [];
  const inner = Math.max(0.75 * radiusPx, Math.min(radiusPx - 1.5, (radiusPx + eyePx) / 2));
  for (let k = 0; k < DIRECTIONS; k++) {
    const angle = (2 * Math.PI * k) / DIRECTIONS;
    const at = (radius: number): number => greyAt(scan, x + radius * Math.cos(angle), y + radius * Math.sin(angle));
    within.push(at(inner));
    without.push(at(1.25 * radiusPx + 1));
  }
  const dark = median(within);
  const light = median(without);
  const contrast = light - dark;
  if (contrast < LEAST_CONTRAST) return null;
  const middle = (light + dark) / 2;
  const fits = within.filter((value, k) => value < middle && without[k] > middle).length;
  if (fits < ROUND_SHARE * DIRECTIONS) return null;
  let eye = 0;
  const spots = 8;
  for (let k = 0; k < spots; k++) {
    const angle = (2 * Math.PI * k) / spots;
    eye += greyAt(scan, x + 0.3 * eyePx * Math.cos(angle), y + 0.3 * eyePx * Math.sin(angle)) / spots;
  }
  return { x, y, contrast, eye: (eye - dark) / contrast };
}

/** The same disc shows at several levels; the one with the clearest step stands for all. */
function keepBest(found: DiscCandidate[], candidate: DiscCandidate, radiusPx: number): void {
  const same = found.findIndex((other) => Math.hypot(other.x - candidate.x, other.y - candidate.y) < radiusPx);
  if (same < 0) found.push(candidate);
  else if (candidate.contrast > found[same].contrast) found[same] = candidate;
}

/** Dark and light of the scan: the 0.5th and 99.5th percentile, from a histogram. */
function extremes(grey: Float32Array): [dark: number, light: number] {
  const bins = new Uint32Array(1024);
  for (const value of grey) bins[Math.min(1023, Math.max(0, Math.floor(value * 1024)))]++;
  const cut = 0.005 * grey.length;
  let dark = 0;
  for (let sum = bins[0]; sum < cut && dark < 1023;) sum += bins[++dark];
  let light = 1023;
  for (let sum = bins[1023]; sum < cut && light > 0;) sum += bins[--light];
  return [dark / 1024, (light + 1) / 1024];
}
