/** On the strip itself: the origin and the front right across, and a short line at each band's crown. */
import type { Place } from './regionBoxes.ts';
import type { StripDrawing } from './stripPanel.ts';
import { cased, n } from './svg.ts';

const REACH = 10;
const TICK = 9;

/** @param own the strip's box on the page, points. */
export function stripMarks(strip: StripDrawing, own: Place, colour: string): string {
  const across = (mm: number, from: number, to: number): string => {
    const at = n(strip.from + mm * strip.pointsPerMm);
    return strip.standing ? `M${n(own.x + from)} ${at}H${n(own.x + to)}` : `M${at} ${n(own.y + from)}V${n(own.y + to)}`;
  };
  const width = strip.standing ? own.width : own.height;
  const lines = [strip.originMm, strip.frontMm]
    .map((mm) => (mm === null ? '' : across(mm, -REACH, width + REACH)))
    .join('');
  const ticks = strip.bands
    .map((b) => across(b.apexMm, -TICK / 2, TICK / 2) + across(b.apexMm, width - TICK / 2, width + TICK / 2))
    .join('');
  return cased(lines, colour, 1.2, 'stroke-dasharray="8 4"') + cased(ticks, colour, 1.6);
}
