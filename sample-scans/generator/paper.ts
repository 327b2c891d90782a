/** Invented papers: smooth reflectances without fluorescence, and the unevenness that a scanner sees in them. */
import { stream } from './random.ts';
import { curve, edge, skewedBell } from './spectra.ts';
import type { Curve } from './spectra.ts';

export type PaperClass = 'brightWhite' | 'ivory' | 'yellow' | 'green' | 'grey' | 'filter' | 'cardStock';

export interface Paper {
  readonly kind: PaperClass;
  /** Mean reflectance 0..1 on GRID. */
  readonly reflectance: Curve;
  /** Fibres: relative standard deviation and correlation length. */
  readonly fibreSd: number;
  readonly fibreMm: number;
  /** Formation, the cloudiness seen against light: relative standard deviation and scale. */
  readonly formationSd: number;
  readonly formationMm: number;
}

export function drawPaper(seed: number, kind: PaperClass, name: string): Paper {
  const tint = stream(seed, `paper/${name}/tint`);
  const unevenness = stream(seed, `paper/${name}/unevenness`);
  const rough = kind === 'filter' ? 1.6 : 1;
  return {
    kind,
    reflectance: tints[kind](tint),
    fibreSd: rough * unevenness.range(0.004, 0.0075),
    fibreMm: unevenness.range(0.15, 0.3),
    formationSd: unevenness.range(0.0008, 0.002),
    formationMm: unevenness.range(3, 6),
  };
}

type Tint = (random: ReturnType<typeof stream>) => Curve;

/** Wood and filler: high and flat, a little lower towards the blue. */
function base(level: number, blueLoss: number, tilt: number): Curve {
  return curve((nm) => level * (1 - blueLoss * (1 - edge(nm, 430, 90))) * (1 + (tilt * (nm - 555)) / 175));
}

const tints: Record<PaperClass, Tint> = {
  brightWhite: (r) => base(r.range(0.86, 0.905), r.range(0.03, 0.08), r.range(-0.002, 0.008)),
  ivory: (r) => {
    const white = base(r.range(0.84, 0.88), r.range(0.1, 0.18), r.range(0.01, 0.03));
    const depth = r.range(0.1, 0.18);
    const at = r.range(450, 475);
    return white.map((v, i) => v * (1 - depth * (1 - edge(380 + 10 * i, at, 110))));
  },
  yellow: (r) => {
    const white = base(r.range(0.84, 0.89), r.range(0.03, 0.08), r.range(0, 0.01));
    const low = r.range(0.32, 0.48);
    const at = r.range(482, 506);
    const width = r.range(48, 75);
    return white.map((v, i) => v * (low + (1 - low) * edge(380 + 10 * i, at, width)));
  },
  green: (r) => {
    const white = base(r.range(0.82, 0.87), r.range(0.05, 0.1), 0);
    const red = r.range(0.3, 0.5);
    const blue = r.range(0.15, 0.35);
    const redNm = r.range(620, 650);
    return white.map((v, i) => {
      const nm = 380 + 10 * i;
      return v * Math.exp(-red * skewedBell(nm, redNm, 42, 0.2) - blue * skewedBell(nm, 420, 42, 0));
    });
  },
  grey: (r) => base(r.range(0.5, 0.62), r.range(0.03, 0.08), r.range(-0.01, 0.02)),
  filter: (r) => base(r.range(0.85, 0.89), r.range(0.03, 0.08), r.range(0, 0.008)),
  cardStock: (r) => base(r.range(0.915, 0.945), r.range(0.02, 0.05), r.range(0, 0.006)),
};
