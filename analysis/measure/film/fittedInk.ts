/** A fitted ink as plain data: its absorption, its colours by dose, what was seen, and how well it all fits. */
import { predictColour } from '../../calibrate/colourFit.ts';
import type { Calibration } from '../../calibrate/calibration.ts';
import { xyzToLab } from '../../colour/lab.ts';
import { type Absorption, absorptionOf, type FittedDose } from '../../film/absorption.ts';
import type { Misfit } from '../../film/judge.ts';
import type { Curve, Flag, LabValue, Quantity } from '../../quantity.ts';
import { inkLayer, type InkLayer } from '../opacity/inkLayer.ts';
import type { InkFilm } from './inkFilm.ts';
import type { FittedPaper, PlacedRegion } from './placed.ts';
import type { FilmRegion } from './series.ts';
import type { TaughtSensors } from './targetPatches.ts';
import { upperMedian } from '../../quantile.ts';

export const FITTED_METHODS = {
  absorption: 'absorption/8',
  doseCurve: 'doseCurve/7',
  fitQuality: 'fitQuality/7',
} as const;

export interface FittedInk {
  /** Regions whose doses the fit stands on. */
  readonly regions: readonly string[];
  /** Regions left out since they do not lie on the ink’s curve. */
  readonly strangers: readonly string[];
  readonly taughtBy: TaughtSensors['by'];
  readonly absorption: Pick<Absorption, 'nm' | 'k' | 'u'>;
  readonly curves: readonly FittedCurve[];
  readonly points: readonly FittedPoint[];
  readonly ends: readonly FittedEnds[];
  readonly quality: {
    readonly ratio: number;
    readonly verdict: string;
    readonly misfits: readonly { readonly region: string; readonly words: string }[];
  };
  readonly advice: string | null;
  /** The film taken off its papers, to be laid on others; null: the fit is not believed. */
  readonly layer: InkLayer | null;
  /** With three papers or more: the same as the others tell it, for each that is left out. */
  readonly without: readonly LayerWithout[];
}

export interface LayerWithout {
  /** Regions on the paper that was left out. */
  readonly regions: readonly string[];
  readonly layer: InkLayer;
}

export interface FittedCurve {
  /** Fitted regions on this paper. */
  readonly regions: readonly string[];
  readonly paperLab: LabValue;
  /** Rising; 1 is the median dose of what was measured. */
  readonly doses: readonly number[];
  readonly lab: readonly LabValue[];
  readonly u: readonly LabValue[];
  readonly seen: readonly [from: number, to: number];
}

export interface FittedPoint {
  readonly region: string;
  readonly dose: number;
  readonly lab: LabValue;
  readonly byMap: LabValue;
  /** Root mean square of its three signals' misfit, in standard deviations. */
  readonly misfit: number;
}

/** A region as a whole, its bare paper, and its dark and light tenth. */
export interface FittedEnds {
  readonly region: string;
  readonly lab: LabValue;
  readonly paper: LabValue;
  readonly dark: LabValue;
  readonly light: LabValue;
}

/** All that was made of one series of doses. */
export interface Told {
  readonly film: InkFilm;
  readonly by: TaughtSensors['by'];
  readonly map: Pick<Calibration, 'model' | 'ridge' | 'matrix'>;
  readonly regions: readonly FilmRegion[];
  /** In step with the fit's papers. */
  readonly papers: readonly FittedPaper[];
  /** In step with the fit's doses. */
  readonly doses: readonly FittedDose[];
  /** Region (index) → where it lies on its paper's curve; regions on other papers are absent. */
  readonly placed: ReadonlyMap<number, PlacedRegion>;
}

/** A swab that holds so many doses over so wide a range tells an ink's curve by itself. */
const GRADED = { doses: 5, span: 3 } as const;

/** @param believed whether colours are told by the fit @param leftOut the fit of the other papers, for each that is left out */
export function fittedInk(
  told: Told,
  believed: boolean,
  leftOut: readonly { readonly paper: number; readonly told: Told }[],
): FittedInk {
  const { film, by, regions, papers, placed } = told;
  const unit = upperMedian(told.doses.map(({ dose }) => dose));
  const used = [...new Set(film.doses.map(({ region }) => region))];
  const { nm, k, u } = absorptionOf(film.fit);
  return {
    regions: used.map((region) => regions[region].ink.region),
    strangers: film.strangers.map(({ region }) => regions[region].ink.region),
    taughtBy: by,
    absorption: { nm, k, u },
    curves: papers.map(({ colour, curve, seen }, i): FittedCurve => ({
      regions: used.filter((region) => regions[region].paper === film.papers[i]).map((r) => regions[r].ink.region),
      paperLab: colour.lab,
      doses: curve.map(({ dose }) => dose / unit),
      lab: curve.map(({ lab }) => lab),
      u: curve.map((point) => point.u),
      seen: [seen[0] / unit, seen[1] / unit],
    })),
    points: [...placed].flatMap(([region, { doses, labs, away }]) =>
      doses.map((dose, i): FittedPoint => ({
        region: regions[region].ink.region,
        dose: dose / unit,
        lab: labs[i],
        byMap: xyzToLab(predictColour(told.map, regions[region].doses.bins[i].signal)),
        misfit: away[i],
      })),
    ),
    ends: [...placed].map(([region, { colour, dark, light }]): FittedEnds => ({
      region: regions[region].ink.region,
      lab: colour.lab,
      paper: papers[film.papers.indexOf(regions[region].paper)].colour.lab,
      dark: dark.lab,
      light: light.lab,
    })),
    quality: { ratio: film.judgement.ratio, verdict: film.judgement.verdict, misfits: misfitsOf(told) },
    advice: adviceOf(told),
    layer: believed ? layerOf(told) : null,
    without: leftOut.map((one) => ({
      regions: regions.filter(({ paper }) => paper === one.paper).map(({ ink }) => ink.region),
      layer: layerOf(one.told),
    })),
  };
}

function layerOf({ film, placed, regions }: Told): InkLayer {
  return inkLayer(film, placed, (region) => ({
    id: regions[region].ink.region,
    shares: regions[region].doses.bins.map(({ share }) => share),
  }));
}

const HOW: Readonly<Record<Misfit['how'], string>> = {
  paler: 'is paler than the ink can be there,',
  darker: 'is darker than the ink can be there,',
  'another hue': 'leaves the ink’s curve towards another hue,',
};

function misfitsOf({ film, regions }: Told): { region: string; words: string }[] {
  const left = film.strangers.map(({ region, misfit }) => ({
    region: regions[region].ink.region,
    words:
      misfit === null
        ? 'leaves the path from thin to thick of the other samples and was left out: another ink, or a pen that was not clean'
        : `does not lie on this ink’s curve (${misfit.toFixed(1)} standard deviations off) and was left out: another ink, sheen, a smear or a stain`,
  }));
  const worst = new Map<number, Misfit>();
  for (const misfit of film.judgement.misfits) {
    if (misfit.region < 0) continue;
    const { region } = film.doses[misfit.region];
    if (!worst.has(region)) worst.set(region, misfit);
  }
  const kept = [...worst].map(([region, { misfit, how }]) => ({
    region: regions[region].ink.region,
    words: `${HOW[how]} by ${misfit.toFixed(1)} standard deviations`,
  }));
  return [...left, ...kept];
}

function adviceOf({ film, by, doses }: Told): string | null {
  const graded = [...new Set(film.doses.map(({ region }) => region))].some((region) => {
    const own = doses.filter((_, i) => film.doses[i].region === region).map(({ dose }) => dose);
    return own.length >= GRADED.doses && Math.max(...own) >= GRADED.span * Math.min(...own);
  });
  const advice = [
    ...(graded ? [] : ['A graded swab on one sheet would halve this uncertainty.']),
    ...(by === 'lab'
      ? ['A reference file with the target’s spectra would teach the scanner’s sensitivities better.']
      : []),
  ];
  return advice.length === 0 ? null : advice.join(' ');
}

/** A place that may lie anywhere between 380 and 730 nm has this standard deviation: from there on nothing is told of it. */
const UNKNOWN_NM = 350 / Math.sqrt(12);

/** The ink's own findings. */
export function fittedQuantities(told: Told, ink: FittedInk, flags: readonly Flag[]): Quantity[] {
  const { film, doses } = told;
  const { peak } = absorptionOf(film.fit);
  const isTold = peak.u < UNKNOWN_NM;
  const wrong = film.judgement.verdict === 'fits' ? [] : (['film-misfit'] as const);
  const all = [...flags, ...wrong];
  const curve: Curve = {
    x: { name: 'wavelength', unit: 'nm', values: ink.absorption.nm },
    y: [{ name: 'k', unit: '1', values: ink.absorption.k, u: ink.absorption.u }],
  };
  const subject = { regions: ink.regions };
  return [
    {
      quantity: 'absorption',
      subject,
      value: isTold ? peak.nm : null,
      unit: 'nm',
      u: isTold ? peak.u : null,
      flags: isTold ? all : [...all, 'cannot-tell'],
      curve,
      method: FITTED_METHODS.absorption,
    },
    ...ink.curves.map((one, i): Quantity => {
      const here = film.doses.flatMap(({ paper }, k) => (paper === film.papers[i] ? [doses[k]] : []));
      const [palest] = here.toSorted((a, b) => a.dose - b.dose);
      const densest = here.toSorted((a, b) => b.dose - a.dose)[0];
      const ratio = densest.dose / palest.dose;
      return {
        quantity: 'doseCurve',
        subject: { regions: one.regions },
        value: ratio,
        unit: '1',
        u: ratio * Math.hypot(palest.uShare, densest.uShare),
        flags: all,
        curve: doseColumns(one),
        method: FITTED_METHODS.doseCurve,
      };
    }),
    {
      quantity: 'fitQuality',
      subject,
      value: ink.quality.ratio,
      unit: '1',
      // The scatter of a mean of so many squares.
      u: ink.quality.ratio * Math.sqrt(2 / film.fit.signals),
      verdict: ink.quality.verdict,
      flags: all,
      method: FITTED_METHODS.fitQuality,
    },
  ];
}

function doseColumns({ doses, lab, u }: FittedCurve): Curve {
  const column = (name: string, c: 0 | 1 | 2) => ({
    name,
    unit: 'Lab' as const,
    values: lab.map((one) => one[c]),
    u: u.map((one) => one[c]),
  });
  return { x: { name: 'dose', unit: '1', values: doses }, y: [column('L*', 0), column('a*', 1), column('b*', 2)] };
}
