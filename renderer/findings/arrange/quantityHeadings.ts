/** What the tables call each quantity. */
import type { QuantityName } from '../../../analysis/quantity.ts';

const HEADINGS: Readonly<Record<QuantityName, string>> = {
  paperColour: 'Colour',
  paperTexture: 'Texture',
  inkColour: 'Colour',
  'inkColour.hue': 'Hue',
  'inkColour.chroma': 'Chroma',
  inkDensity: 'Density',
  shading: 'Shading',
  'shading.dL': 'Light − dark',
  'shading.dHue': 'Hue, light − dark',
  nibShading: 'Nib shading',
  swabVariation: 'Variation',
  'swabVariation.dL': 'Light − dark',
  toneShift: 'As seen',
  'toneShift.adapted': 'Eye adapted',
  'toneShift.dL': 'Lightness',
  'toneShift.dC': 'Chroma',
  'toneShift.dHue': 'Hue',
  bandPosition: 'R_F',
  'bandPosition.centroid': 'R_F, middle',
  bandWidth: 'Width',
  bandTail: 'Tail',
  bandColour: 'Colour',
  bandShare: 'Share',
  bandResolution: 'Resolution',
  originRetained: 'At the origin',
  runShift: 'R_F',
  'runShift.share': 'Share',
  'runShift.originRetained': 'At the origin',
  'runShift.front': 'Run length',
};

export function quantityHeading(quantity: QuantityName): string {
  return HEADINGS[quantity];
}
