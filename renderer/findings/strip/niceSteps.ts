/** Round numbers from 0 up to `most`, about `count` of them. */
export function niceSteps(most: number, count: number): readonly number[] {
  const rough = most / count;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = ([1, 2, 5].find((s) => s * power >= rough) ?? 10) * power;
  return Array.from({ length: Math.floor(most / step + 1e-9) + 1 }, (_, i) => Number((i * step).toPrecision(6)));
}
