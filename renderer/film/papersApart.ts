/** A fit as the window shows it: its papers in the work's order, each by a name of its own. */
import type { FilmCurve, FilmOfInk, FilmPoint } from '../../electron/backend/filmAnswer.ts';
import type { PlottedWork } from '../plots/regionPaper.ts';

/** One paper on two scans has two curves: then the scan is part of its name. */
export function papersApart(work: PlottedWork, fit: FilmOfInk): FilmOfInk {
  const twice = (paper: string): boolean => fit.curves.filter((curve) => curve.paper === paper).length > 1;
  const named = (paper: string, scan: string | undefined): string =>
    scan !== undefined && twice(paper) ? `${paper} (${scan})` : paper;
  const scanOf = (id: string): string | undefined => work.regions.find(({ region }) => region.id === id)?.region.scan;
  const points = fit.points.map((point): FilmPoint => ({ ...point, paper: named(point.paper, scanOf(point.region)) }));
  const curves = fit.curves.map((curve): FilmCurve => ({ ...curve, paper: named(curve.paper, curve.scan) }));
  return { ...fit, points, curves: inOrder(work, curves, points) };
}

function inOrder(work: PlottedWork, curves: readonly FilmCurve[], points: readonly FilmPoint[]): readonly FilmCurve[] {
  const order = work.regions.map(({ region }) => points.find((point) => point.region === region.id)?.paper);
  const place = ({ paper }: FilmCurve): number => (order.includes(paper) ? order.indexOf(paper) : order.length);
  return curves.toSorted((a, b) => place(a) - place(b));
}
