/** The target as it was found, in neutral lines beside its colours: its points, the part of each patch that was read, and the five patches that miss most. */
import type { Calibration, PatchResult, TargetLayout } from '../../analysis/calibrate/calibration.ts';
import { homography, mapPoint, type Point } from '../../analysis/raster/homography.ts';
import type { OverlayTask } from '../jobs/tasks.ts';
import { STRONG } from './card.ts';
import type { Place } from './regionBoxes.ts';
import { box, cased, circlePath, n, textCentred } from './svg.ts';
import { TONES } from './tones.ts';
import { textWidth } from './typeface.ts';

export type FoundTarget = NonNullable<OverlayTask['target']>;

const WORST = 5;
/** Patches are read in their inner 60 % (docs/measures.md, Calibration). */
const READ_SHARE = 0.6;

/** Of those that were judged. */
export function worstPatches({ patches }: Calibration): readonly PatchResult[] {
  return patches
    .filter((patch) => !isLeftOut(patch))
    .toSorted((a, b) => b.dE00LeftOut - a.dE00LeftOut)
    .slice(0, WORST);
}

/** Clipped or covered: no fit saw it. */
export function isLeftOut({ flags }: Pick<PatchResult, 'flags'>): boolean {
  return flags.includes('clipped') || flags.includes('covered');
}

/** @param toPage scan pixels → points of the page. */
export function targetMarks(
  { pointsPx, layout }: FoundTarget,
  calibration: Calibration,
  toPage: (p: Point) => Point,
  page: Place,
): string {
  const map = homography(layout.pointsMm, pointsPx);
  const at = (mm: Point): Point => toPage(mapPoint(map, mm));
  const read = layout.patches
    .map(({ boxMm: [x, y, w, h] }) => {
      const [dx, dy] = [(w * (1 - READ_SHARE)) / 2, (h * (1 - READ_SHARE)) / 2];
      const [left, top, right, bottom] = [x + dx, y + dy, x + w - dx, y + h - dy];
      return quad([at([left, top]), at([right, top]), at([right, bottom]), at([left, bottom])]);
    })
    .join('');
  const leftOut = new Set(calibration.patches.filter(isLeftOut).map(({ id }) => id));
  const crosses = layout.patches
    .filter(({ id }) => leftOut.has(id))
    .map(({ boxMm: [x, y, w, h] }) => {
      const line = (a: Point, b: Point): string => `M${at(a).map(n).join(' ')}L${at(b).map(n).join(' ')}`;
      return line([x, y], [x + w, y + h]) + line([x + w, y], [x, y + h]);
    })
    .join('');
  return (
    cased(read, TONES.text, 0.9) +
    (crosses === '' ? '' : cased(crosses, TONES.text, 1.2)) +
    layout.pointsMm.map((p) => pointMark(at, p, layout.fiducial?.radiusMm ?? null)).join('') +
    worstLabels(layout, worstPatches(calibration), at, page)
  );
}

/** Ring about a fiducial (or a cross alone on a grid's corner) and a cross on its middle. */
function pointMark(at: (mm: Point) => Point, [x, y]: Point, radiusMm: number | null): string {
  const [cx, cy] = at([x, y]);
  const cross = `M${n(cx - 7)} ${n(cy)}h14M${n(cx)} ${n(cy - 7)}v14`;
  if (radiusMm === null) return cased(cross, TONES.text, 1.2);
  const [rx, ry] = at([x + radiusMm, y]);
  // The cross lies on a dark disc, its ring on pale card.
  return cased(circlePath(cx, cy, Math.hypot(rx - cx, ry - cy) + 3), TONES.text, 1.2) + cased(cross, TONES.pale, 1.2);
}

function worstLabels(
  layout: TargetLayout,
  worst: readonly PatchResult[],
  at: (mm: Point) => Point,
  page: Place,
): string {
  return worst
    .map((patch) => {
      const found = layout.patches.find(({ id }) => id === patch.id);
      if (!found) return '';
      const [x, y, w, h] = found.boxMm;
      const [cx, cy] = at([x + w / 2, y + h / 2]);
      const words = patch.dE00LeftOut.toFixed(1);
      const width = textWidth(words, STRONG) + 12;
      const left = Math.max(page.x, Math.min(page.x + page.width - width, cx - width / 2));
      return (
        box(
          left - 1,
          cy - 12,
          width + 2,
          24,
          `rx="4" fill="${TONES.panel}" stroke="${TONES.text}" stroke-opacity="0.6"`,
        ) + textCentred(words, left + width / 2, cy + 5.5, STRONG, TONES.text)
      );
    })
    .join('');
}

function quad(corners: readonly Point[]): string {
  return `M${corners.map(([x, y]) => `${n(x)} ${n(y)}`).join('L')}Z`;
}
