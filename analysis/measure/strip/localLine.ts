/**
 * Robust local straight line (tricube weights, three rounds of bisquare): follows slow change, ignores marks and specks.
 * Source: Cleveland (1979), J. Am. Stat. Assoc. 74, 829–836.
 * @param values equally spaced. @param reach half width of the window, in steps.
 */
export function localLine(values: Float64Array, reach: number): Float64Array {
  const half = Math.max(1, Math.ceil(reach));
  const kernel = Float64Array.from(
    { length: 2 * half + 1 },
    (_, k) => (1 - Math.min(1, Math.abs((k - half) / (reach + 1))) ** 3) ** 3,
  );
  let trust = new Float64Array(values.length).fill(1);
  let smooth = new Float64Array(values.length);
  for (let round = 0; round < 4; round++) {
    smooth = values.map((own, i) => lineAt(values, trust, kernel, half, i, own));
    const misses = values.map((v, i) => Math.abs(v - smooth[i]));
    const scale = 6 * (misses.toSorted()[misses.length >> 1] || 1e-9);
    trust = misses.map((m) => (m < scale ? (1 - (m / scale) ** 2) ** 2 : 0));
  }
  return smooth;
}

function lineAt(
  values: Float64Array,
  trust: Float64Array,
  kernel: Float64Array,
  half: number,
  at: number,
  own: number,
): number {
  let [s0, s1, s2, t0, t1] = [0, 0, 0, 0, 0];
  const to = Math.min(values.length - 1, at + half);
  for (let i = Math.max(0, at - half); i <= to; i++) {
    const d = i - at;
    const w = trust[i] * kernel[d + half];
    s0 += w;
    s1 += w * d;
    s2 += w * d * d;
    t0 += w * values[i];
    t1 += w * d * values[i];
  }
  if (s0 === 0) return own;
  const spread = s0 * s2 - s1 * s1;
  return spread < 1e-9 * s0 * s0 ? t0 / s0 : (s2 * t0 - s1 * t1) / spread;
}
