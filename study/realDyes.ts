/** Absorption curves of real dyes in solution, on the studies' wavelengths; tests/vectors/dye_spectra.NOTICE.md names their source. */
import { readFileSync } from 'node:fs';
import type { Spectrum } from './simulatedColours.ts';

/** Dyes only: pigments scatter, and the zinc phthalocyanines are monomers in organic solvents, unlike a turquoise dye on paper. */
export function realDyes(): Spectrum[] {
  return [...realDyesByName().values()];
}

/** Dyes of like structure have like curves: left out of a prior together, they are strangers to it. */
export const DYE_FAMILIES: Readonly<Record<string, readonly string[]>> = {
  azo: [
    'acid_blue_92',
    'acid_red_1',
    'acid_red_14',
    'acid_violet_3',
    'evans_blue',
    'methyl_orange',
    'orange_g',
    'orange_ii',
    'sudan_iii',
  ],
  triarylmethane: ['malachite_green', 'methyl_blue', 'methyl_green', 'p_fuchsin', 'phenol_red', 'phenolphthalein'],
  xanthene: [
    'eosin_y',
    'erythrosine_b',
    'fluorescein',
    'phloxine_b',
    'rhodamine_123',
    'rose_bengal',
    'sulforhodamine_101',
  ],
  azine: ['azure_ii', 'neutral_red', 'oxazine_170', 'thionin', 'toluidine_blue_o'],
  other: ['acridine_orange', 'thiazole_orange', 'alizarin_red_s', 'curcumin'],
  film: [
    'gelatine_filter_6',
    'gelatine_filter_67a',
    'gelatine_filter_78aa',
    'gelatine_filter_80a',
    'gelatine_filter_column_92',
  ],
};

export function realDyesByName(): Map<string, Spectrum> {
  return new Map([...columnsByName()].filter(([name]) => !name.startsWith('pigment_') && !name.startsWith('znpc')));
}

function columnsByName(): Map<string, Spectrum> {
  const text = readFileSync(new URL('../tests/vectors/dye_spectra.csv', import.meta.url), 'utf8');
  const [names, ...rows] = text
    .trim()
    .split('\n')
    .map((line) => line.trim().split(','));
  return new Map(
    names.flatMap((name, column) => (column === 0 ? [] : [[name, rows.map((row) => Number(row[column]))] as const])),
  );
}

export interface Pigment {
  /** Absorption, maximum 1, and scatter in the same unit. */
  readonly k: Spectrum;
  readonly s: Spectrum;
}

/** Artists' pigments in acrylic; source in tests/vectors/dye_spectra.NOTICE.md. */
export function pigmentsByName(): Map<string, Pigment> {
  const columns = columnsByName();
  return new Map(
    [...columns.keys()].flatMap((name) => {
      const pigment = /^pigment_(.+)_K$/.exec(name)?.[1];
      const k = columns.get(name);
      const s = columns.get(`pigment_${pigment}_S`);
      return pigment !== undefined && k && s ? [[pigment, { k, s }] as const] : [];
    }),
  );
}
