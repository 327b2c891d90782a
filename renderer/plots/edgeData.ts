/** Mean profiles across the edges of lines, ready to be laid over each other. Pure. */
import type { LabValue } from '../../analysis/quantity.ts';
import { fixed } from '../../analysis/report/valueText.ts';
import type { RegionDetail } from '../../electron/backend/api.ts';
import { regionLabel } from './regionLabel.ts';
import { paperOf, type PlottedWork } from './regionPaper.ts';

export interface EdgeCurve {
  readonly region: string;
  readonly label: string;
  /** From paper (negative) to ink; how much of the fall from paper to the ink's core has happened there, %. */
  readonly points: readonly EdgePoint[];
  readonly halo: { readonly fromMm: number; readonly toMm: number; readonly lab: LabValue } | null;
  /** 10–90 % as scanned, and what the scanner alone would make of a sharp edge, mm; null: not known. */
  readonly scannedMm: number | null;
  readonly scannerMm: number | null;
}

export interface EdgePoint {
  readonly mm: number;
  readonly fall: number;
  readonly fitted: number | null;
  readonly lab: LabValue;
  /** Standard uncertainty of `lab`; null: not known. */
  readonly u: LabValue | null;
}

/** Where edges are put, %: half the fall, and the level of ISO 13660. */
export const EDGE_LEVELS = [50, 60] as const;

/** @param ids Regions to show, in order; those whose edges were not measured are left out. */
export function edgeCurves(
  work: PlottedWork,
  details: Readonly<Record<string, RegionDetail>>,
  ids: readonly string[],
): readonly EdgeCurve[] {
  const several = new Set(ids.map((id) => paperOf(work, id))).size > 1;
  return ids.flatMap((id): EdgeCurve[] => {
    const edge = details[id]?.edge;
    const profile = edge?.profile;
    if (!edge || !profile || profile.distanceMm.length < 2) return [];
    return [
      {
        region: id,
        label: regionLabel(work, id, several),
        points: profile.distanceMm.map((mm, i) => ({
          mm,
          fall: 100 * profile.contrast[i],
          fitted: profile.fitted === null ? null : 100 * profile.fitted[i],
          lab: profile.lab[i],
          u: details[id]?.doubt?.acrossEdge?.[i] ?? null,
        })),
        halo: edge.halo && { fromMm: edge.halo.fromMm, toMm: edge.halo.toMm, lab: edge.halo.lab },
        scannedMm: profile.scannedBlurMm,
        scannerMm: profile.scannerBlurMm,
      },
    ];
  });
}

/** What the lines of the plot are, and how much of the blur is the scanner's. */
export function edgeKey(curves: readonly EdgeCurve[]): string {
  const levels = 'Rules at 50 %, where the edge is put, and at 60 %, where ISO 13660 puts it.';
  const scanner = curves.find(({ scannerMm }) => scannerMm !== null)?.scannerMm ?? null;
  const blur =
    scanner === null
      ? 'How far the scanner itself blurs an edge is not known.'
      : `The bar is the scanner’s own blur: it spreads a sharp edge over ${fixed(scanner, 3)} mm from 10 to 90 %.`;
  const fitted = curves.some(({ points }) => points.some((point) => point.fitted !== null))
    ? 'Thin lines: the model that edge, blur and halo were read from.'
    : '';
  return [levels, blur, fitted].filter((part) => part !== '').join(' ');
}

export function edgeSummary(curves: readonly EdgeCurve[]): string {
  const each = curves.map(({ label, scannedMm, halo }) => {
    const blur = scannedMm === null ? '' : ` falls from 10 to 90 % over ${fixed(scannedMm, 3)} mm as scanned`;
    const ring = halo === null ? '' : `${blur === '' ? '' : ' and'} has a halo out to ${fixed(halo.toMm, 2)} mm`;
    return `${label}${blur}${ring}`;
  });
  return `Mean profile across the edge, from paper to ink: ${each.join('; ')}.`;
}

export function edgeTable(curves: readonly EdgeCurve[]): { columns: string[]; rows: string[][] } {
  return {
    columns: ['what', 'mm', 'fall %', 'L*', 'a*', 'b*', '± 2u, L*', '± 2u, a*', '± 2u, b*'],
    rows: curves.flatMap(({ label, points }) =>
      points.map(({ mm, fall, lab, u }) => [
        label,
        fixed(mm, 3),
        fixed(fall, 1),
        ...lab.map((v) => fixed(v, 1)),
        ...(u?.map((v) => fixed(2 * v, 1)) ?? ['?', '?', '?']),
      ]),
    ),
  };
}
