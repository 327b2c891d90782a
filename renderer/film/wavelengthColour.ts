/** A quiet stand-in for the colour of a wavelength, to find one's place along a spectrum by. No screen can show the real one. */
import { times } from '../../analysis/colour/adapt.ts';
import { xyzToLab } from '../../analysis/colour/lab.ts';
import { OBSERVER_GRID, X_BAR, Y_BAR, Z_BAR } from '../../analysis/colour/observer.ts';
import { srgbEncode, srgbToXyzD50, XYZ_D50_TO_RGB } from '../../analysis/colour/srgb.ts';
import type { LabValue } from '../../analysis/quantity.ts';

/** All at one lightness and with little chroma (of Oklab), so that nothing beside a scan shouts; chosen by eye. */
const LIGHTNESS = 0.72;
const MOST_CHROMA = 0.065;
/** Where the observer sees less than this of a wavelength (x̄ + ȳ + z̄ over its largest), the strip fades to grey; chosen by eye. */
const FADED = 0.12;

/** Linear sRGB → cone-like signals, and their cube roots → Oklab: its hues, unlike those of CIELAB, stay blue as blue pales. Source: Ottosson (2020). */
const RGB_TO_LMS = [
  [0.4122214708, 0.5363325363, 0.0514459929],
  [0.2119034982, 0.6806995451, 0.1073969566],
  [0.0883024619, 0.2817188376, 0.6299787005],
];
const LMS_TO_OKLAB = [
  [0.2104542553, 0.793617785, -0.0040720468],
  [1.9779984951, -2.428592205, 0.4505937099],
  [0.0259040371, 0.7827717662, -0.808675766],
];
const OKLAB_TO_LMS = [
  [1, 0.3963377774, 0.2158037573],
  [1, -0.1055613458, -0.0638541728],
  [1, -0.0894841775, -1.291485548],
];
const LMS_TO_RGB = [
  [4.0767416621, -3.3077115913, 0.2309699292],
  [-1.2684380046, 2.6097574011, -0.3413193965],
  [-0.0041960863, -0.7034186147, 1.707614701],
];

const MOST_SEEN = Math.max(...X_BAR.map((x, i) => x + Y_BAR[i] + Z_BAR[i]));

/**
 * From the observer's x̄ȳz̄ at this wavelength, clipped to what sRGB holds; of that only the hue is kept.
 * @param nm 380..780, to the nearest 5
 */
export function wavelengthColour(nm: number): LabValue {
  const { firstNm, stepNm, count } = OBSERVER_GRID;
  const at = Math.min(count - 1, Math.max(0, Math.round((nm - firstNm) / stepNm)));
  const rgb = times(XYZ_D50_TO_RGB, [X_BAR[at], Y_BAR[at], Z_BAR[at]]).map((v) => Math.max(0, v));
  const [, a, b] = times(LMS_TO_OKLAB, triple(times(RGB_TO_LMS, triple(rgb)).map(Math.cbrt)));
  const seen = (X_BAR[at] + Y_BAR[at] + Z_BAR[at]) / MOST_SEEN;
  const kept = (MOST_CHROMA * Math.min(1, seen / FADED)) / Math.max(Math.hypot(a, b), 1e-9);
  const quiet = times(OKLAB_TO_LMS, [LIGHTNESS, kept * a, kept * b]).map((v) => v ** 3);
  const [red, green, blue] = times(LMS_TO_RGB, triple(quiet)).map((v) => srgbEncode(Math.min(1, Math.max(0, v))));
  const [L, aStar, bStar] = xyzToLab(srgbToXyzD50(red, green, blue));
  return [L, aStar, bStar];
}

function triple([x, y, z]: readonly number[]): [number, number, number] {
  return [x, y, z];
}
