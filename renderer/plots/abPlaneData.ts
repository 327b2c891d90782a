/** What the a*b* plane shows of an ink: papers, nibs, swabs and bands with their uncertainty, and the nibs' way from thin to thick. */
import type { LabValue, Quantity, QuantityName } from '../../analysis/quantity.ts';
import { nibWord } from '../../analysis/report/names.ts';
import type { FindingsReport, RegionDetail } from '../../electron/backend/api.ts';
import { paperOf, type PlottedWork } from './regionPaper.ts';

export type AbKind = 'paper' | 'nib' | 'swab' | 'band';

export interface AbPoint {
  readonly key: string;
  readonly region: string;
  readonly kind: AbKind;
  readonly label: string;
  readonly lab: LabValue;
  /** 0: not known. */
  readonly twoUL: number;
  /** Half-axes of the ± 2u ellipse; 0: not known. The parts of u are told per axis, so that it lies straight. */
  readonly twoUA: number;
  readonly twoUB: number;
  /** It left the ink's own path by more than its uncertainty allows: no part of the path. */
  readonly odd: boolean;
}

/** A line through colours, in order. */
export interface AbPath {
  /** 'ends': one nib's light to dark tenth; 'nibs': thin to thick on one paper. */
  readonly kind: 'ends' | 'nibs';
  readonly paper: string;
  readonly through: readonly LabValue[];
}

export interface AbPlaneData {
  readonly points: readonly AbPoint[];
  readonly paths: readonly AbPath[];
}

export interface AbChoice {
  /** Strips' bands too. */
  readonly bands: boolean;
  /** @default true */
  readonly papers?: boolean;
  /** Only these regions, their papers and paths; absent: all. */
  readonly only?: readonly string[];
}

const KIND_OF: Partial<Readonly<Record<QuantityName, 'paper' | 'ink' | 'band'>>> = {
  paperColour: 'paper',
  inkColour: 'ink',
  bandColour: 'band',
};

export function abPlaneData(
  work: PlottedWork,
  report: Pick<FindingsReport, 'findings'>,
  details: Readonly<Record<string, RegionDetail>>,
  choice: AbChoice,
): AbPlaneData {
  const regions = new Map(work.regions.map(({ region }) => [region.id, region]));
  const wantedPapers = choice.only?.map((id) => paperOf(work, id));
  const papers = new Set(
    work.regions.filter(({ region }) => region.kind === 'strokes').map(({ region }) => paperOf(work, region.id)),
  );
  const odd = oddRegions(report);
  const points = report.findings.flatMap(({ key, finding }): AbPoint[] => {
    const kind = KIND_OF[finding.quantity];
    const [id] = finding.subject.regions;
    const region = regions.get(id);
    if (!kind || !region || finding.value === null || typeof finding.value === 'number') return [];
    if (kind === 'paper' && choice.papers === false) return [];
    const paper = paperOf(work, id);
    if (kind === 'band' && !(choice.bands || choice.only?.includes(id))) return [];
    if (choice.only && !(kind === 'paper' ? wantedPapers?.includes(paper) : choice.only.includes(id))) return [];
    const shape = kind === 'ink' ? (region.kind === 'swab' ? 'swab' : 'nib') : kind;
    return [
      {
        key,
        region: id,
        kind: shape,
        label: `${labelOf(shape, finding, 'nib' in region ? (region.nib ?? null) : null, paper, papers.size > 1)}${kind === 'ink' && odd.has(id) ? ': another ink?' : ''}`,
        lab: finding.value,
        ...ellipseOf(finding),
        odd: kind === 'ink' && odd.has(id),
      },
    ];
  });
  return { points, paths: [...nibPaths(work, points), ...endPaths(work, points, details)] };
}

/** Samples that may be of another ink, or contaminated. */
function oddRegions({ findings }: Pick<FindingsReport, 'findings'>): ReadonlySet<string> {
  return new Set(
    findings.flatMap(({ finding: { quantity, subject, flags } }) =>
      quantity === 'pathDistance' && flags.includes('another-ink') ? [subject.regions[0]] : [],
    ),
  );
}

/** ± 2u in L*, and half-axes of the ellipse in a* and b*. */
export function ellipseOf({ u }: Pick<Quantity, 'u'>): Pick<AbPoint, 'twoUL' | 'twoUA' | 'twoUB'> {
  return u === null || typeof u === 'number'
    ? { twoUL: 0, twoUA: 0, twoUB: 0 }
    : { twoUL: 2 * u[0], twoUA: 2 * u[1], twoUB: 2 * u[2] };
}

function labelOf(kind: AbKind, finding: Quantity, nib: string | null, paper: string | null, several: boolean): string {
  const [id] = finding.subject.regions;
  if (kind === 'paper') return paper ?? id;
  if (kind === 'band') return `band ${finding.subject.band ?? ''} of ${id}`;
  const name = kind === 'nib' && nib !== null ? nibWord(nib) : id;
  // A swab's own name tells its paper well enough, and two names would fill the plane.
  return several && kind === 'nib' && nib !== null && paper !== null ? `${name}, ${firstWords(paper)}` : name;
}

/** 'bright white, smooth' → 'bright white' */
function firstWords(paper: string): string {
  return paper.split(',')[0];
}

/** From the thinnest nib to the thickest, on each paper; nibs without a width keep the sheet's order. */
function nibPaths(work: PlottedWork, points: readonly AbPoint[]): AbPath[] {
  const nibs = points.filter((point) => point.kind === 'nib' && !point.odd);
  const papers = [...new Set(nibs.map((point) => paperOf(work, point.region)))];
  return papers.flatMap((paper) => {
    const there = nibs.filter((point) => paperOf(work, point.region) === paper);
    const sorted = there
      .map((point, order) => ({ point, order, width: widthOf(work, point.region) }))
      .sort((a, b) => (a.width !== null && b.width !== null ? a.width - b.width : 0) || a.order - b.order);
    return sorted.length < 2
      ? []
      : [{ kind: 'nibs' as const, paper: paper ?? '', through: sorted.map(({ point }) => point.lab) }];
  });
}

function widthOf(work: PlottedWork, id: string): number | null {
  const region = work.regions.find((r) => r.region.id === id)?.region;
  return region && 'nibWidthMm' in region ? (region.nibWidthMm ?? null) : null;
}

function endPaths(
  work: PlottedWork,
  points: readonly AbPoint[],
  details: Readonly<Record<string, RegionDetail>>,
): AbPath[] {
  return points.flatMap(({ kind, region, lab }): AbPath[] => {
    const ink = details[region]?.ink;
    if ((kind !== 'nib' && kind !== 'swab') || !ink) return [];
    return [{ kind: 'ends', paper: paperOf(work, region) ?? '', through: [ink.light, lab, ink.dark] }];
  });
}
