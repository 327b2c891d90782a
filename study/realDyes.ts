/** Absorption curves of real dyes in solution, on the studies' wavelengths; tests/vectors/dye_spectra.NOTICE.md names their source. */
import { readFileSync } from 'node:fs';
import type { Spectrum } from './simulatedColours.ts';

/** Dyes only: pigments scatter, and the zinc phthalocyanines are monomers in organic solvents, unlike a turquoise dye on paper. */
export function realDyes(): Spectrum[] {
  const text = readFileSync(new URL('../tests/vectors/dye_spectra.csv', import.meta.url), 'utf8');
  const [names, ...rows] = text
    .trim()
    .split('\n')
    .map((line) => line.trim().split(','));
  return names.flatMap((name, column) =>
    column === 0 || name.startsWith('pigment_') || name.startsWith('znpc')
      ? []
      : [rows.map((row) => Number(row[column]))],
  );
}
