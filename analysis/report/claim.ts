/**
 * Does an ink read as the colour that its maker claims? Names of the writing are held against the claimed words by the ISCC–NBS system's own levels
 * (Kelly & Judd 1976, NBS SP 440): first the hue, then its shade, then how light and strong.
 */
import type { LabValue, Quantity } from '../quantity.ts';
import {
  ADJECTIVES,
  areNeighbours,
  claimedHues,
  claimsOpposed,
  type Hue,
  huesIn,
  shadesContradict,
} from './claimWords.ts';
import { findingKey } from './findingKey.ts';
import { type Names, onPaper, penNoun, regionName } from './names.ts';
import { capital } from './words.ts';

/** Above this chroma an eye sees a hue in a line of ink; common practice, no source. */
export const VISIBLE_CHROMA = 10;

/** What one nib's writing looks like. */
export interface ClaimLine {
  readonly region: string;
  /** Its ISCC–NBS name, or both names where a border lies within u. */
  readonly name: string;
  readonly lab: LabValue;
  /** The finding to open. */
  readonly key: string;
}

export type Agreement = 'yes' | 'no' | 'cannot tell';
/** 'nearly': only the name's adjective is the claimed hue, as in 'purplish blue' for purple, or a neighbour, or 'light blue' for dark blue. */
export type ClaimAgreement = Agreement | 'nearly';

export interface InkClaim {
  /** Palest and densest writing on the whitest paper; the same one where there is but one. */
  readonly thin: ClaimLine;
  readonly thick: ClaimLine;
  /** Whether the hue is still seen where the ink is densest, with the chroma and its u that say so. */
  readonly hueVisible: {
    readonly answer: Agreement;
    readonly chroma: number;
    readonly u: number;
    readonly limit: number;
  };
  /** Null without a claim. */
  readonly claim: ClaimAnswer | null;
  /** Plain statements, in order: thin, thick, hue, claim. */
  readonly sentences: readonly string[];
}

/** Who says so: the maker's own description, or no one but the ink's name. */
export type ClaimedBy = 'maker' | 'name';

export interface ClaimAnswer {
  readonly claimed: string;
  readonly by: ClaimedBy;
  /** Hue words found in the claim, in its order; none: nothing to hold names against. */
  readonly hues: readonly Hue[];
  readonly thin: ClaimAgreement;
  readonly thick: ClaimAgreement;
}

/** Null when no writing of the ink has a colour. @param claim what the colour is called, in anyone's words; null: nothing is claimed */
export function inkClaim(names: Names, claim: string | null, by: ClaimedBy = 'maker'): InkClaim | null {
  const written = [...names.findings.values()].filter(
    (f) => f.quantity === 'inkColour' && regionName(names, f.subject.regions[0]).kind === 'strokes',
  );
  const lines = written.flatMap((f): ClaimLine[] => {
    const { value, verdict } = f;
    if (value === null || typeof value === 'number' || verdict === undefined) return [];
    return [{ region: f.subject.regions[0], name: verdict, lab: value, key: findingKey(f) }];
  });
  if (lines.length === 0) return null;
  // Papers tint what lies on them: palest and densest are told on one, the whitest.
  const paper = whitestPaper(lines, names);
  const byLightness = lines
    .filter(({ region }) => regionName(names, region).paper === paper)
    .toSorted((a, b) => b.lab[0] - a.lab[0]);
  const [thin] = byLightness;
  const thick = byLightness[byLightness.length - 1];
  const hueVisible = visibleAt(thick, names);
  const answer = claim === null || claim.trim() === '' ? null : answerOf(claim.trim(), by, thin, thick);
  return {
    thin,
    thick,
    hueVisible,
    claim: answer,
    sentences: [
      ...lookSentences(thin, thick, names),
      hueSentence(hueVisible, thick, thin === thick),
      ...(answer ? [claimSentence(answer)] : []),
    ],
  };
}

/** Of the papers that are written on: nearest to a perfect white by its bare colour, else the first that is written on. */
function whitestPaper(lines: readonly ClaimLine[], names: Names): string | null {
  const papers = [...new Set(lines.map(({ region }) => regionName(names, region).paper))];
  const fromWhite = new Map<string | null, number>();
  for (const { quantity, value, subject } of names.findings.values()) {
    if (quantity !== 'paperColour' || value === null || typeof value === 'number') continue;
    const { paper } = regionName(names, subject.regions[0]);
    const away = Math.hypot(100 - value[0], value[1], value[2]);
    fromWhite.set(paper, Math.min(away, fromWhite.get(paper) ?? Infinity));
  }
  const away = (paper: string | null): number => fromWhite.get(paper) ?? Infinity;
  return papers.reduce((best, paper) => (away(paper) < away(best) ? paper : best), papers[0] ?? null);
}

/** What one name says of the claim: its own hue is among the claimed; its adjective's or a neighbour is, or only the shade is not; or neither. */
function closeness(words: readonly string[], claimed: readonly Hue[], claim: string): 0 | 1 | 2 {
  const own = words.flatMap((word) => huesIn(word));
  if (own.some((hue) => claimed.includes(hue))) return shadesContradict(claim, words) ? 1 : 2;
  if (own.some((hue) => claimed.some((other) => areNeighbours(hue, other)))) return 1;
  return words.some((word) => claimed.some((hue) => hue === ADJECTIVES[word])) ? 1 : 0;
}

/** The words of each name that a measured colour may have: 'strong or brilliant yellow' → two. */
function namesIn(spoken: string): readonly (readonly string[])[] {
  const parts = spoken.split(' or ').map((part) => part.split(' '));
  const nouns = parts[parts.length - 1].filter((word) => huesIn(word).length > 0);
  // 'strong' borrows what both names end in.
  return parts.map((words) => (words.some((word) => huesIn(word).length > 0) ? words : [...words, ...nouns]));
}

/** As far as all names agree that lie within u; 'cannot tell' where some name the claimed hue and some do not. */
function agreement(claimed: readonly Hue[], claim: string, spoken: string): ClaimAgreement {
  if (claimed.length === 0 || claimsOpposed(claim)) return 'cannot tell';
  const close = namesIn(spoken).map((words) => closeness(words, claimed, claim));
  const [least, most] = [Math.min(...close), Math.max(...close)];
  if (least === 2) return 'yes';
  if (least === 1) return 'nearly';
  return most === 0 ? 'no' : 'cannot tell';
}

function answerOf(claimed: string, by: ClaimedBy, thin: ClaimLine, thick: ClaimLine): ClaimAnswer {
  const hues = by === 'name' ? huesIn(claimed) : claimedHues(claimed);
  const of = ({ name }: ClaimLine): ClaimAgreement => agreement(hues, claimed, name);
  return { claimed, by, hues, thin: of(thin), thick: of(thick) };
}

function visibleAt(thick: ClaimLine, names: Names): InkClaim['hueVisible'] {
  const own = { quantity: 'inkColour.chroma', subject: { regions: [thick.region] } } as const;
  const found: Quantity | undefined = names.findings.get(findingKey(own));
  const chroma = typeof found?.value === 'number' ? found.value : Math.hypot(thick.lab[1], thick.lab[2]);
  const u = typeof found?.u === 'number' ? found.u : 0;
  // As it is printed: a limit within ± 2u is not passed for certain.
  const far = Math.abs(chroma - VISIBLE_CHROMA) > 2 * u;
  return { answer: !far ? 'cannot tell' : chroma > VISIBLE_CHROMA ? 'yes' : 'no', chroma, u, limit: VISIBLE_CHROMA };
}

function lookSentences(thin: ClaimLine, thick: ClaimLine, names: Names): string[] {
  const writes = (line: ClaimLine): string =>
    `${capital(penNoun(names, line.region))} writes ${line.name}${onPaper(names, line.region)}`;
  if (thin.region === thick.region) return [`${writes(thin)}.`];
  return [`At its palest: ${decapital(writes(thin))}.`, `At its densest: ${decapital(writes(thick))}.`];
}

function hueSentence({ answer, chroma, u, limit }: InkClaim['hueVisible'], { lab }: ClaimLine, alone: boolean): string {
  const figures = `chroma ${chroma.toFixed(1)}${u > 0 ? ` ± ${(2 * u).toFixed(1)}` : ''}`;
  const where = alone ? '' : ' where it is densest';
  if (answer === 'yes')
    return `Its hue is ${alone ? '' : 'still '}seen${where}: ${figures}, above the ${limit} from which an eye sees one.`;
  if (answer === 'no')
    return `It looks nearly ${neutralAt(lab[0])}${where}: ${figures}, and below ${limit} an eye hardly sees a hue.`;
  return `Whether its hue is ${alone ? '' : 'still '}seen${where} cannot be told: ${figures}, too near the ${limit} from which an eye sees one.`;
}

/** Borders of black and white among the system's neutrals: Munsell value 2.5 and 8.5. */
function neutralAt(L: number): string {
  return L < 26 ? 'black' : L > 86 ? 'white' : 'gray';
}

function claimSentence({ claimed, by, hues, thin, thick }: ClaimAnswer): string {
  const said = `${by === 'name' ? 'It is called' : 'Its maker says'} “${claimed}”`;
  if (hues.length === 0) return `${said}, in which there is no word of colour to hold this against.`;
  if (claimsOpposed(claimed)) return `${said}: colours too far apart for one ink to read as both.`;
  if (thin === thick) {
    if (thin === 'yes') return `${said}, and it reads as that.`;
    if (thin === 'nearly') return `${said}, and it comes near that.`;
    if (thin === 'no') return `${said}; it reads as another colour.`;
    return `${said}; whether it reads as that cannot be told within the uncertainty.`;
  }
  const clause = (writing: string, answer: ClaimAgreement): string =>
    answer === 'cannot tell' ? `whether ${writing} reads as that cannot be told` : `${writing} ${CLAUSES[answer]}`;
  return `${said}: ${clause('thin writing', thin)}, ${clause('thick writing', thick)}.`;
}

const CLAUSES: Readonly<Record<Exclude<ClaimAgreement, 'cannot tell'>, string>> = {
  yes: 'reads as that',
  nearly: 'comes near that',
  no: 'reads as another colour',
};

function decapital(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1);
}
