/** Pictures of samples at one scale: how large, how fine, and where they come from. Pure. */
import type { SheetRegion, WorkScan } from '../../electron/backend/api.ts';
import { thumbnailUrl } from '../api/client.ts';
import { boxPxOf } from '../findings/scan/regionBox.ts';

/** mm a CSS px, coarse to fine. A CSS px is 0.26 mm on paper: the middle one enlarges about four times. */
export const SCALES = [0.16, 0.08, 0.04] as const;
export const USUAL_SCALE: (typeof SCALES)[number] = 0.08;

/** CSS px. Every cell has the same, so that the eye compares like with like. */
export interface PictureSize {
  readonly width: number;
  readonly height: number;
}
/** The least that shows a few letters. */
export const PICTURE: PictureSize = { width: 160, height: 80 };
/** Two rows of these stand in a window of 1440 px. */
const WIDEST = 768;
const STEP = 16;
/** What a row's heading takes, and a cell beside its picture, CSS px. */
const HEADING = 145;
const BESIDE = 26;

/** Pictures that fill a grid of so many columns, in steps. @param room CSS px */
export function pictureIn(room: number, columns: number): PictureSize {
  const each = (room - HEADING) / Math.max(1, columns) - BESIDE;
  const steps = Math.floor((Math.min(each, WIDEST) - PICTURE.width) / STEP);
  const width = PICTURE.width + STEP * Math.max(0, steps);
  return { width, height: width / 2 };
}

/** Beside the grid, CSS px: the usual one of a browser. */
const SCROLLBAR = 15;

/** The same as a CSS length, of a grid as wide as the window: what the first frame is laid out with, before the room is known. */
export function pictureInWindow(columns: number): string {
  const { width } = PICTURE;
  const each = `(100vw - ${HEADING + SCROLLBAR}px) / ${Math.max(1, columns)} - ${BESIDE}px`;
  return `calc(${width}px + max(0px, round(down, min(${each}, ${WIDEST}px) - ${width}px, ${STEP}px)))`;
}

/** A length that reads well beside the pictures, mm, with its size in CSS px. */
export function scaleBar(mmPerPx: number): { readonly mm: number; readonly px: number } {
  const mm = [1, 2, 5, 10, 20].findLast((length) => length / mmPerPx <= 90) ?? 1;
  return { mm, px: mm / mmPerPx };
}

/** Null: no scale is known, or the region has no place of its own. @param density of the screen: dots a CSS px */
export function thumbnailOf(
  ink: number,
  scan: Pick<WorkScan, 'id' | 'dpi' | 'colours' | 'problem'>,
  region: SheetRegion,
  mmPerPx: number,
  size: PictureSize,
  density: number,
): string | null {
  const { dpi } = scan;
  const box = dpi === null ? null : boxPxOf(region, dpi);
  if (box === null || scan.problem !== null) return null;
  const dots = density > 1 ? 2 : 1;
  const [x, y, width, height] = box.map((v) => Math.round(v));
  return thumbnailUrl(
    ink,
    scan.id,
    scan.colours.key,
    { x, y, width, height },
    {
      mmPerPixel: mmPerPx / dots,
      columns: size.width * dots,
      rows: size.height * dots,
    },
  );
}

export function nextScale(mmPerPx: number, by: 1 | -1): number {
  const at = SCALES.findIndex((scale) => scale === mmPerPx);
  return SCALES[Math.min(SCALES.length - 1, Math.max(0, (at < 0 ? SCALES.indexOf(USUAL_SCALE) : at) + by))];
}

export function scaleIn(text: string | undefined): number {
  return SCALES.find((scale) => String(scale) === text) ?? USUAL_SCALE;
}
