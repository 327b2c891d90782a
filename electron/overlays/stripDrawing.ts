/** What a measured strip gives to draw, told along the page. */
import type { Band } from '../../analysis/measure/strip/measureStrip.ts';
import type { OverlayRegion } from '../jobs/tasks.ts';
import { bandsOf } from './stripCard.ts';
import type { StripDrawing } from './stripPanel.ts';

/** @param pointsPerPx of the page. @returns null when the region is no strip, or none that could be read. */
export function stripDrawing(
  region: OverlayRegion,
  number: number,
  dpi: number,
  pointsPerPx: number,
): StripDrawing | null {
  const strip = region.result?.strip;
  if (!strip || strip.profile.positionMm.length < 2) return null;
  const [x, y, width, height] = region.boxPx;
  const standing = height >= width;
  const findings = bandsOf(strip.quantities);
  return {
    number,
    id: region.id,
    standing,
    placeMm: Array.from(strip.profile.positionMm),
    absorbance: strip.profile.absorbance,
    fitted: strip.profile.fitted,
    bands: strip.bands.flatMap((band) => {
      const found = findings.find((f) => f.band === band.number);
      return found ? { ...found, apexMm: band.apexMm, alone: highestOf(band.alone) } : [];
    }),
    originMm: strip.originMm,
    frontMm: strip.frontMm,
    from: Math.max(0, standing ? y : x) * pointsPerPx,
    pointsPerMm: (pointsPerPx * dpi) / 25.4,
  };
}

function highestOf([red, green, blue]: Band['alone']): Float64Array {
  return red.map((r, i) => Math.max(r, green[i], blue[i]));
}
