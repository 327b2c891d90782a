/** Turn, scale and shift of one sheet against another, after it was turned over: coordinates in mm from the middle of each. */

export type Turned = 'about-vertical' | 'about-horizontal' | 'not';

export interface Similarity {
  /** How the sheet was turned over before: about a vertical axis (left becomes right), a horizontal one, or not at all. */
  readonly turned: Turned;
  /** Clockwise on the screen, radians. */
  readonly angleRad: number;
  readonly scale: number;
  readonly shiftMm: readonly [x: number, y: number];
}

/** a point of the first sheet → the same point on the second; x' = a·x + b·y + c, y' = d·x + e·y + f */
export interface Affine {
  readonly a: number;
  readonly b: number;
  readonly c: number;
  readonly d: number;
  readonly e: number;
  readonly f: number;
}

/** Turned over first, then turned, scaled and shifted. */
export function affineOf({ turned, angleRad, scale, shiftMm }: Similarity): Affine {
  const flipX = turned === 'about-vertical' ? -1 : 1;
  const flipY = turned === 'about-horizontal' ? -1 : 1;
  const cos = scale * Math.cos(angleRad);
  const sin = scale * Math.sin(angleRad);
  return { a: cos * flipX, b: -sin * flipY, c: shiftMm[0], d: sin * flipX, e: cos * flipY, f: shiftMm[1] };
}

/** The way back. */
export function inverseAffine({ a, b, c, d, e, f }: Affine): Affine {
  const det = a * e - b * d;
  const [ia, ib, id, ie] = [e / det, -b / det, -d / det, a / det];
  return { a: ia, b: ib, c: -(ia * c + ib * f), d: id, e: ie, f: -(id * c + ie * f) };
}
