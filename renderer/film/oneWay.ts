/** Colours that stand beside a figure are told the same way as it: its swatches, its points and paths in a plot. */
import { byMapAlone } from '../../analysis/measure/byMapAlone.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import type { FindingsReport, RegionDetail, TracedFinding } from '../../electron/backend/api.ts';
import type { FilmAnswer, FilmEnds } from '../../electron/backend/filmAnswer.ts';
import { wayOf } from './byWay.ts';

export type Details = Readonly<Record<string, RegionDetail>>;
type Film = Pick<FilmAnswer, 'fits'>;

export interface Beside {
  readonly report: FindingsReport;
  readonly details: Details;
}

/** What goes beside one figure: the colours of its own regions by its own way. */
export function oneWay(figure: Quantity, { report, details }: Beside, film: Film | null): Beside {
  const way = wayOf(figure);
  const { regions } = figure.subject;
  if (way === null || film === null) return { report, details };
  const ends = endsOf(film);
  const isOwn = ({ finding: { quantity, subject } }: TracedFinding): boolean =>
    quantity === 'inkColour' && subject.regions.every((id) => regions.includes(id));
  const told = (finding: Quantity): Quantity => {
    if (way === 'map') return byMapAlone(finding);
    const own = ends.get(finding.subject.regions[0]);
    // The fit's own doubt of it is known to the host alone.
    return finding.byMap !== undefined || own === undefined ? finding : { ...finding, value: own.lab, u: null };
  };
  return {
    report: {
      ...report,
      findings: report.findings.map((one) => (isOwn(one) ? { ...one, finding: told(one.finding) } : one)),
    },
    details: way === 'map' ? details : detailsByFilm(details, regions, film),
  };
}

/** What goes beside all colours of an ink: of each region the way that its own colour is told. */
export function eachItsWay({ report, details }: Beside, film: Film | null): Details {
  const filmed = report.findings.flatMap(({ finding: { quantity, byMap, subject } }) =>
    quantity === 'inkColour' && byMap !== undefined ? subject.regions : [],
  );
  return film === null || filmed.length === 0 ? details : detailsByFilm(details, filmed, film);
}

function detailsByFilm(details: Details, regions: readonly string[], film: Film): Details {
  const ends = endsOf(film);
  return Object.fromEntries(
    Object.entries(details).map(([id, detail]) => {
      const told = regions.includes(id) ? ends.get(id) : undefined;
      return [id, told ? byFilm(detail, told) : detail];
    }),
  );
}

function endsOf({ fits }: Film): ReadonlyMap<string, FilmEnds> {
  return new Map(fits.flatMap((fit) => fit.ends.map((one) => [one.region, one] as const)));
}

function byFilm(detail: RegionDetail, { lab, paper, dark, light }: FilmEnds): RegionDetail {
  return detail.ink ? { ...detail, ink: { ...detail.ink, lab, paper, dark, light } } : detail;
}
