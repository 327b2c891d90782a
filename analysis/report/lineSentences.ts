/** Sentences about the lines of a writing sample: edges, halo, sheen, second passes, and whether the ink is the same. */
import type { QuantityName } from '../quantity.ts';
import { onPaper, sampleNoun } from './names.ts';
import { type Told, sizeIn, verdictClause } from './telling.ts';
import { capital } from './words.ts';

type LineName = Extract<
  QuantityName,
  | 'layering'
  | `lineWidth${string}`
  | 'spread'
  | 'raggedness'
  | `feathering${string}`
  | 'edgeBlur'
  | `halo${string}`
  | 'sheen'
  | 'pathDistance'
>;

export const LINE_SENTENCES: Readonly<Record<LineName, (told: Told) => string>> = {
  layering: (told) =>
    `Where the lines of ${sample(told)} cross, a second pass changes the colour by ${told.amount}${verdictClause(told.finding)}.`,
  lineWidth: (told) => `The lines of ${sample(told)} are ${told.amount} wide.`,
  'lineWidth.sd': (told) => `The width of the lines of ${sample(told)} varies by ${told.amount}.`,
  'lineWidth.at60': (told) =>
    `Between edges at 60 % of the fall, where ISO 13660 puts them, the lines of ${sample(told)} are ${told.amount} wide.`,
  spread: (told) =>
    told.finding.flags.includes('nib-width-doubtful')
      ? `The lines of ${sample(told)} come out ${told.size} ${told.value < 0 ? 'narrower' : 'wider'} than the nib is said to be: is its width wrong, or the scan’s dpi?`
      : told.swallowed
        ? `The lines of ${sample(told)} are as wide as the nib within the uncertainty (${told.amount})${verdictClause(told.finding)}.`
        : `The lines of ${sample(told)} are ${told.value < 0 ? 'narrower' : 'wider'} than the nib by ${told.size}${verdictClause(told.finding)}.`,
  raggedness: (told) => `The edges of ${sample(told)} wander by ${told.amount} about their own smooth path.`,
  feathering: (told) =>
    `The edges of ${sample(told)} reach out in hairs of ${told.amount}${verdictClause(told.finding)}.`,
  'feathering.hairs': (told) => {
    const more = told.finding.flags.includes('lower-bound') ? ', or more' : '';
    return `${capital(sample(told))} shows ${sizeIn(told, 'hairs')} on each centimetre of edge${more}.`;
  },
  edgeBlur: (told) =>
    `The edges of ${sample(told)} fall from ink to paper over ${told.amount}, the scanner’s own blur taken off.`,
  halo: (told) => `${capital(sample(told))} stands in a halo ${told.amount} wide${verdictClause(told.finding)}.`,
  'halo.dE': (told) => `The halo of ${sample(told)} differs from the paper by ${told.amount}.`,
  'halo.hue': (told) => `The hue of the halo of ${sample(told)} is ${told.amount}.`,
  sheen: (told) =>
    `${told.amount} of the densest ink of ${sample(told)} turns toward another hue, at the least${verdictClause(told.finding)}.`,
  pathDistance: (told) =>
    told.finding.flags.includes('another-ink')
      ? `${capital(sample(told))} lies ${told.amount} off the ink’s own path from thin to thick; it may be another ink, or contaminated.`
      : `${capital(sample(told))} lies ${told.amount} off the ink’s own path from thin to thick, no more than its uncertainty allows.`,
};

function sample({ names, ids }: Told): string {
  return sampleNoun(names, ids[0]) + onPaper(names, ids[0]);
}
