/** A pen's ink on papers, without pixels: what it will look like on one that was left out, how far it hides papers, and what a black bar shows of it. */
import { labD50, type LabD50, xyzToLab } from '../analysis/colour/lab.ts';
import { xyzOnGrid } from '../analysis/film/grid.ts';
import { type FilmMeasure, measureFilm } from '../analysis/measure/film/measureFilm.ts';
import type { KnownPaper } from '../analysis/measure/opacity/opacityFindings.ts';
import type { Pen, PenSample } from '../analysis/measure/opacity/pen.ts';
import type { LabValue, Quantity } from '../analysis/quantity.ts';
import { normal, seededRandom } from '../analysis/seededRandom.ts';
import { drawPaper as drawSamplePaper } from '../sample-scans/generator/paper.ts';
import { filmBench, type Sample } from '../tests/measure/filmBench.ts';
import { barTrial } from './barPages.ts';
import { between } from './draw.ts';
import { type FilmWorld, filmWorld } from './filmWorlds.ts';
import { drawOpacityInk, type InkKind } from './opacityInk.ts';
import { drawPaper, inkOnPaper, type SimulatedInk, type Spectrum } from './simulatedColours.ts';

export interface OpacityBench {
  readonly world: FilmWorld;
  readonly kind: InkKind;
  readonly ink: SimulatedInk;
  readonly papers: readonly Spectrum[];
  readonly paperNames: readonly string[];
  readonly film: FilmMeasure;
  /** One nib, then another, then a graded swab. */
  readonly pens: readonly BenchPen[];
  /** As the map tells them. */
  readonly papersByMap: readonly KnownPaper[];
  /** Of the same ink and scanner: strokes and a swab across print; by the film where it is believed. */
  readonly bars: readonly BenchBar[];
}

export interface BenchBar {
  readonly kind: 'strokes' | 'swab';
  readonly told: Quantity;
  readonly truth: number;
}

export interface BenchPen {
  readonly name: string;
  /** Told by the film where that is surer, and by the map alone. */
  readonly told: Pen;
  readonly mapped: Pen;
  /** By region: exact colour of ink and paper, doses. */
  readonly truth: ReadonlyMap<
    string,
    { readonly lab: LabD50; readonly paper: LabD50; readonly doses: readonly number[] }
  >;
}

const PAPERS = ['white', 'cream', 'coloured', 'grey'] as const;
/** Of a pen's ink from paper to paper, logarithm. */
const PAPER_SPREAD = 0.1;

/** @param withBars pages with pixels, which take as long as all the rest */
export function opacityBench(seed: number, { withBars = false } = {}): OpacityBench {
  const random = seededRandom(seed * 9173 + 29);
  const world = filmWorld(seed);
  const { kind, ink } = drawOpacityInk(seed, random);
  const coloured =
    random() < 0.5
      ? drawPaper('dyed', random)
      : [...drawSamplePaper(seed, random() < 0.5 ? 'yellow' : 'green', 'opacity').reflectance];
  const papers = [drawPaper('white', random), drawPaper('cream', random), coloured, drawPaper('grey', random)];
  const most = between(random, 0.8, 2.5);
  const pens = [
    { name: 'B', doses: [0.55, 0.75, 0.9, 1.1].map((d) => d * most), kind: 'strokes' as const },
    { name: 'F', doses: [0.35, 0.45, 0.6].map((d) => d * most), kind: 'strokes' as const },
    { name: 'swab', doses: [0.08, 0.14, 0.24, 0.4, 0.65, 1].map((d) => d * most), kind: 'swab' as const },
  ];
  const samples = pens.flatMap(({ name, doses, kind: of }) =>
    papers.map((_, paper): Sample => {
      const factor = Math.exp(PAPER_SPREAD * normal(random));
      return { id: `${name}-${PAPERS[paper]}`, paper, doses: doses.map((d) => d * factor), kind: of, pen: name };
    }),
  );
  const { input, truth } = filmBench(world, ink, papers, samples);
  const trials = (withBars ? (['strokes', 'swab'] as const) : []).map((of, n) =>
    barTrial(seed, { kind: of, ink, upright: seed % 3 === n, dpi: (seed + n) % 2 === 0 ? 300 : 600 }),
  );
  const film = measureFilm({
    ...input,
    bars: trials.flatMap(({ region, measure: { bar } }) => (bar ? [{ region, signals: bar.signals }] : [])),
    findings: [...input.findings, ...trials.flatMap(({ measure }) => measure.quantities)],
  });
  const ends = new Map(film.inks.flatMap((one) => one.ends.map((end) => [end.region, end.paper] as const)));
  const sampleOf = (finding: Quantity, by: 'film' | 'map'): PenSample => {
    const region = finding.subject.regions[0];
    const { paper } = samples.find(({ id }) => id === region)!;
    const isFilm = by === 'film' && finding.byMap !== undefined;
    const { value, u } = by === 'map' && finding.byMap ? finding.byMap : finding;
    return {
      region,
      paper: PAPERS[paper],
      lab: labD50(...lab(value)),
      u: lab(u),
      paperLab: isFilm ? labD50(...ends.get(region)!) : input.papers[paper].bare.lab,
      flags: [],
    };
  };
  const colours = film.findings.filter(({ quantity }) => quantity === 'inkColour');
  return {
    world,
    kind,
    ink,
    papers,
    paperNames: PAPERS,
    film,
    bars: trials.map(({ kind: of, region, truth: exact }) => ({
      kind: of,
      truth: exact,
      told: film.findings.find(
        ({ quantity, subject }) => quantity === 'contrastRatio' && subject.regions[0] === region,
      )!,
    })),
    papersByMap: input.papers.map(({ bare }, i) => ({ name: PAPERS[i], lab: plain(bare.lab) })),
    pens: pens.map(({ name }) => {
      const own = colours.filter(({ subject }) => subject.regions[0].startsWith(`${name}-`));
      return {
        name,
        told: { samples: own.map((one) => sampleOf(one, 'film')), bars: [] },
        mapped: { samples: own.map((one) => sampleOf(one, 'map')), bars: [] },
        truth: new Map(
          own.map(({ subject: { regions } }) => {
            const exact = truth.get(regions[0])!;
            const { doses } = samples.find(({ id }) => id === regions[0])!;
            return [regions[0], { lab: exact.colour, paper: exact.paper, doses }] as const;
          }),
        ),
      };
    }),
  };
}

/** Exact colour of doses, each over as much of the paper as another. */
export function inkLabOn(ink: SimulatedInk, doses: readonly number[], paper: Spectrum): LabD50 {
  const all = doses.map((dose) => xyzOnGrid(inkOnPaper(ink, dose, paper)));
  const mean = (c: 0 | 1 | 2): number => all.reduce((sum, xyz) => sum + xyz[c], 0) / all.length;
  return xyzToLab([mean(0), mean(1), mean(2)]);
}

/** Exact Y over perfect black over Y over flat white of 0.89, all doses alike. */
export function trueContrast(ink: SimulatedInk, doses: readonly number[]): number {
  const on = (ground: number): number => {
    const flat = Array.from({ length: 36 }, () => ground);
    return doses.reduce((sum, dose) => sum + xyzOnGrid(inkOnPaper(ink, dose, flat))[1], 0);
  };
  return on(0) / on(0.89);
}

function lab(value: Quantity['value']): LabValue {
  if (value === null || typeof value === 'number') throw new Error('no colour');
  return value;
}

function plain([L, a, b]: LabD50): LabValue {
  return [L, a, b];
}
