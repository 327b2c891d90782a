/** A strip's dyes by the colours of their bands, for holding against what came through another scanner or lies on another paper. */
import { labD50, type LabD50 } from '../../colour/lab.ts';
import type { LabValue } from '../../quantity.ts';
import { triple } from '../../triple.ts';
import type { StripMeasure } from './strip.ts';
import { type Dye, dyeOfColour } from './unmix.ts';

/** Of all places, the share with the least colour whose mean is the paper. */
const BAREST = 0.1;

/** The strip's own paper, from where its profile has no colour; null: it has no profile. */
export function paperOfStrip({ profile }: Pick<StripMeasure, 'profile'>): LabD50 | null {
  const { absorbance, lab } = profile;
  const coloured = lab.map(
    (_, i) => Math.abs(absorbance[0][i]) + Math.abs(absorbance[1][i]) + Math.abs(absorbance[2][i]),
  );
  const barest = lab.map((_, i) => i).toSorted((a, b) => coloured[a] - coloured[b]);
  const kept = barest.slice(0, Math.max(1, Math.round(BAREST * barest.length)));
  if (kept.length === 0) return null;
  const mean = triple((c) => kept.reduce((sum, i) => sum + lab[i][c], 0) / kept.length);
  return labD50(...mean);
}

/** By band number; [] where the paper cannot be told. What the calibration errs by is paper's and band's alike and stays out. */
export function dyesByColour(strip: Pick<StripMeasure, 'bands' | 'profile'>): Dye[] {
  const paper = paperOfStrip(strip);
  if (paper === null) return [];
  return strip.bands.map(({ colour, colourParts }) => dyeOfColour(asLab(colour), paper, colourParts.repeatability));
}

function asLab([L, a, b]: LabValue): LabD50 {
  return labD50(L, a, b);
}
