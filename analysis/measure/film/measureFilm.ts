/** An ink's findings through one fitted film: what the host gathers of all its regions under one target goes in, all that follows comes out. */
import type { Calibration } from '../../calibrate/calibration.ts';
import { fittedDoses } from '../../film/absorption.ts';
import type { Flag, Quantity } from '../../quantity.ts';
import { fittedInk, type FittedInk, fittedQuantities, type Told } from './fittedInk.ts';
import { fitInk, fitWithout, type InkFilm } from './inkFilm.ts';
import { fittedPaper, type PlacedRegion, placedRegion } from './placed.ts';
import { type Disbelief, MOST_AWAY, whyNotBelieved } from './rules.ts';
import { barTeller, type FilmBar } from '../opacity/barByFilm.ts';
import { doseSeries, type FilmPaper, type FilmRegion, type LeftOut, type Series, seriesOn } from './series.ts';
import type { TaughtSensors } from './targetPatches.ts';
import { filmTeller, isTellable, type Teller, type ToldRegion } from './throughFilm.ts';

export interface FilmMeasureInput {
  /** Null: the target has too few patches to teach sensitivities. */
  readonly taught: TaughtSensors | null;
  readonly map: Pick<Calibration, 'model' | 'ridge' | 'matrix'>;
  readonly papers: readonly FilmPaper[];
  readonly regions: readonly FilmRegion[];
  /** Printed bars that this ink crosses. @default none */
  readonly bars?: readonly FilmBar[];
  /** Of these regions, and between them, by the map. */
  readonly findings: readonly Quantity[];
}

export interface FilmMeasure {
  /** Those that came in, in their order, each by the film where that is surer; then the ink's own. */
  readonly findings: readonly Quantity[];
  /** One for each series of doses that was fitted. */
  readonly inks: readonly FittedInk[];
  readonly missing: readonly { readonly regions: readonly string[]; readonly words: string }[];
}

/** Why a region is told by the map: its flag, and the line for people. */
type Reason = LeftOut | Disbelief | 'no-sensors' | 'not-surer';

const WORDS: Readonly<Record<Reason, string>> = {
  'few-doses':
    'Too few doses of the ink on their paper: the fit needs three there and four in all. A graded swab on one sheet, with bare paper beside it, would do.',
  clipped:
    'Their pixels, or those of their paper, lie at an end of the scanner’s scale. Scan again with less exposure and without automatic levels.',
  narrow: 'Their lines are so narrow that they do not lie on the ink’s curve. Scan at a higher resolution.',
  misfit:
    'They do not lie on the curve of the other samples: another ink, sheen, a smear or a stain. Look at them, and leave out what is not this ink alone.',
  'no-sensors':
    'The target has too few patches to tell what the scanner’s channels see. Use one with two dozen or more.',
  'not-believed':
    'No one film fits all samples of the ink. Look for another ink, sheen, smears or stains among them, and leave those out.',
  'not-converged':
    'The search for the ink’s absorption did not come to rest. Check that all samples hold this ink alone.',
  'target-doubtful': 'The target’s patches do not bear out its spectra. Check that the reference is this target’s own.',
  'not-surer': 'The target’s map is at least as sure of these colours as the fit.',
};
const FLAGS: Readonly<Record<Reason, Flag>> = {
  'few-doses': 'few-doses',
  clipped: 'by-map',
  narrow: 'by-map',
  misfit: 'film-misfit',
  'no-sensors': 'by-map',
  'not-believed': 'film-misfit',
  'not-converged': 'film-not-converged',
  'target-doubtful': 'by-map',
  'not-surer': 'by-map',
};

/**
 * @returns all findings of the regions: through the film where rules.ts allows, else those of the map with the reason as a flag; the map's
 * number stays beside what the film tells
 */
export function measureFilm(input: FilmMeasureInput): FilmMeasure {
  const { taught, papers, regions } = input;
  const reasons = new Map<number, Reason>();
  if (taught === null) {
    regions.forEach((_, region) => reasons.set(region, 'no-sensors'));
    return outcome(input, [], [], reasons, () => []);
  }
  const series = doseSeries(papers, regions, foreignAmong(input));
  for (const [region, why] of series.leftOut) if (why !== 'narrow') reasons.set(region, why);
  const all = fits(series, input, taught).map((film) => toldBy(film, taught, input));
  const tellers = all.flatMap((told) => {
    const region = tellable(told, taught, series, reasons);
    return region.size === 0 ? [] : [filmTeller(told.film, input.findings, region)];
  });
  regions.forEach(({ paper }, region) => {
    if (!reasons.has(region) && !all.some(({ film }) => film.papers.includes(paper))) reasons.set(region, 'few-doses');
  });
  return outcome(input, all, [...tellers, ...barTellers(all, taught, input)], reasons, (told) =>
    leftOut(told, taught, input),
  );
}

/** Regions that leave the path from thin to thick of the ink's other samples (pathDistance.ts). */
function foreignAmong({ findings, regions }: FilmMeasureInput): ReadonlySet<number> {
  const ids = new Set(
    findings
      .filter(({ quantity, flags }) => quantity === 'pathDistance' && flags.includes('another-ink'))
      .flatMap(({ subject }) => subject.regions),
  );
  return new Set(regions.flatMap(({ ink }, i) => (ids.has(ink.region) ? [i] : [])));
}

/** Of several films the one of most doses reads the bars. */
function barTellers(
  all: readonly Told[],
  { sensors, by }: TaughtSensors,
  { bars = [], papers, map }: FilmMeasureInput,
): Teller[] {
  const [film] = all
    .flatMap((told) => (whyNotBelieved(told.film) === null ? [told.film] : []))
    .toSorted((a, b) => b.doses.length - a.doses.length);
  return film === undefined || bars.length === 0
    ? []
    : [barTeller({ film, papers, sensors, map, flags: flagsOn(film, null, by) }, bars)];
}

/** Fewer papers, and what is left foretells none. */
const LEAVES_ENOUGH = 3;

/** The fit of the other papers for each that is left out: what it foretells there was not seen. */
function leftOut(
  { film }: Told,
  taught: TaughtSensors,
  input: FilmMeasureInput,
): readonly { readonly paper: number; readonly told: Told }[] {
  if (film.papers.length < LEAVES_ENOUGH || whyNotBelieved(film) !== null) return [];
  return film.papers.flatMap((paper) => {
    const without = fitWithout(film, paper, input.papers, taught.sensors);
    return whyNotBelieved(without) === null ? [{ paper, told: toldBy(without, taught, input) }] : [];
  });
}

/** All papers together where one film tells them; else each paper that has enough of its own. */
function fits(series: Series, { papers }: FilmMeasureInput, { sensors }: TaughtSensors): InkFilm[] {
  if (series.papers.length === 0) return [];
  const together = fitInk(series, papers, sensors);
  if (series.papers.length === 1 || whyNotBelieved(together) === null) return [together];
  const alone = series.papers
    .map((paper) => seriesOn(series, paper, papers))
    .filter((one) => one.papers.length > 0)
    .map((one) => fitInk(one, papers, sensors));
  return alone.some((film) => whyNotBelieved(film) === null) ? alone : [together];
}

function toldBy(film: InkFilm, { by }: TaughtSensors, { regions, map }: FilmMeasureInput): Told {
  const doses = fittedDoses(film.fit);
  const papers = film.papers.map((paper, i) =>
    fittedPaper(
      film,
      i,
      doses.flatMap(({ dose }, k) => (film.doses[k].paper === paper ? [dose] : [])),
    ),
  );
  const placed = new Map<number, PlacedRegion>();
  regions.forEach((region, i) => {
    const at = film.papers.indexOf(region.paper);
    if (at >= 0) placed.set(i, placedRegion(film, at, papers[at], region));
  });
  return { film, by, map, regions, papers, doses, placed };
}

/** Regions whose colours the fit may tell; of the others on its papers the reason is noted. */
function tellable(
  { film, papers, regions, placed }: Told,
  { by }: TaughtSensors,
  { foreign, leftOut }: Series,
  reasons: Map<number, Reason>,
): ReadonlyMap<string, ToldRegion> {
  const trouble = whyNotBelieved(film);
  const strangers = new Set([
    ...film.strangers.map(({ region }) => region),
    // Another ink in a narrow line taught nothing anyway, and lies on this curve no more than in a broad one.
    ...[...foreign].filter((region) => leftOut.get(region) === 'narrow'),
  ]);
  const told = new Map<string, ToldRegion>();
  for (const [i, at] of placed) {
    const region = regions[i];
    const paper = film.papers.indexOf(region.paper);
    if (trouble !== null) reasons.set(i, reasons.get(i) ?? trouble);
    else if (strangers.has(i)) reasons.set(i, 'misfit');
    else if (at.colour.away > MOST_AWAY) reasons.set(i, region.doses.narrow ? 'narrow' : 'misfit');
    else if (!reasons.has(i) || reasons.get(i) === 'clipped') {
      // Cut pixels teach no film, but what is left of their region lies on the curve that the others taught, where the map reaches beyond all it knows.
      const clipped = reasons.has(i) ? (['clipped'] as const) : [];
      const flags = [...flagsOn(film, paper, by), ...clipped];
      told.set(region.ink.region, { region, placed: at, paper: papers[paper], flags });
    }
  }
  return told;
}

function flagsOn({ judgement }: InkFilm, paper: number | null, by: TaughtSensors['by']): Flag[] {
  const brightened = paper === null ? judgement.brightened.length > 0 : judgement.brightened.includes(paper);
  return [
    ...(by === 'lab' ? (['lab-alone'] as const) : []),
    ...(judgement.narrow ? (['narrow-absorption'] as const) : []),
    ...(brightened ? (['maybe-brightened'] as const) : []),
  ];
}

function outcome(
  { findings, regions }: FilmMeasureInput,
  all: readonly Told[],
  tellers: readonly Teller[],
  reasons: ReadonlyMap<number, Reason>,
  leftOut: (told: Told) => readonly { readonly paper: number; readonly told: Told }[],
): FilmMeasure {
  const reasonOf = new Map(regions.map(({ ink }, i) => [ink.region, reasons.get(i) ?? 'not-surer']));
  const byMap = new Map<Reason, Set<string>>();
  const retold = findings.map((finding): Quantity => {
    for (const tell of tellers) {
      const through = tell(finding);
      if (through) return through;
    }
    if (!isTellable(finding) || finding.value === null) return finding;
    const own = [...new Set(finding.subject.regions.map((id) => reasonOf.get(id) ?? 'not-surer'))];
    // Where one side has a reason of its own, 'not surer' explains nothing.
    const real = own.filter((reason) => reason !== 'not-surer');
    const because = real.length > 0 ? real : own;
    if (finding.quantity === 'inkColour') {
      for (const id of finding.subject.regions) {
        byMap.set(because[0], (byMap.get(because[0]) ?? new Set()).add(id));
      }
    }
    return { ...finding, flags: [...new Set([...finding.flags, ...because.map((reason) => FLAGS[reason])])] };
  });
  const inks = all.map((told) => fittedInk(told, whyNotBelieved(told.film) === null, leftOut(told)));
  const own = all.flatMap((told, i) => {
    const trouble = told.film.judgement.converged ? [] : (['film-not-converged'] as const);
    return fittedQuantities(told, inks[i], [...flagsOn(told.film, null, told.by), ...trouble]);
  });
  return {
    findings: [...retold, ...own],
    inks,
    missing: [...byMap].map(([reason, ids]) => ({ regions: [...ids], words: WORDS[reason] })),
  };
}
