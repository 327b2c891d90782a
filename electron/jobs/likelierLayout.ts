/** Which built-in target lies in a scan in which the chosen one was not found. */
import type { TargetLayout } from '../../analysis/calibrate/calibration.ts';
import type { ColourRaster } from '../../analysis/locate/target/colourRaster.ts';
import { searchTarget } from '../../analysis/locate/target/searchTarget.ts';
import { BUILT_IN_LAYOUTS } from '../sheet/builtIn.ts';
import { typicalColours } from './typicalColours.ts';

/** @param small The scan, `factor` times smaller. @returns a sentence that names the likelier one, or null */
export function likelierLayout(small: ColourRaster, factor: number, chosen: TargetLayout): string | null {
  let best: { readonly name: string; readonly title: string; readonly score: number } | null = null;
  for (const [name, layout] of BUILT_IN_LAYOUTS) {
    if (layout.name === chosen.name) continue;
    const typical = typicalColours(name);
    if (typical === null) continue;
    const seen = searchTarget(small, factor, layout, typical);
    if ('problem' in seen) continue;
    if (best === null || seen.score > best.score) best = { name, title: layout.name, score: seen.score };
  }
  return best === null ? null : `It looks like the layout "${best.name}" (${best.title}): choose that one if it is.`;
}
