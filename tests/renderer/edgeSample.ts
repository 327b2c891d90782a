/** Edges of a drawn line: a bar 10 px wide from (10, 20) to (50, 30), with one hair and a halo; drawn up, since only scans hold real ones. */
import type { EdgeDetail } from '../../electron/backend/api.ts';

export const edgeDetail: EdgeDetail = {
  edges: [{ points: [10, 20, 30, 20.25, 50, 20] }, { points: [10, 30, 50, 30] }],
  whiskers: [
    { from: [15, 20], to: [15, 30], widthMm: 0.85 },
    { from: [30, 20.25], to: [30, 30], widthMm: 0.83 },
    { from: [45, 20], to: [45, 30], widthMm: 0.86 },
  ],
  hairs: [{ from: [40, 30], to: [42, 34], lengthMm: 0.38 }],
  halo: { fromMm: 0, toMm: 0.2, lab: [80, 3, -8], paperLab: [94, 0, 1] },
  profile: {
    distanceMm: [-0.3, -0.1, 0, 0.1, 0.3],
    contrast: [0, 0.2, 0.5, 0.9, 1],
    fitted: [0, 0.18, 0.5, 0.91, 1],
    lab: [
      [94, 0, 1],
      [80, 3, -8],
      [62, 5, -12],
      [38, 9, -20],
      [34, 10, -22],
    ],
    scannedBlurMm: 0.19,
    blur70Mm: 0.11,
    scannerBlurMm: 0.086,
  },
};
