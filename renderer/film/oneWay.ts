/** Colours that stand beside a figure are told the same way as it: its swatches, its points and paths in a plot. */
import { byMapAlone } from '../../analysis/measure/byMapAlone.ts';
import type { LabValue, Quantity } from '../../analysis/quantity.ts';
import { triple } from '../../analysis/triple.ts';
import type { FindingsReport, RegionDetail, TracedFinding } from '../../electron/backend/api.ts';
import type { FilmAnswer, FilmCurve, FilmEnds } from '../../electron/backend/filmAnswer.ts';
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
    details: way === 'map' ? details : detailsByFilm({ report, details }, regions, film),
  };
}

/** What goes beside all colours of an ink: of each region the way that its own colour is told. */
export function eachItsWay({ report, details }: Beside, film: Film | null): Details {
  const filmed = report.findings.flatMap(({ finding: { quantity, byMap, subject } }) =>
    quantity === 'inkColour' && byMap !== undefined ? subject.regions : [],
  );
  return film === null || filmed.length === 0 ? details : detailsByFilm({ report, details }, filmed, film);
}

function detailsByFilm({ report, details }: Beside, regions: readonly string[], film: Film): Details {
  const ends = endsOf(film);
  const curves = film.fits.flatMap((fit) => fit.curves);
  return Object.fromEntries(
    Object.entries(details).map(([id, detail]) => {
      const told = regions.includes(id) ? ends.get(id) : undefined;
      const own = report.findings.find(
        ({ finding: { quantity, subject } }) => quantity === 'inkColour' && subject.regions[0] === id,
      );
      return [id, told ? byFilm(detail, told, curves, own?.finding) : detail];
    }),
  );
}

function endsOf({ fits }: Film): ReadonlyMap<string, FilmEnds> {
  return new Map(fits.flatMap((fit) => fit.ends.map((one) => [one.region, one] as const)));
}

function byFilm(
  detail: RegionDetail,
  { lab, paper, dark, light }: FilmEnds,
  curves: readonly FilmCurve[],
  own: Quantity | undefined,
): RegionDetail {
  if (!detail.ink) return detail;
  const { ink: _ink, paper: _paper, dark: _dark, light: _light, ...others } = detail.doubt ?? {};
  const curve = curves.find(({ paperLab }) => paperLab.every((part, c) => part === paper[c]));
  const of = (colour: LabValue): LabValue | null => (curve ? doubtOnCurve(colour, curve, own) : null);
  const [u, uDark, uLight] = [of(lab), of(dark), of(light)];
  const doubt = { ...others, ...(u && { ink: u }), ...(uDark && { dark: uDark }), ...(uLight && { light: uLight }) };
  return { ...detail, ink: { ...detail.ink, lab, paper, dark, light }, doubt };
}

/** As sure as the fit's curve is where this colour lies, with the sample's own scatter and its edges' part: as findings by the fit have it. */
function doubtOnCurve(colour: LabValue, { lab, u }: FilmCurve, own: Quantity | undefined): LabValue | null {
  const away = lab.map((at) => Math.hypot(...at.map((part, c) => part - colour[c])));
  const place = away.indexOf(Math.min(...away));
  if (place < 0) return null;
  const { repeatability = 0, placement = 0 } = own?.uParts ?? {};
  const part = (value: number | LabValue, c: 0 | 1 | 2): number => (typeof value === 'number' ? value : value[c]);
  return triple((c) => Math.hypot(u[place][c], part(repeatability, c), part(placement, c)));
}
