/** One pen's ink on several grounds, and the way in which its layer is known. */
import { labD50, type LabD50, type Xyz } from '../../colour/lab.ts';
import type { Flag, LabValue } from '../../quantity.ts';
import type { FittedInk } from '../film/fittedInk.ts';
import { logSpread, USUAL_DOSE_SPREAD } from './doseSpread.ts';
import { filmNumbers, type Told } from './filmNumbers.ts';
import { alongDoses, DOSE_STEPS, foretell } from './foretell.ts';
import {
  alongGrounds,
  contrastByGrounds,
  foretellByGrounds,
  type GroundPoint,
  type GroundsLayer,
  groundsLayer,
} from './groundsLayer.ts';
import { hidingByFilm, hidingByGrounds } from './foretellHiding.ts';
import { groundOfLab } from './groundOfLab.ts';
import type { InkLayer } from './inkLayer.ts';

/** A nib, or swabs of one place: what is taken to put down about as much ink on every paper. */
export interface Pen {
  /** At most one a paper and kind. */
  readonly samples: readonly PenSample[];
  /** Over printed bars. */
  readonly bars: readonly PenBar[];
}

export interface PenSample {
  readonly region: string;
  /** Name of the paper. */
  readonly paper: string;
  readonly lab: LabD50;
  readonly u: LabValue;
  /** Told the same way as `lab`. */
  readonly paperLab: LabD50;
  readonly flags: readonly Flag[];
}

/** The same pass of the pen over white paper and over the bar. */
export interface PenBar {
  readonly region: string;
  readonly flags: readonly Flag[];
  readonly white: { readonly ground: LabD50; readonly ink: LabD50; readonly u: LabValue };
  readonly black: { readonly ground: LabD50; readonly ink: LabD50; readonly u: LabValue };
}

export type PenLayer =
  | { readonly by: 'film-fit'; readonly regions: readonly string[]; readonly layer: InkLayer }
  | {
      readonly by: 'grounds';
      readonly regions: readonly string[];
      readonly layer: GroundsLayer;
      readonly papers: number;
    }
  | { readonly by: 'none'; readonly why: 'one-ground' | 'grounds-alike' };

/** Of one pass over bar and paper beside it; what the print takes up differently. Common practice, no source. */
const SAME_PASS = 0.05;

/** By the film fit where one holds a sample of the pen, else by grounds. */
export function penLayer({ samples, bars }: Pen, fits: readonly FittedInk[]): PenLayer {
  const layers = fits.flatMap(({ layer }) => layer ?? []);
  return byFilm(samples, layers) ?? byGrounds(samples, bars);
}

/** Of several fits the one that holds most of the pen's samples. */
function byFilm(samples: readonly PenSample[], layers: readonly InkLayer[]): PenLayer | null {
  const held = layers.map((layer) => ({
    layer,
    regions: samples.map(({ region }) => region).filter((id) => layer.samples.some((one) => one.region === id)),
  }));
  const [most] = held.toSorted((a, b) => b.regions.length - a.regions.length);
  return most === undefined || most.regions.length === 0 ? null : { by: 'film-fit', ...most };
}

function byGrounds(samples: readonly PenSample[], bars: readonly PenBar[]): PenLayer {
  const points = [
    ...samples.map(({ paperLab, lab, u }): GroundPoint => ({
      ground: paperLab,
      ink: lab,
      u,
      doseSd: USUAL_DOSE_SPREAD,
    })),
    ...bars.flatMap(({ white, black }) => [white, black].map((one): GroundPoint => ({ ...one, doseSd: SAME_PASS }))),
  ];
  if (points.length < 2) return { by: 'none', why: 'one-ground' };
  const layer = groundsLayer(points);
  if (layer === null) return { by: 'none', why: 'grounds-alike' };
  const regions = [...samples, ...bars].map(({ region }) => region);
  return { by: 'grounds', regions, layer, papers: samples.length + bars.length };
}

export interface ForetoldColour {
  readonly lab: LabD50;
  readonly xyz: Xyz;
  readonly u: LabValue;
}

/** @param ground Lab of bare paper, or of any ground that looks like it. Null: nothing is known of the layer */
export function foretoldOn(known: PenLayer, ground: LabValue): ForetoldColour | null {
  if (known.by === 'none') return null;
  if (known.by === 'film-fit') return foretell(known.layer, known.regions, groundOfLab(ground));
  return foretellByGrounds(known.layer, labD50(...ground), dosesAlike(known.papers));
}

/** Of what two papers differ by, how much the layer hides at the same doses; null: nothing is known of it. */
export function foretoldHiding(known: PenLayer, from: LabValue, to: LabValue): Told | null {
  if (known.by === 'none') return null;
  if (known.by === 'film-fit') return hidingByFilm(known.layer, known.regions, from, to);
  return hidingByGrounds(known.layer, from, to, dosesAlike(known.papers));
}

/** The same sample's colours on its own paper and on another ground, dose by dose from bare; null: nothing is known of the layer. */
export function rendered(
  known: PenLayer,
  { region, paperLab }: PenSample,
  ground: LabValue,
): { readonly from: readonly LabD50[]; readonly to: readonly LabD50[] } | null {
  if (known.by === 'none') return null;
  const on = (lab: LabValue): LabD50[] =>
    known.by === 'film-fit'
      ? alongDoses(known.layer, region, groundOfLab(lab))
      : alongGrounds(known.layer, labD50(...lab), DOSE_STEPS);
  const [from, to] = [on(paperLab), on(ground)];
  return from.length === 0 ? null : { from, to };
}

function dosesAlike(papers: number): number {
  return logSpread(Array.from({ length: Math.max(1, papers) }, () => 0));
}

export interface LayerNumbers {
  readonly channels: readonly { readonly r0: Told; readonly t: Told }[];
  readonly t: Told;
  readonly contrast: Told;
}

/** R0 and T per channel, T weighted to Y, and the contrast on standard grounds; null where the layer is not known. */
export function layerNumbers(known: PenLayer): LayerNumbers | null {
  if (known.by === 'none') return null;
  if (known.by === 'film-fit') return filmNumbers(known.layer, known.regions);
  const { channels } = known.layer;
  const middle = channels[1];
  return {
    channels: channels.map(({ r0, t, rr, tt }) => ({
      r0: { value: r0, u: Math.sqrt(rr) },
      t: { value: t, u: Math.sqrt(tt) },
    })),
    // The middle channel is nearest to Y.
    t: { value: middle.t, u: Math.sqrt(middle.tt) },
    contrast: contrastByGrounds(known.layer),
  };
}

export interface LeftOut {
  readonly region: string;
  readonly paper: string;
  readonly foretold: ForetoldColour;
  /** By what the others tell. */
  readonly without: Exclude<PenLayer, { by: 'none' }>;
  readonly sample: PenSample;
}

/** Each sample foretold from the others on other papers; none where fewer than three papers tell. */
export function leftOutOf(pen: Pen, fits: readonly FittedInk[]): LeftOut[] {
  const known = penLayer(pen, fits);
  if (known.by === 'none') return [];
  const papers = new Set(pen.samples.map(({ paper }) => paper));
  if (papers.size < 3) return [];
  return pen.samples.flatMap((sample): LeftOut[] => {
    const others = pen.samples.filter(({ paper }) => paper !== sample.paper);
    const without =
      known.by === 'film-fit'
        ? byFilm(
            others,
            fits.flatMap((fit) =>
              fit.without.flatMap(({ regions, layer }) => (regions.includes(sample.region) ? [layer] : [])),
            ),
          )
        : byGrounds(others, pen.bars);
    if (without === null || without.by === 'none') return [];
    const foretold = foretoldOn(without, sample.paperLab);
    return foretold ? [{ region: sample.region, paper: sample.paper, foretold, without, sample }] : [];
  });
}
