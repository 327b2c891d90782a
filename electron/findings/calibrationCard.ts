/** A calibration's report card as text. */
import type { Calibration, PatchResult } from '../../analysis/calibrate/calibration.ts';
import { fixed, twoDecimals } from '../../analysis/report/valueText.ts';

const WORST = 10;

export function calibrationCard(c: Calibration): string {
  const worst = c.patches.toSorted((a, b) => b.dE00LeftOut - a.dE00LeftOut).slice(0, WORST);
  return [
    `Calibration from ${c.patches.length} patches, colour model ${c.model}`,
    '',
    `  left-out ΔE00   median ${twoDecimals(c.leftOutMedian)}   mean ${twoDecimals(c.leftOutMean)}   95 % ${twoDecimals(c.leftOut95)}   largest ${twoDecimals(c.leftOutMax)}`,
    `  greys           largest C* ${twoDecimals(c.greyMaxChroma)}`,
    ...(c.candidates.length === 0
      ? []
      : ['', '  models tried (left-out mean ± standard error)', ...c.candidates.map(candidateLine)]),
    ...(worst.length === 0
      ? []
      : [
          '',
          `  patches furthest off (left out)   ΔE00 left out   fitted   L* a* b* known      predicted`,
          ...worst.map(patchLine),
        ]),
    '',
    judgementSentence(c),
    '',
  ].join('\n');
}

/** Good, usable or poor, why, and what to do about it. */
export function judgementSentence({ judgement, leftOutMedian, patches }: Calibration): string {
  if (judgement === 'none' || leftOutMedian === null)
    return 'None: no target, so numbers are relative and flagged uncalibrated.';
  const clipped = patches.filter((p) => p.flags.includes('clipped')).map((p) => p.id);
  const aside = clipped.length === 0 ? '' : ` Clipped and left out: ${clipped.join(', ')}; scan with less exposure.`;
  const median = `a patch that the fit never saw is missed by ${fixed(leftOutMedian, 2)} ΔE00 in the median`;
  if (judgement === 'good') return `Good: ${median}, no more than the 1.0 that counts as good.${aside}`;
  if (judgement === 'usable') {
    return `Usable: ${median}, above the 1.0 of a good calibration but no more than 2.0. Fine differences need care.${aside}`;
  }
  return (
    `Poor: ${median}, more than the 2.0 that can be used; every number will carry a flag. ` +
    `See that the reference belongs to this target, that the scanner's corrections are off, and that nothing is clipped.${aside}`
  );
}

function candidateLine({ model, ridge, leftOutMean, standardError }: Calibration['candidates'][number]): string {
  return `    ${model.padEnd(18)}${twoDecimals(leftOutMean)} ± ${twoDecimals(standardError)}   ridge ${ridge === 0 ? '0' : ridge.toExponential(0)}`;
}

function patchLine({ id, dE00LeftOut, dE00Fitted, reference, leftOut, flags }: PatchResult): string {
  const notes = flags.length === 0 ? '' : `   ${flags.join(', ')}`;
  return `    ${id.padEnd(30)}${twoDecimals(dE00LeftOut).padStart(13)}${twoDecimals(dE00Fitted).padStart(12)}  ${labText(reference)}  ${labText(leftOut)}${notes}`;
}

function labText(values: readonly number[]): string {
  return values.map((v) => fixed(v, 1).padStart(6)).join('');
}
