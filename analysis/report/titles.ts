/** Headings and units in words. */
import type { Quantity, QuantityName, Unit } from '../quantity.ts';
import { withUncertainty } from './valueText.ts';

export const QUANTITY_TITLES: Readonly<Record<QuantityName, string>> = {
  paperColour: 'Colour of the paper',
  paperTexture: 'Texture of the paper',
  inkColour: 'Colour of the ink',
  'inkColour.hue': 'Hue of the ink',
  'inkColour.chroma': 'Chroma of the ink',
  inkDensity: 'Density above paper',
  shading: 'Shading',
  'shading.dL': 'Shading, lightness',
  'shading.dHue': 'Shading, hue',
  nibShading: 'Between two nibs',
  swabVariation: 'Variation of the swab',
  'swabVariation.dL': 'Variation of the swab, lightness',
  layering: 'Going over a line',
  lineWidth: 'Width of the line',
  'lineWidth.sd': 'Width of the line, scatter',
  'lineWidth.at60': 'Width of the line at 60 %',
  spread: 'Spread',
  raggedness: 'Raggedness of the edge',
  feathering: 'Feathering',
  'feathering.hairs': 'Feathering, hairs',
  edgeBlur: 'Blur of the edge',
  halo: 'Halo',
  'halo.dE': 'Halo, against the paper',
  'halo.hue': 'Halo, hue',
  sheen: 'Sheen',
  pathDistance: 'Off the ink’s own path',
  ghosting: 'Ghosting',
  'ghosting.printThrough': 'Ghosting as print-through',
  bleedThrough: 'Bleed-through',
  'bleedThrough.dots': 'Bleed-through, dots',
  'bleedThrough.area': 'Bleed-through, area',
  'bleedThrough.next': 'Through to the next sheet',
  'bleedThrough.nextArea': 'Through to the next sheet, area',
  toneShift: 'Tone shift',
  'toneShift.adapted': 'Tone shift, adapted',
  'toneShift.dL': 'Tone shift, lightness',
  'toneShift.dC': 'Tone shift, chroma',
  'toneShift.dHue': 'Tone shift, hue',
  film: 'The layer on its grounds',
  contrastRatio: 'Contrast ratio over the bar',
  'contrastRatio.predicted': 'Contrast ratio, foretold',
  hiding: 'Hiding',
  'hiding.predicted': 'Hiding, foretold',
  predictedColour: 'Foretold colour',
  'predictedColour.error': 'Foretold colour, error found',
  absorption: 'Absorption of the ink',
  doseCurve: 'Dose and colour',
  fitQuality: 'How well one film fits',
  bandPosition: 'Place of the band (R_F)',
  'bandPosition.centroid': 'Centre of gravity of the band (R_F)',
  bandWidth: 'Width of the band',
  bandTail: 'Tail of the band',
  bandColour: 'Colour of the band',
  bandShare: 'Share of the band',
  bandResolution: 'Resolution to the next band (R_s)',
  originRetained: 'Kept at the origin',
  runShift: 'Drying: place of the band',
  'runShift.share': 'Drying: share of the band',
  'runShift.originRetained': 'Drying: kept at the origin',
  'runShift.front': 'Drying: run of the front',
  frontSpeed: 'Speed of the front',
  'frontSpeed.line': 'Speed of the front, by several times',
};

/** As a noun before 'of' what it belongs to: 'the hue of the swab'. */
export const QUANTITY_NOUNS: Readonly<Record<QuantityName, string>> = {
  paperColour: 'the colour',
  paperTexture: 'the texture',
  inkColour: 'the colour',
  'inkColour.hue': 'the hue',
  'inkColour.chroma': 'the chroma',
  inkDensity: 'the density',
  shading: 'the shading',
  'shading.dL': 'the shading in lightness',
  'shading.dHue': 'the shading in hue',
  nibShading: 'the difference',
  swabVariation: 'the variation',
  'swabVariation.dL': 'the variation in lightness',
  layering: 'the layering',
  lineWidth: 'the line width',
  'lineWidth.sd': 'the scatter of the line width',
  'lineWidth.at60': 'the line width at 60 %',
  spread: 'the spread',
  raggedness: 'the raggedness',
  feathering: 'the feathering',
  'feathering.hairs': 'the number of hairs',
  edgeBlur: 'the blur',
  halo: 'the halo',
  'halo.dE': 'the colour difference of the halo',
  'halo.hue': 'the hue of the halo',
  sheen: 'the sheen',
  pathDistance: 'the distance from the ink’s path',
  ghosting: 'the ghosting',
  'ghosting.printThrough': 'the print-through',
  bleedThrough: 'the bleed-through',
  'bleedThrough.dots': 'the number of dots',
  'bleedThrough.area': 'the area of the dots',
  'bleedThrough.next': 'the number of dots on the next sheet',
  'bleedThrough.nextArea': 'the area of the dots on the next sheet',
  toneShift: 'the tone shift',
  'toneShift.adapted': 'the adapted tone shift',
  'toneShift.dL': 'the tone shift in lightness',
  'toneShift.dC': 'the tone shift in chroma',
  'toneShift.dHue': 'the tone shift in hue',
  film: 'the transmittance',
  contrastRatio: 'the contrast ratio',
  'contrastRatio.predicted': 'the foretold contrast ratio',
  hiding: 'the hiding',
  'hiding.predicted': 'the foretold hiding',
  predictedColour: 'the foretold colour',
  'predictedColour.error': 'the error of the foretold colour',
  absorption: 'the absorption',
  doseCurve: 'the range of doses',
  fitQuality: 'the quality of the fit',
  bandPosition: 'the R_F',
  'bandPosition.centroid': 'the centre of gravity',
  bandWidth: 'the width',
  bandTail: 'the tail',
  bandColour: 'the colour',
  bandShare: 'the share',
  bandResolution: 'the resolution',
  originRetained: 'the part kept at the origin',
  runShift: 'the shift of R_F',
  'runShift.share': 'the change of share',
  'runShift.originRetained': 'the change of the part kept at the origin',
  'runShift.front': 'the change of the front’s run',
  frontSpeed: 'the speed of the front',
  'frontSpeed.line': 'the speed of the front',
};

/** What a unit counts, for those who have not met it. */
export const UNIT_WORDS: Readonly<Record<Unit, string>> = {
  ΔE00: 'difference of two colours by CIEDE2000; about 1 can just be seen side by side',
  'ΔL*': 'difference of lightness; black to white is 100',
  Lab: 'lightness L* from 0 to 100, a* from green to red, b* from blue to yellow',
  mm: 'millimetres',
  'mm/√s': 'millimetres per square root of a second',
  'mm²': 'square millimetres',
  '/cm': 'for each centimetre',
  nm: 'nanometres, of a wavelength',
  '1': 'a plain number',
  dots: 'a count of dots',
  '%': 'per cent',
  s: 'seconds',
  '°': 'degrees of hue',
};

const UNMARKED: readonly Unit[] = ['1', 'dots', 'Lab'];

/** What is written behind a figure: '' for plain numbers, for dots, which their heading names, and for colours, whose components name themselves. */
export function unitMark(unit: Unit): string {
  return UNMARKED.includes(unit) ? '' : unit;
}

/** '4.5 ± 1.1 ΔE00', '297 ± 15°', 'L* 29.7 ± 1.7, a* 12.1 ± 6.4, b* −23.4 ± 7.6'; '' when there is no value. */
export function figureText({ value, u, unit }: Pick<Quantity, 'value' | 'u' | 'unit'>): string {
  if (value === null) return '';
  if (typeof value === 'number') return amountText(value, typeof u === 'number' ? u : null, unit);
  const parts = u === null || typeof u === 'number' ? [u, u, u] : u;
  return ['L*', 'a*', 'b*'].map((name, i) => `${name} ${withUncertainty(value[i], parts[i])}`).join(', ');
}

/** One number with ± 2u and its unit, written as people do: no space before a degree sign. */
export function amountText(value: number, u: number | null, unit: Unit): string {
  const mark = unitMark(unit);
  const figure = withUncertainty(value, u, unit);
  if (mark === '') return figure;
  return `${figure}${mark === '°' ? '' : ' '}${mark}`;
}
