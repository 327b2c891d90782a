/** A measured strip held against its truth. */
import { compileCalibration } from '../../analysis/calibrate/apply.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import {
  measureStrip,
  type Band,
  type StripMeasure,
  type StripOptions,
} from '../../analysis/measure/strip/measureStrip.ts';
import { uncertaintyOf, type Told } from '../../analysis/measure/strip/strip.ts';
import type { TrueBand, TrueStrip } from './randomStrip.ts';

export const nominal = compileCalibration(nominalCalibration);

export interface Judged {
  /** Measured minus true, over its own u. */
  readonly error: number;
  readonly u: number;
}

export interface StripVerdict {
  readonly measure: StripMeasure;
  readonly countRight: boolean;
  /** Bands that have a partner within 0.04 of R_F. */
  readonly rF: readonly Judged[];
  readonly share: readonly Judged[];
  readonly width: readonly Judged[];
  readonly tail: readonly Judged[];
  readonly colour: readonly {
    readonly error: readonly [number, number, number];
    readonly u: readonly [number, number, number];
  }[];
  readonly origin: Judged | null;
}

export function measureTrue(strip: TrueStrip, options?: StripOptions, ends: 'given' | 'found' = 'given'): StripMeasure {
  const given = ends === 'given';
  return measureStrip(
    {
      id: `strip-${strip.look.seed}`,
      signal: strip.raster,
      calibration: nominal,
      travel: strip.look.travel,
      originMm: given ? strip.originMm : null,
      frontMm: given ? strip.frontMm : null,
      run: null,
    },
    options,
  );
}

export function judge(strip: TrueStrip, measure: StripMeasure): StripVerdict {
  const pairs = strip.bands.flatMap((truth): { truth: TrueBand; band: Band }[] => {
    const near = measure.bands
      .filter((b) => b.rF !== null && Math.abs(b.rF.value - truth.rF) < 0.04)
      .toSorted((a, b) => Math.abs(a.rF!.value - truth.rF) - Math.abs(b.rF!.value - truth.rF))[0];
    return near === undefined ? [] : [{ truth, band: near }];
  });
  const origin = measure.originRetained;
  return {
    measure,
    countRight: measure.bands.length === strip.bands.length,
    rF: pairs.map(({ truth, band }) => ({ error: band.rF!.value - truth.rF, u: uncertaintyOf(band.rF!) })),
    share: pairs.map(({ truth, band }) => ({
      error: band.sharePercent.value - truth.sharePercent,
      u: withoutCalibration(band.sharePercent),
    })),
    width: pairs.map(({ truth, band }) => ({
      error: band.widthMm.value / truth.widthMm - 1,
      u: uncertaintyOf(band.widthMm) / truth.widthMm,
    })),
    tail: pairs.map(({ truth, band }) => ({ error: band.tail.value - truth.tail, u: uncertaintyOf(band.tail) })),
    colour: pairs.map(({ truth, band }) => {
      const { repeatability: r, placement: p } = band.colourParts;
      return {
        error: [band.colour[0] - truth.lab[0], band.colour[1] - truth.lab[1], band.colour[2] - truth.lab[2]],
        u: [Math.hypot(r[0], p[0]), Math.hypot(r[1], p[1]), Math.hypot(r[2], p[2])],
      };
    }),
    origin:
      origin === null ? null : { error: origin.value - strip.originRetainedPercent, u: withoutCalibration(origin) },
  };
}

/** Truth and measure read the device alike here, so the calibration's part has nothing to cover. */
function withoutCalibration(t: Told): number {
  return Math.hypot(t.parts.repeatability, t.parts.placement);
}
