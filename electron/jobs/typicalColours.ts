/** Colours by which a built-in target is known again, whatever its maker or printer: for finding it, never for measuring. */
import { ISO_12641_LAYOUT } from '../../analysis/calibrate/builtIn/iso12641Layout.ts';
import { likelyColours } from '../../analysis/calibrate/card/likelyColours.ts';
import { WETLINE_CARD } from '../../analysis/calibrate/card/plan.ts';
import { labD50, type LabD50 } from '../../analysis/colour/lab.ts';
import type { KnownColours } from '../../analysis/locate/target/targetLayout.ts';
import { BUILT_IN_REFERENCES } from '../sheet/builtIn.ts';
import { parseReference } from '../sheet/reference.ts';

/** @param name of a built-in layout; null: nothing is known of it */
export function typicalColours(name: string): KnownColours | null {
  if (name === 'card') return likelyColours(WETLINE_CARD.layout);
  if (name === 'iso12641-1') return isoTarget();
  const reference = BUILT_IN_REFERENCES.get(name);
  return reference === undefined ? null : parseReference(reference.text, name);
}

/** Hues of the rows A to L, degrees, to the nearest ten or so; from memory, as all figures below. */
const ROW_HUES = [15, 40, 65, 90, 120, 160, 190, 230, 275, 300, 325, 350];
/** Columns 13 to 19, steps of one colourant each from light (A) to full (L): L*, C* and hue of the full one. */
const SCALES = [
  [50, 45, 235],
  [46, 65, 355],
  [85, 85, 95],
  [12, 0, 0],
  [44, 65, 35],
  [46, 55, 155],
  [24, 40, 290],
] as const;

/** Rows are hues; columns 1–12 three lightnesses of four chromas; 13–19 scales; 20–22 are the maker's and not known. */
function isoTarget(): KnownColours {
  const patches = new Map<string, { lab: LabD50 }>();
  for (const { id } of ISO_12641_LAYOUT.patches) {
    const grey = /^GS(\d+)$/.exec(id);
    if (grey) {
      patches.set(id, polar(93 - 3.5 * Number(grey[1]), 0, 0));
      continue;
    }
    const row = id.charCodeAt(0) - 65;
    const column = Number(id.slice(1));
    const hue = ROW_HUES[row];
    if (column <= 12) {
      // Yellows are light, blues dark.
      const tilt = Math.cos(((hue - 95) * Math.PI) / 180);
      const level = Math.floor((column - 1) / 4);
      const L = [24, 46, 68][level] + [10, 14, 10][level] * tilt;
      patches.set(id, polar(L, (50 - 0.5 * Math.abs(L - 50)) * ((1 + ((column - 1) % 4)) / 4), hue));
    } else if (column <= 19) {
      const [L, chroma, own] = SCALES[column - 13];
      const step = (row + 0.5) / 12;
      patches.set(id, polar(93 - (93 - L) * step, chroma * step, own));
    }
  }
  return { patches };
}

function polar(L: number, chroma: number, hueDeg: number): { lab: LabD50 } {
  const hue = (hueDeg * Math.PI) / 180;
  return { lab: labD50(L, chroma * Math.cos(hue), chroma * Math.sin(hue)) };
}
