/** A finding as one plain sentence; the window shows it, and screen readers hear the same. */
import type { Quantity, QuantityName } from '../quantity.ts';
import { FILM_SENTENCES } from './filmSentences.ts';
import { INK_SENTENCES, inkColour, paperColour } from './inkSentences.ts';
import { LINE_SENTENCES } from './lineSentences.ts';
import { whyMissing } from './missing.ts';
import {
  bandNoun,
  type Names,
  onPaper,
  paperNoun,
  paperShort,
  penNoun,
  quoted,
  sampleNoun,
  stripNoun,
} from './names.ts';
import { capital } from './words.ts';
import { layerNoun, OPACITY_SENTENCES, predictedColour } from './opacitySentences.ts';
import { REVERSE_SENTENCES } from './reverseSentences.ts';
import { PAIR_SENTENCES } from './pairSentences.ts';
import { bandColour, STRIP_SENTENCES } from './stripSentences.ts';
import { type Told, told, type ToldColour } from './telling.ts';
import { figureText, QUANTITY_NOUNS } from './titles.ts';

type ColourName = 'paperColour' | 'inkColour' | 'bandColour' | 'predictedColour';

const COLOUR_SENTENCES: Readonly<Record<ColourName, (told: ToldColour) => string>> = {
  paperColour,
  inkColour,
  bandColour,
  predictedColour,
};

/** All names that are told by a number; the compiler asks for a sentence of each. */
const NUMBER_SENTENCES: Readonly<Record<Exclude<QuantityName, ColourName>, (told: Told) => string>> = {
  ...INK_SENTENCES,
  ...PAIR_SENTENCES,
  ...STRIP_SENTENCES,
  ...LINE_SENTENCES,
  ...FILM_SENTENCES,
  ...REVERSE_SENTENCES,
  ...OPACITY_SENTENCES,
};

/**
 * 'The broad nib is 3.1 ± 0.4 ΔE00 darker than the fine one: clear.' Without a value it says why and what to do.
 * @param names What the regions are called, and the ink's other findings where they help to say it.
 */
export function sentence(finding: Quantity, names: Names): string {
  const { quantity, value } = finding;
  if (value === null) return missing(finding, names);
  if (isColour(quantity)) {
    if (typeof value === 'number') return plain(finding, names);
    const colour = { finding, names, ids: finding.subject.regions, lab: value, amount: figureText(finding) };
    return COLOUR_SENTENCES[quantity](colour);
  }
  return typeof value === 'number' ? NUMBER_SENTENCES[quantity](told(finding, names, value)) : plain(finding, names);
}

/** What the finding is of, in words: 'the broad nib’s writing on “bright white”', 'band 2 of the fresh strip'. */
export function subjectWords({ quantity, subject }: Pick<Quantity, 'quantity' | 'subject'>, names: Names): string {
  const [first, second] = subject.regions;
  if (first === undefined) return 'the ink';
  if (quantity.startsWith('paper')) return paperNoun(names, first);
  if (quantity.startsWith('band')) return bandNoun(names, subject);
  if (quantity === 'frontSpeed.line') return 'several strips';
  if (quantity.startsWith('originRetained') || quantity.startsWith('frontSpeed')) return stripNoun(names, first);
  if (quantity.startsWith('runShift')) {
    const strips = `${stripNoun(names, first)} and ${stripNoun(names, second)}`;
    return subject.band === undefined ? strips : `${bandNoun(names, subject)} and its partner`;
  }
  if (quantity === 'nibShading')
    return `${penNoun(names, first)} and ${penNoun(names, second)}${onPaper(names, first)}`;
  if (quantity.startsWith('toneShift')) {
    return `${penNoun(names, first)} on ${paperShort(names, first)} and ${paperShort(names, second)}`;
  }
  if (quantity.startsWith('predictedColour')) {
    return `${layerNoun({ names, ids: subject.regions })} on ${subject.on === undefined ? paperShort(names, first) : quoted(subject.on)}`;
  }
  if (quantity === 'film' || quantity.startsWith('hiding') || quantity.startsWith('contrastRatio')) {
    return layerNoun({ names, ids: subject.regions });
  }
  if (quantity === 'absorption' || quantity === 'fitQuality') return 'the ink';
  if (quantity === 'doseCurve') return `the ink on ${paperShort(names, first)}`;
  return sampleNoun(names, first) + onPaper(names, first);
}

function missing(finding: Quantity, names: Names): string {
  const { because, advice } = whyMissing(finding);
  const start = `${nounPhrase(finding, names)} cannot be told, because ${because}.`;
  return capital(advice === '' ? start : `${start} ${advice}`);
}

/** A value of another shape than its name promises is told as it is. */
function plain(finding: Quantity, names: Names): string {
  return capital(`${nounPhrase(finding, names)} is ${figureText(finding)}.`);
}

function nounPhrase(finding: Quantity, names: Names): string {
  const preposition = finding.quantity === 'nibShading' ? 'between' : 'of';
  return `${QUANTITY_NOUNS[finding.quantity]} ${preposition} ${subjectWords(finding, names)}`;
}

function isColour(quantity: QuantityName): quantity is ColourName {
  return quantity in COLOUR_SENTENCES;
}
