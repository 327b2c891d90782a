/** Sentences about chromatography strips and what drying changed. */
import type { QuantityName } from '../quantity.ts';
import { bandNoun, colourWord, stripNoun } from './names.ts';
import { capital } from './words.ts';
import { type Told, type ToldColour, sizeIn } from './telling.ts';

type StripName = Extract<
  QuantityName,
  | `bandPosition${string}`
  | 'bandWidth'
  | 'bandTail'
  | 'bandShare'
  | 'bandResolution'
  | 'originRetained'
  | `runShift${string}`
  | `frontSpeed${string}`
>;

export function bandColour({ finding, names, amount }: ToldColour): string {
  const who = bandNoun(names, finding.subject);
  return finding.verdict === undefined
    ? `The colour of ${who} is ${amount}.`
    : `${capital(who)} is ${finding.verdict}: ${amount}.`;
}

export const STRIP_SENTENCES: Readonly<Record<StripName, (told: Told) => string>> = {
  bandPosition: (told) => `${capital(namedBand(told))} stands at R_F ${told.amount}.`,
  'bandPosition.centroid': (told) => `The centre of gravity of ${band(told)} stands at R_F ${told.amount}.`,
  bandWidth: (told) => `${capital(band(told))} is ${told.amount} wide at half its height.`,
  bandTail: tail,
  bandShare: (told) =>
    `${capital(namedBand(told))} holds ${told.amount} of the strip’s colour, counted as darkness to the eye.`,
  bandResolution: (told) => `${capital(band(told))} ${apart(told.value)} the next, with R_s ${told.amount}.`,
  originRetained: (told) =>
    `${told.amount} of the colour of ${stripNoun(told.names, told.ids[0])} stayed at the origin.`,
  runShift: (told) =>
    told.swallowed
      ? `After drying, ${runBand(told)} moved by no more than the uncertainty: R_F ${told.amount}.`
      : `After drying, ${runBand(told)} ran ${told.value < 0 ? 'less far' : 'farther'} than fresh, by R_F ${told.size}.`,
  'runShift.share': (told) =>
    told.swallowed
      ? `Drying changed the share of ${runBand(told)} by no more than the uncertainty: ${points(told)}.`
      : `Drying ${told.value < 0 ? 'took' : 'added'} ${sizeIn(told, 'percentage points')} ${told.value < 0 ? 'from' : 'to'} the share of ${runBand(told)}.`,
  'runShift.originRetained': (told) =>
    told.swallowed
      ? `Drying changed what stays at the origin by no more than the uncertainty: ${points(told)}.`
      : `Drying kept ${sizeIn(told, 'percentage points')} ${told.value < 0 ? 'less' : 'more'} of the colour at the origin.`,
  'runShift.front': (told) =>
    told.swallowed
      ? `The solvent fronts of both strips ran equally far within the uncertainty: ${told.amount}.`
      : `The solvent front of ${stripNoun(told.names, told.ids[1])} ran ${told.size} ${told.value < 0 ? 'less far' : 'farther'} than that of ${stripNoun(told.names, told.ids[0])}.`,
  frontSpeed: (told) =>
    `The front of ${stripNoun(told.names, told.ids[0])} ran ${told.amount}: its distance grows with the square root of time.`,
  'frontSpeed.line': (told) =>
    `Of ${told.ids.length} fronts on this paper with this liquid, the distance grows by ${told.amount} along a straight line against the square root of time.`,
};

function band({ names, finding }: Told): string {
  return bandNoun(names, finding.subject);
}

/** 'band 1 of the fresh strip (vivid blue)' */
function namedBand(told: Told): string {
  return band(told) + bracketedColour(told);
}

/** Of two runs the fresh strip names the band; which strip that is needs saying only where there are several. */
function runBand(told: Told): string {
  const { subject } = told.finding;
  const only = stripNoun(told.names, subject.regions[0]) === 'the fresh strip';
  return (only && subject.band !== undefined ? `band ${subject.band}` : band(told)) + bracketedColour(told);
}

function bracketedColour({ names, finding }: Told): string {
  const { band: number, regions } = finding.subject;
  if (number === undefined) return '';
  const word = colourWord(names, 'bandColour', { regions: [regions[0]], band: number });
  return word === null ? '' : ` (${word})`;
}

/** Signed, since it is swallowed: the sign is all that there is. */
function points(told: Told): string {
  return told.amount.replace(/ %$/, ' percentage points');
}

function tail(told: Told): string {
  const even = Math.abs(told.value - 1) <= 2 * (told.u ?? 0);
  if (even)
    return `${capital(band(told))} is as steep behind as in front, within the uncertainty: tail ${told.amount}.`;
  return told.value > 1
    ? `${capital(band(told))} drags a tail: its flank towards the origin is ${told.amount} times as long as the one in front.`
    : `${capital(band(told))} leans forward: its flank towards the origin is only ${told.amount} times as long as the one in front.`;
}

/** IUPAC: 1.5 parts two bands of equal size to the base; at 1 they share about 2 % of each other. */
function apart(resolution: number): string {
  if (resolution >= 1.5) return 'is parted to the base from';
  return resolution >= 1 ? 'is nearly parted from' : 'overlaps with';
}
