/**
 * What a target's colours are printed with. A few dyes that make all its colours, greys too, are metameric to paper and to inks: such a target looks
 * better on its report card than it teaches (docs/study/calibration.md).
 */
import { EigenvalueDecomposition, Matrix } from 'ml-matrix';
import type { TargetColorants, TargetReference } from './calibration.ts';

/** Beyond these scanner and eye see little. */
const BAND_NM = [420, 690] as const;
/** Reflectance below this is gloss and noise; its logarithm would rule. */
const DARKEST = 0.01;
/**
 * Share of the scatter of log reflectance that four components may leave in a target of three dyes, or of three and a black: simulated
 * ones leave up to 0.0022, targets of five pigments and a black 0.0011 to 0.014, the 24-patch chart (Ohta 1997) 0.006.
 */
const MOST_LEFT = 0.002;
const COMPONENTS = 4;
const FEWEST_SPECTRA = 12;

/**
 * @param ids the target's patches
 * @param mixedGreys whether its greys are mixed from dyes (mixedGreys.ts); null when they cannot say
 */
export function colorantsOf(
  reference: TargetReference,
  ids: readonly string[],
  mixedGreys: boolean | null,
): TargetColorants {
  const spectra = ids.flatMap((id) => reference.patches.get(id)?.reflectance ?? []);
  const [first] = spectra;
  const alike =
    spectra.length >= FEWEST_SPECTRA &&
    spectra.length === ids.length &&
    spectra.every(
      (s) => s.firstNm === first.firstNm && s.stepNm === first.stepNm && s.values.length === first.values.length,
    );
  if (alike) return { kind: restOfSpectra(spectra) < MOST_LEFT ? 'few-dyes' : 'varied', by: 'spectra' };
  // Flat greys come from a black, which three dyes may have beside them: they do not show variety.
  return mixedGreys === true ? { kind: 'few-dyes', by: 'greys' } : { kind: 'cannot-tell', by: 'nothing' };
}

/**
 * Share of the variance of −ln R about its mean that four principal components leave: dyes in layers add up in −ln R (Bouguer's law), so four
 * leave none, dots of them a little, and every further colorant more.
 */
export function restOfSpectra(
  spectra: readonly { readonly firstNm: number; readonly stepNm: number; readonly values: readonly number[] }[],
): number {
  const rows = spectra.map(({ firstNm, stepNm, values }) =>
    values
      .filter((_, k) => firstNm + k * stepNm >= BAND_NM[0] && firstNm + k * stepNm <= BAND_NM[1])
      .map((r) => -Math.log(Math.max(r, DARKEST))),
  );
  const width = rows[0].length;
  const mean = Array.from({ length: width }, (_, k) => rows.reduce((sum, row) => sum + row[k], 0) / rows.length);
  const covariance = Matrix.zeros(width, width);
  for (const row of rows) {
    for (let i = 0; i < width; i++) {
      for (let j = 0; j <= i; j++)
        covariance.set(i, j, covariance.get(i, j) + ((row[i] - mean[i]) * (row[j] - mean[j])) / rows.length);
    }
  }
  for (let i = 0; i < width; i++) for (let j = 0; j < i; j++) covariance.set(j, i, covariance.get(i, j));
  const values = new EigenvalueDecomposition(covariance, { assumeSymmetric: true }).realEigenvalues.sort(
    (a, b) => b - a,
  );
  const total = values.reduce((sum, value) => sum + value, 0);
  return total > 0 ? values.slice(COMPONENTS).reduce((sum, value) => sum + Math.max(0, value), 0) / total : 0;
}
