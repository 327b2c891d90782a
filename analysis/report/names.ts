/** What the parts of a sheet are called in a sentence: 'the broad nib', 'the fresh strip', 'band 2 of the fresh strip'. */
import type { LabValue, Quantity, QuantityName, Subject } from '../quantity.ts';
import { findingKey } from './findingKey.ts';

/** A region as its sheet describes it. */
export interface RegionName {
  readonly id: string;
  readonly kind: string;
  readonly nib: string | null;
  /** The region's own paper, else its scan's. */
  readonly paper: string | null;
  readonly run: 'fresh' | 'dried' | null;
  /** What ran up a strip; null or left out: not told. */
  readonly liquid?: string | null;
}

/** All that a sentence may need to know beside its finding. */
export interface Names {
  readonly regions: ReadonlyMap<string, RegionName>;
  /** The ink's findings by key: a pair's sentence says which of the two is darker. */
  readonly findings: ReadonlyMap<string, Quantity>;
}

export function namesOf(regions: readonly RegionName[], findings: readonly Quantity[] = []): Names {
  return {
    regions: new Map(regions.map((region) => [region.id, region])),
    findings: new Map(findings.map((finding) => [findingKey(finding), finding])),
  };
}

/** Widths that makers stamp on their nibs. */
const NIB_WORDS: Readonly<Record<string, string>> = {
  UEF: 'ultra-extra-fine',
  EF: 'extra-fine',
  XF: 'extra-fine',
  F: 'fine',
  FM: 'fine-medium',
  MF: 'medium-fine',
  M: 'medium',
  B: 'broad',
  BB: 'double-broad',
};

/** 'broad' for 'B'; a nib of another name keeps it. */
export function nibWord(nib: string): string {
  return NIB_WORDS[nib.trim().toUpperCase()] ?? nib;
}

/** Thin to thick; a line is one width. No two makers agree on them by more than this order. */
const STAMPED: readonly (readonly string[])[] = [['UEF'], ['EF', 'XF'], ['F'], ['FM', 'MF'], ['M'], ['B'], ['BB']];

/** Place of a stamped width among all, from thin to thick; −1: a nib of another name. */
export function stampedOrder(nib: string): number {
  const stamp = nib.trim().toUpperCase();
  return STAMPED.findIndex((names) => names.includes(stamp));
}

export function quoted(name: string): string {
  return `“${name}”`;
}

export function regionName(names: Names, id: string): RegionName {
  return names.regions.get(id) ?? { id, kind: 'unknown', nib: null, paper: null, run: null };
}

/** 'the broad nib’s writing', 'the swab', 'the swab “second”': as short as tells it from its neighbours. */
export function sampleNoun(names: Names, id: string): string {
  const region = regionName(names, id);
  const alike = [...names.regions.values()].filter(
    (other) => other.kind === region.kind && other.nib === region.nib && other.paper === region.paper,
  );
  const told = alike.length > 1 ? ` ${quoted(id)}` : '';
  if (region.kind === 'strokes') {
    return region.nib === null ? `the writing ${quoted(id)}` : `the ${nibWord(region.nib)} nib’s writing${told}`;
  }
  if (region.kind === 'swab') return `the swab${told}`;
  if (region.kind === 'reverse') return `the reverse ${quoted(id)}`;
  return `the sample ${quoted(id)}`;
}

/** What put the ink on the paper: 'the broad nib', else the sample itself. */
export function penNoun(names: Names, id: string): string {
  const { kind, nib } = regionName(names, id);
  return kind === 'strokes' && nib !== null ? `the ${nibWord(nib)} nib` : sampleNoun(names, id);
}

/** ' on “bright white”' when the ink lies on several papers, else ''. */
export function onPaper(names: Names, id: string): string {
  const { paper } = regionName(names, id);
  return paper !== null && inkedPapers(names).length > 1 ? ` on ${quoted(paper)}` : '';
}

/** 'the paper “bright white”', or 'the paper' of a box without a name. */
export function paperNoun(names: Names, id: string): string {
  const { paper } = regionName(names, id);
  return paper === null ? `the paper of ${quoted(id)}` : `the paper ${quoted(paper)}`;
}

/** '“bright white”', or 'the paper of “ef”' where nobody named it. */
export function paperShort(names: Names, id: string): string {
  const { paper } = regionName(names, id);
  return paper === null ? `the paper of ${quoted(id)}` : quoted(paper);
}

/** 'the fresh strip', 'the strip “second”'. */
export function stripNoun(names: Names, id: string): string {
  const { run } = regionName(names, id);
  const strips = [...names.regions.values()].filter((other) => other.kind === 'strip');
  const alike = strips.filter((other) => other.run === run);
  const noun = run === null ? 'the strip' : `the ${run} strip`;
  return alike.length > 1 || !names.regions.has(id) ? `${noun} ${quoted(id)}` : noun;
}

export function bandNoun(names: Names, { regions, band }: Subject): string {
  return band === undefined
    ? `the bands of ${stripNoun(names, regions[0])}`
    : `band ${band} of ${stripNoun(names, regions[0])}`;
}

/** The colour's word that another finding of the same ink carries, for instance its ISCC–NBS name; null: none. */
export function colourWord(names: Names, quantity: QuantityName, subject: Subject): string | null {
  return names.findings.get(findingKey({ quantity, subject }))?.verdict ?? null;
}

/** The colour that another finding measured; null: none. */
export function colourOf(names: Names, quantity: QuantityName, subject: Subject): LabValue | null {
  const value = names.findings.get(findingKey({ quantity, subject }))?.value ?? null;
  return typeof value === 'number' ? null : value;
}

/** Papers that carry writing or swabs. */
function inkedPapers(names: Names): readonly (string | null)[] {
  const inked = [...names.regions.values()].filter(({ kind }) => kind === 'strokes' || kind === 'swab');
  return [...new Set(inked.map(({ paper }) => paper))];
}
