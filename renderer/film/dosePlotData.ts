/** What the plots of dose and colour show: a curve a paper, seen and foretold, with the measured samples on it. */
import type { LabValue } from '../../analysis/quantity.ts';
import { fixed } from '../../analysis/report/valueText.ts';
import { listed } from '../../analysis/report/words.ts';
import type { FilmCurve, FilmPoint } from '../../electron/backend/filmAnswer.ts';
import type { PlottedWork } from '../plots/regionPaper.ts';
import type { TableData } from '../plots/PlotTable.tsx';
import { colourAt, isSeen } from './doseAlong.ts';
import { nibMarks } from './doseMarks.ts';

export interface DosePlotData {
  readonly papers: readonly PlottedCurve[];
  readonly points: readonly PlottedPoint[];
  /** Nibs, each at the colour that the curve has at its dose. */
  readonly nibs: readonly { readonly name: string; readonly lab: LabValue; readonly paper: number }[];
}

export interface PlottedCurve {
  /** As long as tells it: 'bright white' of 'bright white, smooth'. */
  readonly label: string;
  readonly paperLab: LabValue;
  /** Pieces in order, palest first; neighbours share their ends. */
  readonly pieces: readonly {
    readonly from: LabValue;
    readonly to: LabValue;
    readonly seen: boolean;
  }[];
  /** Where its name stands. */
  readonly end: LabValue | null;
}

export interface PlottedPoint extends FilmPoint {
  /** Index of its paper. */
  readonly on: number;
}

export function dosePlotData(
  work: PlottedWork,
  curves: readonly FilmCurve[],
  points: readonly FilmPoint[],
): DosePlotData {
  return {
    papers: curves.map((curve) => ({
      label: shortPaper(curve.paper, curves),
      paperLab: curve.paperLab,
      pieces: piecesOf(curve),
      end: curve.lab[curve.lab.length - 1] ?? null,
    })),
    points: points.flatMap((point) => {
      const on = curves.findIndex(({ paper }) => paper === point.paper);
      return on < 0 ? [] : [{ ...point, on }];
    }),
    nibs: curves.flatMap((curve, paper) =>
      nibMarks(work, points, curve.paper).flatMap(({ name, dose }) => {
        const colour = colourAt(curve, dose);
        return colour ? [{ name, lab: colour.lab, paper }] : [];
      }),
    ),
  };
}

/** The part before the comma, where that tells the papers apart. */
export function shortPaper(paper: string, curves: readonly Pick<FilmCurve, 'paper'>[]): string {
  const short = paper.split(',')[0];
  return curves.filter((other) => other.paper.split(',')[0] === short).length > 1 ? paper : short;
}

/** Cut where the seen range begins and ends, so that a piece is either seen or foretold. */
function piecesOf(curve: FilmCurve): PlottedCurve['pieces'] {
  const cuts = curve.seen.filter((dose) => colourAt(curve, dose) !== null);
  const doses = [...new Set([...curve.doses, ...cuts])].toSorted((a, b) => a - b);
  const stops = doses.flatMap((dose) => {
    const colour = colourAt(curve, dose);
    return colour ? [{ dose, lab: colour.lab }] : [];
  });
  return stops.slice(1).map(({ dose, lab }, i) => ({
    from: stops[i].lab,
    to: lab,
    seen: isSeen(curve.seen, Math.sqrt(dose * stops[i].dose)),
  }));
}

export function doseSummary({ papers, points }: DosePlotData, axes: string): string {
  const each = papers.flatMap(({ label, paperLab, pieces }) => {
    const seen = pieces.filter((piece) => piece.seen);
    const [first, last] = [seen[0], seen[seen.length - 1]];
    if (!first || !last) return [];
    return [`on ${label} from ${labText(first.from)} to ${labText(last.to)}, the paper at ${labText(paperLab)}`];
  });
  const measured = `${points.length} measured ${points.length === 1 ? 'sample' : 'samples'}`;
  return `From dose to colour in ${axes}, with ${measured}: ${each.join('; ')}.`;
}

function labText(lab: LabValue): string {
  return lab.map((v) => fixed(v, 0)).join(', ');
}

export function doseKey({ papers }: DosePlotData, withMap: boolean): string {
  const marks = papers.map(({ label }, i) => `${PAPER_MARK_WORDS[i % PAPER_MARK_WORDS.length]} on ${label}`);
  const map = withMap ? ' Hollow marks, tied to their own, are what the target’s map says.' : '';
  return `Marks are measured samples: ${listed(marks)}. The band is what was seen, dashes what is foretold.${map}`;
}

const PAPER_MARK_WORDS = ['discs', 'triangles', 'diamonds', 'squares', 'stars'] as const;
export const PAPER_MARKS = ['circle', 'triangle', 'diamond', 'square', 'star'] as const;

const MAP_TWO_U = ['± 2u, map L*', '± 2u, map a*', '± 2u, map b*'] as const;
const TWO_U = ['± 2u, L*', '± 2u, a*', '± 2u, b*'] as const;

/** The curves' numbers. */
export function curveTable(curves: readonly FilmCurve[]): TableData {
  return {
    columns: ['paper', 'dose', 'seen', 'L*', 'a*', 'b*', ...TWO_U],
    rows: curves.flatMap((curve) =>
      curve.doses.map((dose, i) => [
        curve.paper,
        fixed(dose, 3),
        isSeen(curve.seen, dose) ? 'yes' : 'foretold',
        ...curve.lab[i].map((v) => fixed(v, 1)),
        ...curve.u[i].map((v) => fixed(2 * v, 1)),
      ]),
    ),
  };
}

/** The measured samples' numbers, both ways; a colour by the fit lies on its paper's curve and is as sure as that is there. */
export function pointTable(points: readonly FilmPoint[], curves: readonly FilmCurve[]): TableData {
  return {
    columns: [
      'sample',
      'paper',
      'dose',
      'L*',
      'a*',
      'b*',
      ...TWO_U,
      'map L*',
      'map a*',
      'map b*',
      ...MAP_TWO_U,
      'misfit, σ',
    ],
    rows: points.map(({ region, paper, dose, lab, byMap, byMapU, misfit }) => {
      const curve = curves.find((one) => one.paper === paper);
      const { u } = (curve && colourAt(curve, dose)) ?? { u: null };
      return [
        region,
        paper,
        fixed(dose, 3),
        ...lab.map((v) => fixed(v, 1)),
        ...(u?.map((v) => fixed(2 * v, 1)) ?? ['?', '?', '?']),
        ...byMap.map((v) => fixed(v, 1)),
        ...(byMapU?.map((v) => fixed(2 * v, 1)) ?? ['?', '?', '?']),
        fixed(misfit, 1),
      ];
    }),
  };
}
