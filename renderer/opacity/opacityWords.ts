/** What the page says of a layer and of what it foretells. Pure. */
import type { Quantity } from '../../analysis/quantity.ts';
import { FLAG_WORDS } from '../../analysis/report/flagWords.ts';
import { whyMissing } from '../../analysis/report/missing.ts';
import { fixed, withUncertainty } from '../../analysis/report/valueText.ts';
import { capital } from '../../analysis/report/words.ts';
import type { LeftOutCheck, OpacityPen, Prediction } from '../../electron/backend/opacityAnswer.ts';

/** Printed beside every foretold colour: what it erred by where it could be held against a measured one. */
export function errorWords(leftOutError: number | null): string {
  return leftOutError === null
    ? 'Not checked: with a third paper, one can be left out and foretold.'
    : `Left out and foretold, this pen’s colour was off by ${fixed(leftOutError, 1)} ΔE00 in the median.`;
}

/** '1.2 ± 0.6 ΔE00 off' of the paper that was left out; null: it was not. */
export function leftOutWords(check: LeftOutCheck | null, paper: string): string | null {
  const found = check?.papers.find((one) => one.paper === paper);
  return found ? `Foretold from the other papers alone it was ${withUncertainty(found.dE00, found.u)} ΔE00 off.` : null;
}

/** Flags of a foretold colour in words, without what stands beside it anyway. */
export function careWords({ flags }: Pick<Prediction, 'flags'>): string {
  const own = flags.filter((flag) => flag !== 'not-checked');
  return own.length === 0 ? '' : capital(`${own.map((flag) => FLAG_WORDS[flag]).join('; ')}.`);
}

export interface Opacity {
  readonly key: string;
  readonly title: string;
  /** The trade's word; '' where there is none. */
  readonly word: string;
  /** '0.31 ± 0.04', or why it cannot be told. */
  readonly figure: string;
}

/** How much of what lies under it a pen's ink hides, as far as it was told: over each pair of its papers, over the bar, over standard grounds. */
export function opacityOf({ pairs, samples, layer }: OpacityPen): readonly Opacity[] {
  const paperOf = (region: string): string => samples.find((one) => one.region === region)?.paper ?? region;
  return [
    ...pairs.flatMap(({ regions, hiding }) =>
      hiding ? [told(hiding, `hiding, ${short(paperOf(regions[0]))} against ${short(paperOf(regions[1]))}`)] : [],
    ),
    ...layer.contrastRatios.map((one) => told(one, 'contrast ratio, over the printed bar')),
    ...(layer.foretoldContrastRatio ? [told(layer.foretoldContrastRatio, 'contrast ratio, foretold')] : []),
  ];
}

/** How far a pen's ink would hide a ground that it was not written on; null: nothing is known of its layer, or it has no paper to be held against. */
export function hidingThere({ samples }: OpacityPen, ground: string, foretold: Prediction | null): Opacity | null {
  const [palest] = samples;
  if (!foretold?.hiding || !palest) return null;
  return told(foretold.hiding, `hiding foretold, ${short(palest.paper)} against ${short(ground)}`);
}

function told(finding: Quantity, title: string): Opacity {
  const { value, u, verdict, quantity, subject } = finding;
  const key = `${quantity} ${subject.regions.join(' ')}`;
  if (typeof value !== 'number') {
    // The cause alone, as its own sentence gives it: most notes on a number do not take it away.
    return { key, title, word: '', figure: `cannot be told: ${whyMissing(finding).because}` };
  }
  return { key, title, word: verdict ?? '', figure: withUncertainty(value, typeof u === 'number' ? u : null) };
}

/** 'bright white, smooth' → 'bright white' */
export function short(paper: string): string {
  return paper.split(',')[0];
}
