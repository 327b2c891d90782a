/** Which dye makes the halo: what the zones of a writing sample hold of a strip's dyes, in a plain sentence. */
import { listed } from './words.ts';

export interface ZoneOfDyes {
  readonly zone: 'core' | 'edge' | 'ring';
  readonly amounts: readonly number[];
  /** Standard uncertainties. */
  readonly u: readonly number[];
  /** Of the zone's density, what each dye brings, 0..1. */
  readonly shares: readonly number[];
  /** Above 2: another dye, or not these. */
  readonly misfit: number;
}

export interface NamedDye {
  readonly band: number;
  /** ISCC–NBS name; null: none. */
  readonly name: string | null;
}

/** Shares further apart than this are worth a word. */
const UNLIKE = 0.1;
const MISFIT = 2;

/** @param dyes in the order of the zones' numbers. @param haloMm its width where one was seen around these strokes; null: none was. */
export function zoneSentences(
  zones: readonly ZoneOfDyes[],
  dyes: readonly NamedDye[],
  haloMm: number | null,
): string[] {
  const [ring, core] = [zones.find(({ zone }) => zone === 'ring'), zones.find(({ zone }) => zone === 'core')];
  const lines = [
    ...(ring ? [ringSentence(ring, core ?? null, dyes, haloMm)] : []),
    ...(core ? [coreSentence(core, dyes)] : []),
  ];
  const strange = zones.filter(({ misfit, amounts }) => misfit > MISFIT && amounts.some((a) => a > 0));
  if (strange.length > 0) {
    const where = listed(strange.map(({ zone }) => ZONE_WORDS[zone]));
    lines.push(
      `These dyes alone do not make the colour ${where}: another is there, or the paper shows a dye otherwise.`,
    );
  }
  return lines;
}

export const ZONE_WORDS: Readonly<Record<ZoneOfDyes['zone'], string>> = {
  core: 'in the middle of the strokes',
  edge: 'along their edges',
  ring: 'in the ring around them',
};

export const ZONE_TITLES: Readonly<Record<ZoneOfDyes['zone'], string>> = {
  core: 'Middle of the strokes',
  edge: 'Along their edges',
  ring: 'Ring around them',
};

function ringSentence(
  ring: ZoneOfDyes,
  core: ZoneOfDyes | null,
  dyes: readonly NamedDye[],
  haloMm: number | null,
): string {
  const seen = haloMm === null ? 'No halo was measured around these strokes. ' : '';
  const told = sureDyes(ring);
  if (told.length === 0) {
    return `${seen}Around the strokes none of these dyes stands out from what the paper itself leaves open.`;
  }
  const first = told.toSorted((a, b) => ring.shares[b] - ring.shares[a])[0];
  const whose = dyeWords(dyes[first]);
  const brings = `${percent(ring.shares[first])} of the colour there`;
  const what = haloMm === null ? 'What little lies in the ring' : 'The halo';
  if (core === null) return `${seen}${what} is made most by ${whose}: ${brings}.`;
  const more = ring.shares[first] - core.shares[first];
  const against =
    Math.abs(more) < UNLIKE
      ? `about as much as in the middle of the strokes (${percent(core.shares[first])}): it is the ink as a whole, thinned`
      : `against ${percent(core.shares[first])} in the middle of the strokes`;
  return `${seen}${what} is made most by ${whose}: ${brings}, ${against}.`;
}

function coreSentence(core: ZoneOfDyes, dyes: readonly NamedDye[]): string {
  const told = sureDyes(core).toSorted((a, b) => core.shares[b] - core.shares[a]);
  if (told.length === 0) return 'In the middle of the strokes the dyes cannot be told apart.';
  const parts = told.map((j, i) => `${percent(core.shares[j])} ${i === 0 ? 'comes ' : ''}from ${dyeWords(dyes[j])}`);
  return `Of the colour in the middle of the strokes, ${listed(parts)}.`;
}

/** Dyes that are there beyond doubt. */
function sureDyes({ amounts, u }: ZoneOfDyes): number[] {
  return amounts.flatMap((amount, j) => (amount > 2 * u[j] ? [j] : []));
}

function dyeWords({ band, name }: NamedDye): string {
  return name === null ? `the dye of band ${band}` : `the dye of band ${band} (${name})`;
}

function percent(share: number): string {
  return `${Math.round(100 * share)} %`;
}
