/** An ink on papers as regions of a page hand it on to the film fit, without pixels: signals from a simulated scanner, findings through the map. */
import { predictColour } from '../../analysis/calibrate/colourFit.ts';
import { colourUncertainty, differenceUncertainty } from '../../analysis/calibrate/uncertainty.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50, type LabD50, xyzToLab } from '../../analysis/colour/lab.ts';
import { xyzOnGrid } from '../../analysis/film/grid.ts';
import { nibShading, toneShift } from '../../analysis/measure/colourPairs.ts';
import type { DoseBin } from '../../analysis/measure/film/doses.ts';
import type { FilmMeasureInput } from '../../analysis/measure/film/measureFilm.ts';
import type { FilmPaper, FilmRegion } from '../../analysis/measure/film/series.ts';
import { INK_METHODS, type MeasuredInk } from '../../analysis/measure/ink.ts';
import { colourQuantities, spreadQuantities } from '../../analysis/measure/inkQuantities.ts';
import type { LabValue, Quantity } from '../../analysis/quantity.ts';
import type { FilmWorld } from '../../study/filmWorlds.ts';
import { inkOnPaper, type SimulatedInk, type Spectrum } from '../../study/simulatedColours.ts';

export interface Sample {
  readonly id: string;
  readonly paper: number;
  /** Each takes an equal share of the region. */
  readonly doses: readonly number[];
  readonly kind?: 'strokes' | 'swab';
  /** Samples of one pen are compared across papers, whatever their doses; left out: those of like doses are. */
  readonly pen?: string;
  readonly ink?: SimulatedInk;
  readonly narrow?: boolean;
  /** Of every bin. */
  readonly clippedShare?: number;
}

export interface FilmBench {
  readonly input: FilmMeasureInput;
  /** Exact, by region: the whole, its densest and its palest dose, its paper. */
  readonly truth: ReadonlyMap<string, { colour: LabD50; dark: LabD50; light: LabD50; paper: LabD50 }>;
}

const NO_COVARIANCE = [1e-4, 0, 0, 0, 1e-4, 0, 0, 0, 1e-4];

export function filmBench(
  world: FilmWorld,
  ink: SimulatedInk,
  papers: readonly Spectrum[],
  samples: readonly Sample[],
  by: 'spectra' | 'lab' = 'spectra',
): FilmBench {
  const { calibration } = world;
  const mapped = (signal: readonly [number, number, number]) => predictColour(calibration, signal);
  const sheets = papers.map((paper, p): FilmPaper => {
    const signal = world.signal(paper);
    const xyz = mapped(signal);
    return { id: `sheet ${p}`, bare: { signal, xyz, lab: xyzToLab(xyz) }, clipped: false };
  });
  const truth = new Map<string, { colour: LabD50; dark: LabD50; light: LabD50; paper: LabD50 }>();
  const regions = samples.map((sample): FilmRegion => {
    const films = sample.doses.map((dose) => inkOnPaper(sample.ink ?? ink, dose, papers[sample.paper]));
    const xyz = mean(films.map((r) => xyzOnGrid(r)));
    const lab = (dose: number): LabD50 => xyzToLab(xyzOnGrid(films[dose]));
    truth.set(sample.id, {
      colour: xyzToLab(xyz),
      dark: lab(films.length - 1),
      light: lab(0),
      paper: xyzToLab(xyzOnGrid(papers[sample.paper])),
    });
    const bins = films.map((r): DoseBin => ({
      signal: world.signal(r),
      share: 1 / films.length,
      spread: 0.04,
      clippedShare: sample.clippedShare ?? 0,
    }));
    const seen = mean(bins.map(({ signal }) => mapped(signal)));
    const measured: MeasuredInk = {
      region: sample.id,
      colour: { xyz: seen, lab: xyzToLab(seen), covariance: NO_COVARIANCE, pixels: 5000 },
      placement: [0, 0, 0],
      light: 0,
      paper: sheets[sample.paper].bare,
      flags: [],
    };
    return {
      paper: sample.paper,
      ink: measured,
      doses: {
        bins,
        dark: bins[bins.length - 1].signal,
        light: bins[0].signal,
        narrow: sample.narrow ?? false,
        uRepeat: { dE00: 0.02, dL: 0.02, dHueDeg: 0.1 },
      },
    };
  });
  const findings = regions.flatMap((region, i) => ownFindings(world, region, samples[i].kind ?? 'strokes'));
  const pairs = regions.flatMap((a, i) =>
    regions.slice(i + 1).flatMap((b): readonly Quantity[] => {
      if (a.paper === b.paper) return [nibShading(a.ink, b.ink, calibration)];
      const [one, other] = [samples[i], samples[regions.indexOf(b)]];
      return (one.pen ?? one.doses.join()) === (other.pen ?? other.doses.join())
        ? toneShift(a.ink, b.ink, calibration)
        : [];
    }),
  );
  return {
    input: {
      taught: { sensors: world.sensors[by], by },
      map: calibration,
      papers: sheets,
      regions,
      findings: [...findings, ...pairs],
    },
    truth,
  };
}

function ownFindings({ calibration }: FilmWorld, { ink, doses }: FilmRegion, kind: 'strokes' | 'swab'): Quantity[] {
  const { lab, xyz } = ink.colour;
  const u = colourUncertainty(lab, calibration);
  const name = kind === 'swab' ? ('swabVariation' as const) : ('shading' as const);
  const ends = [doses.dark, doses.light].map((signal) => xyzToLab(predictColour(calibration, signal)));
  const doubt = differenceUncertainty(ends[0], ends[1], calibration, 'one paper');
  const subject = { regions: [ink.region] };
  return [
    ...colourQuantities({
      lab,
      luminance: xyz[1],
      paperLuminance: ink.paper.xyz[1],
      repeatability: [0.01, 0.01, 0.01],
      calibration: u,
      calibrationL: u[0],
      placement: [0, 0, 0],
      subject,
      flags: [],
      methods: INK_METHODS,
    }),
    ...spreadQuantities({
      name,
      dE00: deltaE2000(ends[0], ends[1]),
      dL: ends[1][0] - ends[0][0],
      dHueDeg: 0,
      uRepeat: doses.uRepeat,
      calibration: { dE00: doubt, dL: doubt, dHueDeg: doubt },
      placement: { dE00: 0, dL: 0 },
      subject,
      flags: [],
      method: INK_METHODS[name],
    }),
  ];
}

export function labOf(value: Quantity['value']): LabD50 {
  if (value === null || typeof value === 'number') throw new Error(`no colour: ${String(value)}`);
  return labD50(...value);
}

/** @throws when there is no such finding */
export function findingOf(findings: readonly Quantity[], quantity: string, ...regions: string[]): Quantity {
  const found = findings.find((f) => f.quantity === quantity && f.subject.regions.join() === regions.join());
  if (!found) throw new Error(`no ${quantity} of ${regions.join(', ')}`);
  return found;
}

export function within(found: Quantity, truth: LabValue): number {
  const { value, u } = found;
  if (value === null || u === null || typeof value === 'number' || typeof u === 'number') return 0;
  return [0, 1, 2].filter((c) => Math.abs(value[c] - truth[c]) <= 2 * u[c]).length / 3;
}

function mean(many: readonly (readonly [number, number, number])[]): [number, number, number] {
  const sum = (c: 0 | 1 | 2): number => many.reduce((all, one) => all + one[c], 0) / many.length;
  return [sum(0), sum(1), sum(2)];
}
