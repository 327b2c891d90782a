/** The shelf's bands as rows of a table, in whatever order a person wants. Pure. */
import type { DyeBand, DyeTable } from '../../analysis/compare/dyeTable.ts';
import { fixed, withUncertainty } from '../../analysis/report/valueText.ts';

export const DYE_COLUMNS = [
  { column: 'hue', words: 'hue' },
  { column: 'rF', words: 'R_F' },
  { column: 'ink', words: 'ink' },
  { column: 'name', words: 'colour' },
  { column: 'conditions', words: 'paper, liquid, run' },
  { column: 'shared', words: 'shared with' },
] as const;
export type DyeColumn = (typeof DYE_COLUMNS)[number]['column'];

export interface DyeRow {
  readonly key: string;
  readonly band: DyeBand;
  readonly hueWords: string;
  readonly rFWords: string;
  readonly conditions: string;
  /** Other inks that may hold the same dye. */
  readonly sharedWith: readonly string[];
}

export function dyeRows({ bands, shared }: DyeTable): readonly DyeRow[] {
  return bands.map((band): DyeRow => {
    const { strip, hueDeg, uHueDeg, rF, uRF } = band;
    const group = shared.find((one) => one.bands.some((other) => isSame(other, band)));
    return {
      key: keyOf(band),
      band,
      hueWords: hueDeg === null ? 'nearly grey' : `${fixed(hueDeg, 0)} ± ${fixed(2 * uHueDeg, 0)}°`,
      rFWords: withUncertainty(rF, uRF),
      conditions: conditionWords(strip),
      sharedWith: group ? group.inks.filter((ink) => ink !== strip.ink) : [],
    };
  });
}

/** Stable: rows that are alike keep their order. Greys stand after all hues. */
export function sortedRows(rows: readonly DyeRow[], by: DyeColumn, falling: boolean): readonly DyeRow[] {
  const order = rows.toSorted((a, b) => compared(a, b, by));
  return falling ? order.toReversed() : order;
}

export function keyOf({ strip, band }: DyeBand): string {
  return `${strip.ink}\n${strip.region}\n${band}`;
}

export function conditionWords({ paper, liquid, run }: DyeBand['strip']): string {
  return [paper ?? 'paper not named', liquid ?? 'liquid not named', run ?? 'run not named'].join(', ');
}

function isSame(a: DyeBand, b: DyeBand): boolean {
  return keyOf(a) === keyOf(b);
}

function compared(a: DyeRow, b: DyeRow, by: DyeColumn): number {
  const [x, y] = [a.band, b.band];
  switch (by) {
    case 'hue':
      return (x.hueDeg ?? 400) - (y.hueDeg ?? 400) || x.rF - y.rF;
    case 'rF':
      return x.rF - y.rF;
    case 'ink':
      return x.strip.ink.localeCompare(y.strip.ink, 'en') || x.rF - y.rF;
    case 'name':
      return (x.name ?? '~').localeCompare(y.name ?? '~', 'en');
    case 'conditions':
      return a.conditions.localeCompare(b.conditions, 'en');
    case 'shared':
      return b.sharedWith.length - a.sharedWith.length;
  }
}
