/** The colours of a sample that sheen leaves alone. */
import type { Xyz } from '../colour/lab.ts';
import { regionDoses } from './film/doses.ts';
import type { InkDoses } from './film/inkDoses.ts';
import type { InkSample } from './inkSample.ts';

/** A dose of which more than this share lies near sheen has too little left to tell its colour; common practice, no source. */
const MOSTLY_SHEEN = 0.8;

/**
 * The sample's colours by how dense they are, sheen and what lies within its reach left out: as the film fit's doses are binned.
 * @param near not 0 of each pixel that sheen's light reaches @param paper XYZ of the bare paper
 */
export function coloursBesideSheen(
  near: Uint8Array,
  { xyz, smoothXyz, paperNoise }: Pick<InkSample, 'xyz' | 'smoothXyz' | 'paperNoise'>,
  paper: Xyz,
): NonNullable<InkDoses['beside']> {
  const overPaper = (colours: Float32Array): Float32Array => colours.map((v, i) => v / paper[i % 3]);
  const { bins } = regionDoses({
    ratio: overPaper(xyz),
    smoothRatio: overPaper(smoothXyz),
    clipped: near,
    paper,
    paperNoise,
  });
  return bins
    .filter(({ clippedShare }) => clippedShare < MOSTLY_SHEEN)
    .map(({ signal, share, clippedShare }) => ({ xyz: signal, share: share * (1 - clippedShare) }));
}
