/** Chromatic adaptation: what a colour seen under one white corresponds to under another. */
import type { Xyz } from './lab.ts';

type Matrix = readonly (readonly number[])[];

/** XYZ to sharpened cone signals. Source: Lam (1985); CIE 160:2004; ICC.1:2010, Annex E. */
const BRADFORD: Matrix = [
  [0.8951, 0.2664, -0.1614],
  [-0.7502, 1.7135, 0.0367],
  [0.0389, -0.0685, 1.0296],
];
const BRADFORD_INVERSE = inverse3(BRADFORD);

/** 3 × 3 matrix for XYZ under `from` to XYZ under `to`, the linear Bradford form of ICC.1:2010, Annex E. */
export function bradfordMatrix(from: Xyz, to: Xyz): Matrix {
  const source = times(BRADFORD, from);
  const target = times(BRADFORD, to);
  const scaled = BRADFORD.map((row, i) => row.map((v) => (v * target[i]) / source[i]));
  return product3(BRADFORD_INVERSE, scaled);
}

/** Sharpened cone signals, as Bradford adapts by: three channels of a colour that overlap little and stay positive for colours of things. */
export function coneSignals(xyz: Xyz): Xyz {
  return times(BRADFORD, xyz);
}

/** One colour adapted; for many, keep `bradfordMatrix`. Both whites with Y = 1. */
export function bradford(xyz: Xyz, from: Xyz, to: Xyz): Xyz {
  return times(bradfordMatrix(from, to), xyz);
}

/** Matrix times column. */
export function times(m: Matrix, v: Xyz): Xyz {
  return [
    m[0][0] * v[0] + m[0][1] * v[1] + m[0][2] * v[2],
    m[1][0] * v[0] + m[1][1] * v[1] + m[1][2] * v[2],
    m[2][0] * v[0] + m[2][1] * v[1] + m[2][2] * v[2],
  ];
}

/** m · n, 3 × 3: first n, then m. */
export function product3(m: Matrix, n: Matrix): Matrix {
  return m.map((row) => [0, 1, 2].map((j) => row[0] * n[0][j] + row[1] * n[1][j] + row[2] * n[2][j]));
}

/** Inverse by cofactors; the matrices here are far from singular. */
export function inverse3(m: Matrix): Matrix {
  const [[a, b, c], [d, e, f], [g, h, i]] = m;
  const determinant = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
  return [
    [e * i - f * h, c * h - b * i, b * f - c * e],
    [f * g - d * i, a * i - c * g, c * d - a * f],
    [d * h - e * g, b * g - a * h, a * e - b * d],
  ].map((row) => row.map((v) => v / determinant));
}
