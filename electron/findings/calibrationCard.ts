/** A calibration's report card as text. */
import { fixed, twoDecimals } from '../../analysis/report/valueText.ts';
import type { CalibrationReport, ReportCandidate, ReportPatch } from './reportShape.ts';

const WORST = 10;
/** Letters a line of sentences. */
const WIDTH = 110;

export function calibrationCard(r: CalibrationReport): string {
  // Those that no fit saw are named by the cautions: their ΔE00 would hide all others.
  const judged = r.patches.filter(({ flags }) => !flags.includes('clipped') && !flags.includes('covered'));
  const worst = judged.toSorted((a, b) => b.dE00LeftOut - a.dE00LeftOut).slice(0, WORST);
  return [
    `Calibration from ${r.patches.length} patches of “${r.target.layout}”, colour model ${r.model}`,
    '',
    ...paragraph(r.words, ''),
    ...r.cautions.flatMap(({ words }) => paragraph(words, '  – ')),
    '',
    `  left-out ΔE00   ${figures(r.leftOutMedian, r.leftOutMean, r.leftOut95, r.leftOutMax)}`,
    `  fitted ΔE00     ${figures(r.fittedMedian, r.fittedMean, r.fitted95, r.fittedMax)}`,
    `  greys           largest C* ${twoDecimals(r.greyMaxChroma)}`,
    ...part('models tried (left-out mean ± standard error)', r.candidates.map(candidateLine), r.modelWords),
    ...part(
      `patches furthest off (left out)   ΔE00 left out   fitted   L* a* b* known      predicted`,
      worst.map(patchLine),
    ),
    ...part(
      'target',
      [],
      r.target.locatedWords,
      r.target.colorantsWords,
      r.target.referenceWords,
      ...r.target.notes.map((note) => `Reference: ${note}.`),
    ),
    ...part(
      'scanner',
      [],
      r.scanner.words,
      r.scanner.noiseWords,
      r.scanner.blurWords,
      r.scanner.clippingWords,
      r.lightWords,
    ),
    ...part('drift', [], r.drift.words, ...r.drift.earlier.map(({ words }) => words)),
    '',
  ].join('\n');
}

function figures(median: number | null, mean: number | null, p95: number | null, largest: number | null): string {
  return `median ${twoDecimals(median)}   mean ${twoDecimals(mean)}   95 % ${twoDecimals(p95)}   largest ${twoDecimals(largest)}`;
}

/** Nothing of it when there is nothing to say. */
function part(title: string, lines: readonly string[], ...sentences: readonly string[]): string[] {
  if (lines.length === 0 && sentences.length === 0) return [];
  return ['', `  ${title}`, ...lines, ...sentences.flatMap((words) => paragraph(words, '    '))];
}

/** Its first line after `start`, the others as far in. */
function paragraph(words: string, start: string): string[] {
  const lines: string[][] = [[]];
  let length = 0;
  for (const word of words.split(' ')) {
    if (length > 0 && start.length + length + word.length > WIDTH) {
      lines.push([]);
      length = 0;
    }
    lines[lines.length - 1].push(word);
    length += word.length + 1;
  }
  return lines.map((line, i) => `${i === 0 ? start : ' '.repeat(start.length)}${line.join(' ')}`);
}

function candidateLine({ model, ridge, leftOutMean, standardError, chosen }: ReportCandidate): string {
  return `  ${chosen ? '* ' : '  '}${model.padEnd(18)}${twoDecimals(leftOutMean)}, standard error ${twoDecimals(standardError)}   ridge ${ridge === 0 ? '0' : ridge.toExponential(0)}`;
}

function patchLine({ id, dE00LeftOut, dE00Fitted, reference, leftOut, notes }: ReportPatch): string {
  const aside = notes.length === 0 ? '' : `   ${notes.join('; ')}`;
  return `    ${id.padEnd(30)}${twoDecimals(dE00LeftOut).padStart(13)}${twoDecimals(dE00Fitted).padStart(12)}  ${labText(reference)}  ${labText(leftOut)}${aside}`;
}

function labText(values: readonly number[]): string {
  return values.map((v) => fixed(v, 1).padStart(6)).join('');
}
