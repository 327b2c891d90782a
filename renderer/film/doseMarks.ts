/** Where on the scale of doses the measured samples lie. */
import type { FilmCurve, FilmPoint } from '../../electron/backend/filmAnswer.ts';
import type { PlottedWork } from '../plots/regionPaper.ts';
import { type DoseScale, shareOf } from './doseAlong.ts';

export interface NibMark {
  /** 'EF'; a sample without a nib goes by its region's name. */
  readonly name: string;
  readonly region: string;
  readonly paper: string;
  /** Middle one of the region's doses. */
  readonly dose: number;
}

/** Writing on one paper, palest first. Swabs are no marks: a graded one lies everywhere. */
export function nibMarks(work: PlottedWork, points: readonly FilmPoint[], paper: string): readonly NibMark[] {
  const marks = work.regions.flatMap(({ region }): NibMark[] => {
    if (region.kind !== 'strokes') return [];
    const doses = points.filter((p) => p.region === region.id && p.paper === paper).map((p) => p.dose);
    return doses.length === 0 ? [] : [{ name: region.nib ?? region.id, region: region.id, paper, dose: middle(doses) }];
  });
  return marks.toSorted((a, b) => a.dose - b.dose);
}

/** All papers' marks, palest first: the stops of the slider's own keys. */
export function nibStops(
  work: PlottedWork,
  points: readonly FilmPoint[],
  curves: readonly FilmCurve[],
): readonly NibMark[] {
  return curves
    .flatMap(({ paper }) => nibMarks(work, points, paper))
    .toSorted((a, b) => a.dose - b.dose || a.paper.localeCompare(b.paper));
}

/** The stop after (or before) a dose; null: there is none that way. */
export function nextStop(stops: readonly NibMark[], dose: number, by: 1 | -1): NibMark | null {
  const apart = 1.004;
  const found =
    by === 1 ? stops.find((stop) => stop.dose > dose * apart) : stops.findLast((stop) => stop.dose < dose / apart);
  return found ?? null;
}

/** Samples whose dose this is, to within what the slider can be set to. */
export function stopsAt(stops: readonly NibMark[], dose: number): readonly NibMark[] {
  return stops.filter((stop) => Math.abs(Math.log(stop.dose / dose)) < 0.012);
}

export interface PlacedMark extends NibMark {
  /** 0..1 along the scale. */
  readonly share: number;
  /** 0 beside the ramp, 1 below: names that would touch stand in two lines. */
  readonly line: 0 | 1;
}

/** @param widthEm of the whole scale in the marks' letter size */
export function placedMarks(marks: readonly NibMark[], scale: DoseScale, widthEm: number): readonly PlacedMark[] {
  const ends = [-Infinity, -Infinity];
  return marks.map((mark) => {
    const share = shareOf(scale, mark.dose);
    const half = 0.3 * mark.name.length + 0.35;
    const at = share * widthEm;
    const line = at - half >= ends[0] || ends[0] <= ends[1] ? 0 : 1;
    ends[line] = at + half;
    return { ...mark, share, line };
  });
}

/** Doses of the samples that are no writing: the steps of swabs. */
export function swabDoses(work: PlottedWork, points: readonly FilmPoint[], paper: string): readonly number[] {
  const written = new Set(work.regions.flatMap(({ region }) => (region.kind === 'strokes' ? [region.id] : [])));
  return points.flatMap((p) => (p.paper === paper && !written.has(p.region) ? [p.dose] : []));
}

function middle(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[half] : Math.sqrt(sorted[half - 1] * sorted[half]);
}
