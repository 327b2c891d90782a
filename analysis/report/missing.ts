/** Why a number is missing, as the end of a sentence, and what to do about it. */
import type { Flag, Quantity, QuantityName } from '../quantity.ts';
import { FLAG_ADVICE } from './flagAdvice.ts';

/** Flags that can take a number away, the deepest cause first: without ink nothing else matters. */
const CAUSES: readonly (readonly [flag: Flag, because: string])[] = [
  ['no-ink', 'nothing in its box is darker than the paper in any colour'],
  ['no-swab', 'what lies in its box are lines, no swab'],
  ['no-strip', 'there is no strip in its box'],
  ['no-bare-paper', 'no bare paper was found to judge it against'],
  ['few-pixels', 'there is too little of it in the box'],
  ['below-resolution', 'it is too narrow for the scan’s resolution'],
  ['unmirrored', 'the reverse matches the front without being turned over'],
  ['not-registered', 'front and reverse could not be laid over each other'],
  ['no-front', 'no front was named to hold it against'],
  ['no-crossings', 'its lines do not cross'],
  ['no-nib-width', 'the nib’s own width is not given'],
  ['grounds-alike', 'the papers under the ink are too alike'],
  ['no-pass', 'nothing was drawn straight across its bar; letters do not serve'],
  ['no-bar', 'no printed bar with paper beside it was found in its box'],
  ['few-doses', 'there are fewer than four doses over one sheet'],
  ['film-not-converged', 'the film fit did not settle'],
  ['no-bands', 'no band rises above the strip’s noise'],
  ['strip-cut-off', 'the colour runs on beyond its box'],
  ['front-off-strip', 'the front ran to the end of the paper'],
  ['origin-not-found', 'the strip’s origin was not found'],
  ['front-not-found', 'the solvent front was not found'],
  ['unmatched', 'the band has no partner in the other run'],
  ['saturated', 'it is darker than the scanner can tell'],
  ['clipped', 'its pixels lie at an end of the scanner’s scale'],
  ['not-uniform', 'the marked paper is not uniform'],
];

/** What 'cannot-tell' means depends on what was asked. */
const UNTELLABLE: Partial<Readonly<Record<QuantityName, readonly [because: string, advice: string]>>> = {
  'inkColour.hue': ['the colour is too nearly grey to have one', 'Its chroma says how nearly.'],
  'shading.dHue': ['one end is too nearly grey to have a hue', 'The change of lightness still tells.'],
  feathering: ['its hairs lie so close that they hide one another', 'Look at the picture: it feathers all along.'],
  'feathering.hairs': ['they lie so close that they hide one another', 'Look at the picture: it feathers all along.'],
  raggedness: ['hairs all along the edge hide it', 'Look at the picture.'],
  'lineWidth.at60': ['hairs all along the edge hide it', 'Its width between them still tells.'],
  edgeBlur: [
    'hairs all along the edge hide it, or nothing tells how far the scanner itself blurs',
    'Look at the picture for hairs; without any, let a target serve this scan.',
  ],
  halo: ['hairs all along the edge hide it', 'Look at the picture.'],
  'halo.dE': ['no halo was found', 'Its width says how sure that is, or why it cannot be told.'],
  sheen: ['there is too little ink to see how its colour goes from thin to thick', 'Write more of it, or larger.'],
  pathDistance: [
    'the other samples do not show which colour this ink has at its depth',
    'Write or swab more samples, from thin to dense.',
  ],
  hiding: ['the two papers differ too little for it', 'Take papers that differ more.'],
  'hiding.predicted': ['the two papers differ too little for it', 'Take papers that differ more.'],
  absorption: ['the strongest absorption may lie anywhere', 'Its curve with the uncertainty still tells.'],
  'halo.hue': [
    'there is no halo, or it is too nearly grey to have a hue',
    'Its width and its difference from the paper tell which.',
  ],
  'toneShift.dHue': ['one of the two colours is too nearly grey to have a hue', 'The whole shift still tells.'],
};

const OTHERWISE: readonly [because: string, advice: string] = [
  'a part of what it needs is missing',
  'Look at the findings of each side alone.',
];

/** @returns 'because …' without its 'because', and a sentence of advice ('' when there is nothing to say). */
export function whyMissing({ quantity, flags }: Pick<Quantity, 'quantity' | 'flags'>): {
  readonly because: string;
  readonly advice: string;
} {
  const cause = CAUSES.find(([flag]) => flags.includes(flag));
  if (cause) return { because: cause[1], advice: FLAG_ADVICE[cause[0]].advice };
  if (flags.includes('cannot-tell')) {
    const [because, advice] = UNTELLABLE[quantity] ?? OTHERWISE;
    return { because, advice };
  }
  const [first] = flags;
  if (first === undefined) return { because: 'the measurement gave no reason', advice: 'Measure it again.' };
  const { means, advice } = FLAG_ADVICE[first];
  return { because: `of this: ${means.charAt(0).toLowerCase()}${means.slice(1).replace(/\.$/, '')}`, advice };
}
