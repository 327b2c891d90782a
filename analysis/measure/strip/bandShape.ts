/** Width, tail and base of a band, read off its curve. */

export interface CurveShape {
  /** Full width at half height, mm. */
  readonly widthMm: number;
  /** Its two parts: from half height up to the apex, and down again, mm. */
  readonly halfMm: readonly [before: number, after: number];
  /** Asymmetry at a tenth of the height: trailing half-width (towards the origin) over leading one; 1 is even. */
  readonly tail: number;
  /** Width at the base between the tangents at the steepest flanks, mm (IUPAC); 4 sd for a Gaussian. */
  readonly baseMm: number;
}

/**
 * Source of the definitions: Ettre (1993), Nomenclature for chromatography, Pure Appl. Chem. 65, 819–872.
 * @param curve density by place, highest at apexMm. @param limits the curve is followed no further than this, mm.
 */
export function curveShape(
  curve: (mm: number) => number,
  apexMm: number,
  limits: readonly [from: number, to: number],
): CurveShape {
  const top = curve(apexMm);
  const halfAt = (way: number) => distanceTo(curve, apexMm, way, 0.5 * top, limits);
  const halfMm = [halfAt(-1), halfAt(1)] as const;
  const tenth = [-1, 1].map((way) => distanceTo(curve, apexMm, way, 0.1 * top, limits));
  const [before, after] = [-1, 1].map((way) => tangentFoot(curve, apexMm, way, limits));
  return { widthMm: halfMm[0] + halfMm[1], halfMm, tail: tenth[0] / Math.max(1e-6, tenth[1]), baseMm: before + after };
}

/** Retardation factor of a place, R_F = (place − origin)/(front − origin) (IUPAC). */
export function retardation(mm: number, originMm: number, frontMm: number): number {
  return (mm - originMm) / (frontMm - originMm);
}

/** Resolution of two neighbours by their base widths, R_s = 2(x2 − x1)/(w1 + w2) (IUPAC). */
export function resolution(x1: number, x2: number, w1: number, w2: number): number {
  return (2 * (x2 - x1)) / (w1 + w2);
}

const STEP_MM = 0.05;

/** How far from the apex the curve falls to a level. */
function distanceTo(
  curve: (mm: number) => number,
  apexMm: number,
  way: number,
  level: number,
  limits: readonly [number, number],
): number {
  let last = curve(apexMm);
  for (let d = STEP_MM; ; d += STEP_MM) {
    const mm = apexMm + way * d;
    if (mm < limits[0] || mm > limits[1]) return d;
    const value = curve(mm);
    if (value <= level) return d - (STEP_MM * (level - value)) / Math.max(1e-12, last - value);
    last = value;
  }
}

/** Distance from the apex to where the tangent at the steepest place of a flank meets zero. */
function tangentFoot(
  curve: (mm: number) => number,
  apexMm: number,
  way: number,
  limits: readonly [number, number],
): number {
  const top = curve(apexMm);
  let steepest = 0;
  let foot = STEP_MM;
  let last = top;
  for (let d = STEP_MM; ; d += STEP_MM) {
    const mm = apexMm + way * d;
    if (mm < limits[0] || mm > limits[1]) return foot;
    const value = curve(mm);
    const slope = (last - value) / STEP_MM;
    if (slope > steepest) {
      steepest = slope;
      foot = d - STEP_MM / 2 + (value + last) / 2 / slope;
    }
    if (value < 0.05 * top) return foot;
    last = value;
  }
}
