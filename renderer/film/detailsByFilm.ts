/** Regions' colours by the way that their findings are told: a figure by the film fit beside swatches by the map would be no pair. */
import type { RegionDetail, TracedFinding } from '../../electron/backend/api.ts';
import type { FilmAnswer, FilmEnds } from '../../electron/backend/filmAnswer.ts';

export type Details = Readonly<Record<string, RegionDetail>>;

/** @param findings as the page shows them: by the map alone they leave the details as they are */
export function detailsByFilm(
  details: Details,
  findings: readonly TracedFinding[],
  film: Pick<FilmAnswer, 'fits'> | null,
): Details {
  const ends = new Map((film?.fits ?? []).flatMap((fit) => fit.ends.map((one) => [one.region, one] as const)));
  if (ends.size === 0) return details;
  const [means, tenths] = [filmed(findings, ['inkColour']), filmed(findings, ['shading', 'swabVariation'])];
  return Object.fromEntries(
    Object.entries(details).map(([id, detail]) => {
      const told = ends.get(id);
      return [id, told ? byFilm(detail, told, means.has(id), tenths.has(id)) : detail];
    }),
  );
}

/** Regions of which one of these quantities is by the film fit. */
function filmed(findings: readonly TracedFinding[], quantities: readonly string[]): ReadonlySet<string> {
  return new Set(
    findings.flatMap(({ finding: { quantity, byMap, subject } }) =>
      byMap !== undefined && quantities.includes(quantity) ? subject.regions : [],
    ),
  );
}

function byFilm(detail: RegionDetail, ends: FilmEnds, mean: boolean, tenths: boolean): RegionDetail {
  if (!detail.ink || !(mean || tenths)) return detail;
  const { lab, paper, dark, light } = ends;
  return { ...detail, ink: { ...detail.ink, ...(mean && { lab, paper }), ...(tenths && { dark, light }) } };
}
