/** Sentences about paper, writing and swabs. */
import type { QuantityName } from '../quantity.ts';
import { onPaper, paperNoun, penNoun, regionName, sampleNoun } from './names.ts';
import { capital } from './words.ts';
import { type Told, type ToldColour, verdictClause } from './telling.ts';
import { fixed } from './valueText.ts';

export function paperColour({ finding, names, ids, amount }: ToldColour): string {
  return finding.verdict === undefined
    ? `${capital(paperNoun(names, ids[0]))} measures ${amount}.`
    : `${capital(paperNoun(names, ids[0]))} is ${finding.verdict}: ${amount}.`;
}

export function inkColour({ finding, names, ids, amount }: ToldColour): string {
  const verb = regionName(names, ids[0]).kind === 'strokes' ? 'writes' : 'is';
  const who = verb === 'writes' ? penNoun(names, ids[0]) : sampleNoun(names, ids[0]);
  const where = onPaper(names, ids[0]);
  return finding.verdict === undefined
    ? `The colour of ${sampleNoun(names, ids[0])}${where} is ${amount}.`
    : `${capital(who)}${verb === 'is' ? where : ''} ${verb} ${finding.verdict}${verb === 'is' ? '' : where}: ${amount}.`;
}

type InkName = Extract<
  QuantityName,
  `paperTexture` | `inkColour.${string}` | 'inkDensity' | `shading${string}` | `swabVariation${string}`
>;

export const INK_SENTENCES: Readonly<Record<InkName, (told: Told) => string>> = {
  paperTexture: ({ names, ids, amount }) =>
    `${capital(paperNoun(names, ids[0]))} scatters by ${amount} from one half-millimetre square to the next.`,
  'inkColour.hue': (told) => `The hue of ${sample(told)} is ${told.amount}.`,
  'inkColour.chroma': (told) => `The chroma C* of ${sample(told)} is ${told.amount}; grey has none.`,
  inkDensity: (told) =>
    `${capital(sample(told))} has a density of ${told.amount} above paper: it sends back ${share(told.value)} % of the light that its paper does.`,
  shading: (told) =>
    `${capital(sample(told))} shades by ${told.amount} between its dark and its light tenth${verdictClause(told.finding)}.`,
  'shading.dL': lighterTenth,
  'shading.dHue': hueTurn,
  swabVariation: (told) =>
    `${capital(sample(told))} varies by ${told.amount} between its dark and its light tenth${verdictClause(told.finding)}.`,
  'swabVariation.dL': lighterTenth,
};

function sample({ names, ids }: Told): string {
  return sampleNoun(names, ids[0]) + onPaper(names, ids[0]);
}

function lighterTenth(told: Told): string {
  return `The light tenth of ${sample(told)} is ${told.amount} lighter than the dark one.`;
}

function hueTurn(told: Told): string {
  return told.swallowed
    ? `From dark to light tenth, the hue of ${sample(told)} turns by no more than the uncertainty: ${told.amount}.`
    : `From dark to light tenth, the hue of ${sample(told)} turns by ${told.amount}.`;
}

/** Per cent of the paper's light, from a density. */
function share(density: number): string {
  const percent = 100 * 10 ** -density;
  return fixed(percent, percent < 10 ? 1 : 0);
}
