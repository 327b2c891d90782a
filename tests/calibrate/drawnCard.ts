/** A made-up target drawn exactly: every edge is a Gaussian-blurred step at a known place. Made for these tests. */
import type { TargetLayout } from '../../analysis/calibrate/calibration.ts';
import type { Point } from '../../analysis/raster/homography.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { stepShare } from './canvas.ts';

export const smallLayout: TargetLayout = {
  format: 'wetline-target/1',
  name: 'drawn card',
  pointsMm: [
    [0, 0],
    [44, 0],
    [44, 26],
    [0, 26],
  ],
  fiducial: { shape: 'disc', radiusMm: 2, eyeMm: 0.8 },
  patches: Array.from({ length: 18 }, (_, i) => ({
    id: `P${i + 1}`,
    boxMm: [4 + 6.2 * (i % 6), 4.5 + 6.2 * Math.floor(i / 6), 4.2, 4.2] as const,
    grey: i < 6,
  })),
};

/** The same in small, for high resolutions. */
export const tinyLayout: TargetLayout = {
  ...smallLayout,
  pointsMm: [
    [0, 0],
    [18, 0],
    [18, 11],
    [0, 11],
  ],
  patches: [{ id: 'P1', boxMm: [7, 3.5, 4, 4], grey: true }],
};

export interface Drawing {
  readonly dpi: number;
  readonly turnDeg?: number;
  readonly mirrored?: boolean;
  /** Lightness of the bed around the card, 0..1. */
  readonly bed?: number;
  readonly disc?: number;
  /** Standard deviation of the blur, px. */
  readonly blurPx?: number;
  readonly noise?: number;
  /** Discs drawn, by number. */
  readonly discs?: readonly number[];
  /** Dark things beside the card and on it, in layout mm: x, y, radius, and how many corners (0: round). */
  readonly blobs?: readonly (readonly [number, number, number])[];
  /** Middles of the cards, mm of the scan; one unless told. */
  readonly centresMm?: readonly Point[];
  readonly sizeMm?: Point;
  /** Value of a patch, 0..1; left out: a ramp. */
  readonly patch?: (index: number) => number;
}

export interface DrawnScan {
  readonly grey: Float32Array;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly dpi: number;
  /** True places of the layout's points of the first card, px. */
  readonly pointsPx: readonly Point[];
  readonly toPx: (mm: Point) => Point;
}

const CARD_MARGIN = 4;

export function drawCard(layout: TargetLayout, drawing: Drawing): DrawnScan {
  const { dpi, bed = 0.97, disc = 0.18, blurPx = 0.7, noise = 0 } = drawing;
  const pxPerMm = dpi / 25.4;
  const size = drawing.sizeMm ?? [64, 64];
  const widthPx = Math.round(size[0] * pxPerMm);
  const heightPx = Math.round(size[1] * pxPerMm);
  const turn = ((drawing.turnDeg ?? 0) * Math.PI) / 180;
  const middle: Point = [layout.pointsMm[2][0] / 2, layout.pointsMm[2][1] / 2];
  const flip = drawing.mirrored === true ? -1 : 1;
  const centres = drawing.centresMm ?? [[size[0] / 2 + 0.137, size[1] / 2 - 0.211]];
  const random = seededRandom(7);
  const grey = new Float32Array(widthPx * heightPx);
  const cover = (insideMm: number): number => stepShare((insideMm * pxPerMm) / blurPx);
  const shown = drawing.discs ?? [0, 1, 2, 3];
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      let value = bed;
      for (const centre of centres) {
        const dx = (x + 0.5) / pxPerMm - centre[0];
        const dy = (y + 0.5) / pxPerMm - centre[1];
        const u = flip * (Math.cos(turn) * dx + Math.sin(turn) * dy) + middle[0];
        const v = -Math.sin(turn) * dx + Math.cos(turn) * dy + middle[1];
        const onCard =
          cover(u + CARD_MARGIN) *
          cover(2 * middle[0] + CARD_MARGIN - u) *
          cover(v + CARD_MARGIN) *
          cover(2 * middle[1] + CARD_MARGIN - v);
        value += (0.93 - value) * onCard;
        layout.patches.forEach(({ boxMm: [bx, by, bw, bh] }, i) => {
          if (u < bx - 1 || v < by - 1 || u > bx + bw + 1 || v > by + bh + 1) return;
          const level = drawing.patch?.(i) ?? 0.1 + (0.8 * i) / layout.patches.length;
          value += (level - value) * cover(u - bx) * cover(bx + bw - u) * cover(v - by) * cover(by + bh - v);
        });
        layout.pointsMm.forEach(([px, py], i) => {
          const distance = Math.hypot(u - px, v - py);
          if (distance > 4 || !shown.includes(i) || layout.fiducial === undefined) return;
          const eye = i === 0 ? cover(layout.fiducial.eyeMm - distance) : 0;
          value += (disc - value) * cover(layout.fiducial.radiusMm - distance) * (1 - eye);
        });
        for (const [bx, by, radius] of drawing.blobs ?? []) {
          value += (0.15 - value) * cover(radius - Math.hypot(u - bx, v - by));
        }
      }
      grey[y * widthPx + x] = value + noise * (random() + random() + random() - 1.5);
    }
  }
  const [cx, cy] = centres[0];
  const toPx = ([u, v]: Point): Point => {
    const du = flip * (u - middle[0]);
    const dv = v - middle[1];
    return [
      (cx + Math.cos(turn) * du - Math.sin(turn) * dv) * pxPerMm,
      (cy + Math.sin(turn) * du + Math.cos(turn) * dv) * pxPerMm,
    ];
  };
  return { grey, widthPx, heightPx, dpi, pointsPx: layout.pointsMm.map(toPx), toPx };
}
