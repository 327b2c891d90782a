/** How each quantity is measured, in a line; docs/measures.md has the whole of it. */
import type { Quantity, QuantityName } from '../quantity.ts';
import { unitMark } from './titles.ts';
import { fixed } from './valueText.ts';
import { listed } from './words.ts';

export const METHOD_LINES: Readonly<Record<QuantityName, string>> = {
  paperColour: 'mean colour of the marked box, averaged as light',
  paperTexture: 'scatter of lightness between squares of half a millimetre',
  inkColour: 'mean colour of the counted ink: without edges and without places that the pen passed twice',
  'inkColour.hue': 'angle of the mean colour in the a*b* plane',
  'inkColour.chroma': 'distance of the mean colour from grey in the a*b* plane',
  inkDensity: 'logarithm of the paper’s light over the ink’s light',
  shading: 'dark and light tenth of the counted pixels',
  'shading.dL': 'lightness of the light tenth minus that of the dark tenth of the counted pixels',
  'shading.dHue': 'hue of the light tenth minus that of the dark tenth of the counted pixels',
  nibShading: 'mean colours of two nibs on one paper',
  swabVariation: 'dark and light tenth of the swab at the scale of a millimetre',
  'swabVariation.dL': 'lightness of the light tenth minus that of the dark tenth of the swab',
  layering: 'mean colour where strokes cross, against a single pass of the same strokes',
  lineWidth: 'mean distance between the two edges, each at half the fall from paper to ink',
  'lineWidth.sd': 'standard deviation of the width along the lines',
  'lineWidth.at60': 'the same with the edges where ISO 13660 puts them: at 60 % of the fall',
  spread: 'width of the line over the nib’s own width, minus one',
  raggedness: 'standard deviation of the edge about its own smooth path',
  feathering: 'how far the 95th percentile of the edge’s outward excursions reaches: the length of the hairs',
  'feathering.hairs': 'hairs for each centimetre of edge',
  edgeBlur: 'distance from 10 to 90 % of the fall across the edge, the scanner’s own blur taken off',
  halo: 'width of a ring beyond the edge that is neither paper nor ink, from the mean profile across the edge',
  'halo.dE': 'colour of the ring against the bare paper',
  'halo.hue': 'hue of what the ring adds to the paper',
  sheen: 'share of the densest ink that leaves the ink’s own thin-to-thick path toward another hue',
  pathDistance: 'colour of the sample against the nearest one on the thin-to-thick path of the other samples',
  ghosting: 'lightness of the reverse’s bare paper minus that behind the lines’ middle thirds, next to each other',
  'ghosting.printThrough': 'logarithm of bare paper’s light over the light behind the lines',
  bleedThrough: 'share of the inked area whose reverse has at least a third of the front’s density',
  'bleedThrough.dots': 'dots on the reverse of at least a third of the front’s density',
  'bleedThrough.area': 'area of these dots together',
  'bleedThrough.next': 'dots on the sheet that lay under, where the writing lay over it',
  'bleedThrough.nextArea': 'area of the dots on the sheet that lay under',
  film: 'reflectance and transmittance of the ink’s layer in three channels, from its colours on two grounds or more',
  contrastRatio: 'light of the ink over the printed black bar over that of the ink over white paper',
  'contrastRatio.predicted': 'the layer’s light over perfect black over its light over white of 0.89',
  hiding: 'one minus the difference of the ink on two papers over that of the papers themselves',
  'hiding.predicted':
    'one minus the layer’s foretold change between the palest of its papers and this one, over the papers’ own',
  predictedColour: 'the fitted layer laid on this paper’s own reflectance',
  'predictedColour.error': 'the colour foretold from the other papers against the one that was measured',
  toneShift: 'mean colours on two papers, both against the same white',
  'toneShift.adapted': 'mean colours on two papers, each against its own paper as the white',
  'toneShift.dL': 'lightness on the other paper minus that on the paler one',
  'toneShift.dC': 'chroma on the other paper minus that on the paler one',
  'toneShift.dHue': 'hue on the other paper minus that on the paler one',
  absorption: 'one absorption curve fitted to all doses on their papers',
  doseCurve: 'colours of the fitted film from the palest to the densest dose on this paper',
  fitQuality: 'squares of what the film leaves of all signals, over what is expected of them',
  bandPosition: 'the band’s apex between origin and solvent front',
  'bandPosition.centroid': 'the band’s centre of gravity between origin and solvent front',
  bandWidth: 'full width of the band alone at half its height',
  bandTail: 'flank towards the origin over flank towards the front, at a tenth of the height',
  bandColour: 'the band’s own colour at its apex, its neighbours taken away, on the strip’s paper',
  bandShare:
    'the band’s part of all darkening along the strip, origin included; darkness to the eye, not weight of dye',
  bandResolution: 'distance of two apexes over the mean of their widths at the base',
  originRetained: 'the part of all darkening that did not leave the origin',
  runShift: 'R_F of the dried strip’s band minus that of the fresh one’s',
  'runShift.share': 'share in the dried strip minus share in the fresh one',
  'runShift.originRetained': 'share kept at the origin, dried minus fresh',
  'runShift.front': 'distance from origin to front, dried minus fresh',
  frontSpeed: 'distance from origin to front over the square root of the run’s time',
  'frontSpeed.line': 'slope of the fronts’ distances against the square roots of their times',
};

/** 'dark and light tenth of the counted pixels, method shading/1' */
export function methodLine({ quantity, method }: Pick<Quantity, 'quantity' | 'method'>): string {
  return `${METHOD_LINES[quantity]}, method ${method}`;
}

/** 'below 1 none, below 2.5 faint, …' is the settings' business; here the limits alone, as the verdict used them. '' without. */
export function limitsLine({ verdict, limits, unit }: Pick<Quantity, 'verdict' | 'limits' | 'unit'>): string {
  if (verdict === undefined || limits === undefined || limits.length === 0) return '';
  const numbers = limits.map((limit) => fixed(limit, String(limit).split('.')[1]?.length ?? 0));
  const mark = unitMark(unit);
  return `the word “${verdict}” goes by limits at ${listed(numbers)}${mark === '' ? '' : ` ${mark}`}`;
}

/** ΔE00 was fitted to small differences; null where that does not matter. */
export function caveatOf({ unit, value }: Pick<Quantity, 'unit' | 'value'>): string | null {
  if (unit !== 'ΔE00' || typeof value !== 'number' || value <= 5) return null;
  return 'ΔE00 was fitted to differences below about 5; beyond, it ranks more than it measures.';
}
