/** Whether a screen can show a measured colour. */
import type { LabValue } from '../../analysis/quantity.ts';
import { bradfordMatrix, inverse3, product3, times } from '../../analysis/colour/adapt.ts';
import { D50, labD50, labToXyz } from '../../analysis/colour/lab.ts';
import { XYZ_D50_TO_RGB } from '../../analysis/colour/srgb.ts';

export type Gamut = 'srgb' | 'p3';

/** Linear Display P3 → XYZ under its own white, from the primaries (0.680, 0.320), (0.265, 0.690), (0.150, 0.060) and D65: CSS Color 4. */
const P3_TO_XYZ = [
  [0.4865709486482162, 0.26566769316909306, 0.1982172852343625],
  [0.2289745640697488, 0.6917385218365064, 0.079286914093745],
  [0, 0.04511338185890264, 1.043944368900976],
];
const XYZ_D50_TO_P3 = inverse3(product3(bradfordMatrix(times(P3_TO_XYZ, [1, 1, 1]), D50), P3_TO_XYZ));

/** Half a step of 8 bits near white: nobody sees less, and colours on the very edge should not flicker between the two. */
const SLACK = 0.002;

export function withinGamut([L, a, b]: LabValue, gamut: Gamut): boolean {
  const xyz = labToXyz(labD50(L, a, b));
  const rgb = times(gamut === 'srgb' ? XYZ_D50_TO_RGB : XYZ_D50_TO_P3, xyz);
  return rgb.every((linear) => linear >= -SLACK && linear <= 1 + SLACK);
}

let asked: Gamut | null = null;

/** What the screen says of itself; sRGB where nobody can be asked. Asked once: an answer has the engine bring all styles up to date first. */
export function screenGamut(): Gamut {
  if (typeof window === 'undefined') return 'srgb';
  if (asked === null) {
    const wide = window.matchMedia('(color-gamut: p3)');
    const hear = (): void => {
      asked = wide.matches ? 'p3' : 'srgb';
    };
    // Another screen, or another setting of it.
    wide.addEventListener('change', hear);
    hear();
  }
  return asked ?? 'srgb';
}
