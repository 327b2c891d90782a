/** The calibration's report in brief: a plain judgement, its figures, and the patches that miss most as pairs of colours. */
import type { Calibration, PatchResult } from '../../analysis/calibrate/calibration.ts';
import { capital } from '../../analysis/report/words.ts';
import { isHeldDown, locatedSentence, MODEL_WORDS } from '../findings/calibrationWords.ts';
import {
  type Block,
  BODY,
  type Card,
  figureTable,
  LINE,
  makeCard,
  remark,
  sentence,
  SMALL,
  STRONG,
  swatchShapes,
} from './card.ts';
import type { Figure } from './figures.ts';
import { text } from './svg.ts';
import type { FoundTarget } from './targetMarks.ts';
import { isLeftOut, worstPatches } from './targetMarks.ts';
import { TONES } from './tones.ts';

const MOST_CAUTIONS = 3;

export function targetCard(
  target: FoundTarget,
  calibration: Calibration,
  columnWidth: number,
  insetWidth: number,
): Card {
  const worst = worstPatches(calibration);
  const refused = calibration.patches.filter(isLeftOut).length;
  const blocks: Block[] = [
    remark(target.layout.name, columnWidth),
    sentence(judgementWords(calibration), columnWidth, STRONG),
    // Worst first; a picture has room for a few, the report card for all.
    ...calibration.cautions.slice(0, MOST_CAUTIONS).map(({ words }) => sentence(words, columnWidth)),
    figureTable(figures(calibration)),
  ];
  if (worst.length > 0) blocks.push(worstTable(worst));
  blocks.push(
    remark(
      `Colours by ${MODEL_WORDS[calibration.model]}, chosen by leaving each patch out in turn.` +
        (refused > 0 ? ` Left out: ${refused === 1 ? 'one patch' : `${refused} patches`}, clipped or covered.` : ''),
      columnWidth,
    ),
    remark(locatedSentence(target.located), columnWidth),
  );
  return makeCard(
    { number: null, title: 'Target', kind: '', swatch: null, blocks, inset: null },
    columnWidth,
    insetWidth,
  );
}

export function judgementWords({ judgement, leftOutMedian, cautions }: Calibration): string {
  const miss =
    leftOutMedian === null
      ? ''
      : `: a patch that the fit did not see is missed by ${leftOutMedian.toFixed(2)} ΔE₀₀ in the median`;
  if (isHeldDown({ judgement, leftOutMedian }))
    return `${capital(judgement)}, although${miss.slice(1)}; see what follows.`;
  const check = cautions.length > 0 ? '.' : '. Check that layout, reference and scan belong together.';
  return {
    good: `Good${miss}.`,
    usable: `Usable${miss}; good is 1.0 or less.`,
    poor: `Poor${miss}; expected 2.0 or less${check}`,
    none: 'No calibration could be made.',
  }[judgement];
}

function figures(c: Calibration): Figure[] {
  return [
    ...row('Left out, median', c.leftOutMedian, 'ΔE₀₀'),
    ...row('mean', c.leftOutMean, 'ΔE₀₀'),
    ...row('95 % lie below', c.leftOut95, 'ΔE₀₀'),
    ...row('largest', c.leftOutMax, 'ΔE₀₀'),
    ...row('Greys’ largest chroma', c.greyMaxChroma, ''),
  ];
}

function row(label: string, value: number | null, unit: string): Figure[] {
  return value === null ? [] : [{ label, value: value.toFixed(2), spread: '', unit, word: '' }];
}

const ROW = 34;

/** Left half of each pair: the reference. Right half: the colour predicted without the patch. */
function worstTable(worst: readonly PatchResult[]): Block {
  return {
    height: LINE + 6 + worst.length * ROW,
    draw: (x, y) =>
      text('Missed most: reference, predicted', x, y + 17, SMALL, TONES.quietText) +
      worst
        .map((patch, i) => {
          const top = y + LINE + 6 + i * ROW;
          return (
            swatchShapes(x, top, 26, patch.reference, null) +
            swatchShapes(x + 26, top, 26, patch.leftOut, null) +
            text(patch.dE00LeftOut.toFixed(1), x + 64, top + 18.5, STRONG, TONES.text) +
            text('ΔE₀₀', x + 102, top + 18.5, SMALL, TONES.quietText) +
            text(patch.id, x + 144, top + 18.5, BODY, TONES.text)
          );
        })
        .join(''),
  };
}
