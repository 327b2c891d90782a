/** A target of exact colours before a device that sees like the observer through a 3 × 3 and a tone curve. Made for these tests. */
import type { PatchReading, TargetReference } from '../../analysis/calibrate/calibration.ts';
import { inverse3, times } from '../../analysis/colour/adapt.ts';
import { labD50, labToXyz, type LabD50, type Xyz } from '../../analysis/colour/lab.ts';
import { srgbEncode } from '../../analysis/colour/srgb.ts';

export const TONES: Readonly<Record<string, (linear: number) => number>> = {
  'gamma 1.0': (s) => s,
  'gamma 1.8': (s) => s ** (1 / 1.8),
  'gamma 2.4': (s) => s ** (1 / 2.4),
  sRGB: srgbEncode,
  'gamma 2.2 with stray light': (s) => ((s + 0.006) / 1.006) ** (1 / 2.2),
};

/** What an observer-like device's matrix may be: XYZ = DEVICE · signal, white to (1, 1, 1) about. */
const DEVICE = [
  [0.52, 0.31, 0.134],
  [0.27, 0.68, 0.05],
  [0.02, 0.09, 0.715],
];
const BACK = inverse3(DEVICE);

export interface MadeUp {
  readonly readings: PatchReading[];
  readonly reference: TargetReference;
  readonly device: (xyz: Xyz) => [number, number, number];
}

export interface MadeUpOptions {
  readonly tone?: (linear: number) => number;
  readonly greys?: number;
  /** a*, b* of the greys: a target's greys are seldom neutral. */
  readonly tint?: readonly [number, number];
  readonly exposure?: number;
  readonly spoil?: (signal: Xyz) => Xyz;
}

export function madeUpTarget(options: MadeUpOptions = {}): MadeUp {
  const { tone = TONES['gamma 1.8'], greys = 12, tint = [0, 0], exposure = 0.9, spoil = (s) => s } = options;
  const device = (xyz: Xyz): [number, number, number] => {
    const [r, g, b] = spoil(times(BACK, xyz)).map((s) => tone(exposure * Math.max(s, 0)));
    return [r, g, b];
  };
  const colours: { id: string; grey: boolean; lab: LabD50 }[] = [];
  for (let i = 0; i < greys; i++) {
    colours.push({ id: `G${i + 1}`, grey: true, lab: labD50(94 - (78 * i) / (greys - 1), tint[0], tint[1]) });
  }
  for (const L of [35, 55, 75]) {
    for (let hue = 0; hue < 12; hue++) {
      const chroma = 12 + 7 * (hue % 4);
      const angle = (hue * Math.PI) / 6 + L / 50;
      colours.push({
        id: `C${L}-${hue}`,
        grey: false,
        lab: labD50(L, chroma * Math.cos(angle), chroma * Math.sin(angle)),
      });
    }
  }
  return {
    device,
    readings: colours.map(({ id, grey, lab }) => readingOf(id, grey, device(labToXyz(lab)))),
    reference: { patches: new Map(colours.map(({ id, lab }) => [id, { lab }])) },
  };
}

export function readingOf(id: string, grey: boolean, device: readonly [number, number, number]): PatchReading {
  return { id, grey, device, sd: [0.001, 0.001, 0.001], pixels: 900, clippedShare: 0, centreMm: [0, 0] };
}
