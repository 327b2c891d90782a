/** One ink fitted to its doses, without the regions that are no sample of it, and without the pixels that hold paper beside ink. */
import { straightened } from '../../film/bend.ts';
import { fitFilm, type FilmFit } from '../../film/fitFilm.ts';
import { type FitJudgement, judgeFit, MISFIT_LIMIT } from '../../film/judge.ts';
import type { Sensors } from '../../film/sensors.ts';
import { MOST_MIXED } from './rules.ts';
import { distinct, densitiesOf, type Dose, FEWEST_DOSES, type FilmPaper, type Series } from './series.ts';

export interface InkFilm {
  readonly fit: FilmFit;
  readonly judgement: FitJudgement;
  /** Papers of the fit, as indices into the input's. */
  readonly papers: readonly number[];
  /** In the fit's order. */
  readonly doses: readonly Dose[];
  /** Regions left out since they do not lie on the ink's curve, in the order found, with the misfit (standard deviations) that they had; null: not asked. */
  readonly strangers: readonly { readonly region: number; readonly misfit: number | null }[];
}

/** A search that has not come to rest by then is given up. */
const ITERATIONS = 40;
/** No more than this share of the regions is left out (of three or more, one): if more do not fit, nothing tells which is the ink. */
const MOST_LEFT_OUT = 0.34;
/** Of regions whose path says so; if more do, nothing tells which is the ink. */
const MOST_FOREIGN = 0.5;
/** Leaving a region out must take this share of chi-square with it. */
const LEAST_FALL = 0.4;
const MIXED_ROUNDS = 3;
/** Regions tried: the one that misfits most may be sound, and another bend the curve away from it. */
const TRIED = 3;

/**
 * Regions that the curve does not bear, or whose path says that they are another ink, are left out and named: at most a third, and half,
 * of all. @param papers all that `series` counts through, also those that take no part
 */
export function fitInk(series: Series, papers: readonly FilmPaper[], sensors: Sensors): InkFilm {
  const regions = new Set(series.doses.map(({ region }) => region)).size;
  const most = Math.floor(MOST_LEFT_OUT * regions);
  const own = withoutForeign(series, papers);
  const strangers: { region: number; misfit: number | null }[] = [...series.foreign]
    .filter(
      (region) => series.doses.some((dose) => dose.region === region) && !own.some((dose) => dose.region === region),
    )
    .map((region) => ({ region, misfit: null }));
  const on = series.papers.filter((paper) => own.some((dose) => dose.paper === paper));
  let here = withoutMixed(fitted(own, on, papers, sensors), papers, sensors);
  while (strangers.length < most) {
    const worst = misfitsOf(here)
      .filter(({ misfit }) => misfit > MISFIT_LIMIT)
      .slice(0, TRIED);
    let best: { readonly without: Fitted; readonly region: number; readonly misfit: number } | null = null;
    for (const { region, misfit } of worst) {
      const doses = here.doses.filter((dose) => dose.region !== region);
      if (distinct(densitiesOf(papers, doses)) < FEWEST_DOSES) continue;
      const left = here.papers.filter((paper) => doses.some((dose) => dose.paper === paper));
      const without = fitted(doses, left, papers, sensors);
      if (best === null || without.fit.chiSquare < best.without.fit.chiSquare) best = { without, region, misfit };
    }
    if (best === null || best.without.fit.chiSquare > (1 - LEAST_FALL) * here.fit.chiSquare) break;
    strangers.push({ region: best.region, misfit: best.misfit });
    here = best.without;
  }
  const papersLab = here.papers.map((paper) => papers[paper].bare.lab);
  return { ...here, judgement: judgeFit(here.fit, papersLab), strangers };
}

/**
 * What another ink bends the curve by is often too little to be seen from the fit, which follows it: a pen with a few per cent of another ink left its
 * page's colours off by 2.0 instead of 0.9 ΔE00 (study writing). All stay where too few would be left.
 */
function withoutForeign({ doses, foreign }: Series, papers: readonly FilmPaper[]): readonly Dose[] {
  const own = doses.filter(({ region }) => !foreign.has(region));
  const [all, left] = [doses, own].map((some) => new Set(some.map(({ region }) => region)).size);
  return left < MOST_FOREIGN * all || distinct(densitiesOf(papers, own)) < FEWEST_DOSES ? doses : own;
}

/** The same ink without one of its papers; no region is judged anew. */
export function fitWithout(film: InkFilm, paper: number, papers: readonly FilmPaper[], sensors: Sensors): InkFilm {
  const doses = film.doses.filter((dose) => dose.paper !== paper);
  const left = film.papers.filter((one) => one !== paper);
  const without = fitted(doses, left, papers, sensors);
  const judgement = judgeFit(
    without.fit,
    left.map((one) => papers[one].bare.lab),
  );
  return { ...without, judgement, strangers: [] };
}

type Fitted = Pick<InkFilm, 'fit' | 'papers' | 'doses'>;

/**
 * Where a swab ran dry, pixels hold bare paper beside ink: mixed as light they lie off the curve of any dose, while the rest of their region lies on it.
 * Such a bin is left out, the region stays.
 */
function withoutMixed(all: Fitted, papers: readonly FilmPaper[], sensors: Sensors): Fitted {
  const lost = new Map<number, number>();
  let here = all;
  // One such bin bends the curve away from others, which show only once it is gone.
  for (let round = 0; round < MIXED_ROUNDS; round++) {
    const mixed = mixedOf(here, lost);
    const doses = here.doses.filter((dose) => !mixed.has(dose));
    if (mixed.size === 0 || distinct(densitiesOf(papers, doses)) < FEWEST_DOSES) break;
    const without = fitted(doses, here.papers, papers, sensors);
    if (without.fit.chiSquare > (1 - LEAST_FALL) * here.fit.chiSquare) break;
    for (const { region, share } of mixed) lost.set(region, (lost.get(region) ?? 0) + share);
    here = without;
  }
  return withThoseOnCurve(here, all.doses, papers, sensors);
}

/**
 * What looked bad by the pull of worse ones alone is taken back, the densest first, as long as all lies on the curve with it: of a graded swab its palest
 * bin tells most, and no other sample shows it.
 */
function withThoseOnCurve(here: Fitted, all: readonly Dose[], papers: readonly FilmPaper[], sensors: Sensors): Fitted {
  const kept = new Set(here.doses);
  const gone = all.filter((dose) => !kept.has(dose));
  const light = ({ paper, signal }: Dose): number =>
    signal.reduce((sum, x, c) => sum + x / papers[paper].bare.signal[c], 0);
  let best = here;
  for (const dose of gone.toSorted((a, b) => light(a) - light(b))) {
    const taken = new Set([...best.doses, dose]);
    const doses = all.filter((one) => taken.has(one));
    const again = fitted(doses, here.papers, papers, sensors);
    if (again.fit.regionChiSquare.every((square) => Math.sqrt(square / 3) <= MISFIT_LIMIT)) best = again;
  }
  return best;
}

/** Of each region the worst first, for one bad bin has the next ones look bad. @param lost shares of regions that are left out already */
function mixedOf({ fit, papers, doses }: Fitted, lost: ReadonlyMap<number, number>): ReadonlySet<Dose> {
  const shares = new Map(lost);
  const off = doses
    .map((dose, i) => ({ dose, misfit: Math.sqrt(fit.regionChiSquare[papers.length + i] / 3) }))
    .filter(({ misfit }) => misfit > MISFIT_LIMIT)
    .toSorted((a, b) => b.misfit - a.misfit);
  const mixed = off.filter(({ dose: { region, share } }) => {
    const all = (shares.get(region) ?? 0) + share;
    if (all > MOST_MIXED) return false;
    shares.set(region, all);
    return true;
  });
  return new Set(mixed.map(({ dose }) => dose));
}

function fitted(doses: readonly Dose[], on: readonly number[], papers: readonly FilmPaper[], sensors: Sensors): Fitted {
  const fit = fitFilm(
    {
      papers: on.map((paper) => ({ signal: straightened(papers[paper].bare.signal, sensors.bends) })),
      regions: doses.map(({ region, paper, signal }, i) => ({
        id: `${region}.${i}`,
        paper: on.indexOf(paper),
        signal: straightened(signal, sensors.bends),
      })),
    },
    sensors,
    { iterations: ITERATIONS },
  );
  return { fit, papers: on, doses };
}

/** Root mean square per region over its doses' signals, most first. */
function misfitsOf({ fit, papers, doses }: Fitted): { readonly region: number; readonly misfit: number }[] {
  const sums = new Map<number, { squares: number; count: number }>();
  doses.forEach(({ region }, i) => {
    const before = sums.get(region) ?? { squares: 0, count: 0 };
    sums.set(region, {
      squares: before.squares + fit.regionChiSquare[papers.length + i],
      count: before.count + 3,
    });
  });
  return [...sums]
    .map(([region, { squares, count }]) => ({ region, misfit: Math.sqrt(squares / count) }))
    .toSorted((a, b) => b.misfit - a.misfit);
}
