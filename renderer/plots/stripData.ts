/** A strip's three absorbances along its run, from behind the origin to the front. */
import type { LabValue } from '../../analysis/quantity.ts';
import type { StripDetail } from '../../electron/backend/api.ts';

export type Along = 'rF' | 'mm';

export interface StripCurve {
  readonly name: string;
  /** Of the three: long waves are what a yellow or red dye lets pass and a blue one holds back, and so on. */
  readonly channel: 0 | 1 | 2;
  readonly points: readonly { readonly at: number; readonly measured: number; readonly fitted: number }[];
}

export interface StripPlotData {
  readonly along: Along;
  readonly curves: readonly StripCurve[];
  readonly bands: readonly {
    readonly band: number;
    readonly from: number;
    readonly to: number;
    readonly centre: number;
    readonly lab: LabValue;
    readonly share: number | null;
  }[];
  readonly origin: number | null;
  readonly front: number | null;
  readonly from: number;
  readonly to: number;
  readonly most: number;
}

export const CURVE_NAMES = ['long waves (red)', 'middle waves (green)', 'short waves (blue)'] as const;

/** Whether R_F can be told: it needs an origin and a front that lie apart. */
export function hasRF({ originMm, frontMm }: StripDetail): boolean {
  return originMm !== null && frontMm !== null && originMm !== frontMm;
}

/** @param along 'rF' falls back to mm where the strip has no origin or no front. mm count from the origin, else from the box's edge. */
export function stripPlotData(strip: StripDetail, along: Along): StripPlotData {
  const used: Along = along === 'rF' && hasRF(strip) ? 'rF' : 'mm';
  const place = placing(strip, used);
  const curves = CURVE_NAMES.map((name, c): StripCurve => {
    const channel = c === 0 ? 0 : c === 1 ? 1 : 2;
    const points = strip.placesMm.map((mm, i) => ({
      at: place(mm),
      measured: strip.absorbance[channel][i],
      fitted: strip.fitted[channel][i],
    }));
    return { name, channel, points: points.sort((a, b) => a.at - b.at) };
  });
  const bands = strip.bands.map(({ band, centreMm, fromMm, toMm, lab, share }) => {
    const [a, b] = [place(fromMm), place(toMm)];
    return { band, from: Math.min(a, b), to: Math.max(a, b), centre: place(centreMm), lab, share };
  });
  const places = curves[0].points.map(({ at }) => at);
  const heights = curves.flatMap(({ points }) => points.flatMap(({ measured, fitted }) => [measured, fitted]));
  return {
    along: used,
    curves,
    bands,
    origin: strip.originMm === null ? null : place(strip.originMm),
    front: strip.frontMm === null ? null : place(strip.frontMm),
    from: places[0] ?? 0,
    to: places[places.length - 1] ?? 1,
    most: Math.max(0.05, ...heights.filter(Number.isFinite)),
  };
}

/** mm from the box's edge → what the axis counts: R_F, or mm travelled from the origin. */
function placing({ originMm, frontMm, travel }: StripDetail, along: Along): (mm: number) => number {
  if (along === 'rF' && originMm !== null && frontMm !== null) return (mm) => (originMm - mm) / (originMm - frontMm);
  if (originMm === null) return (mm) => mm;
  // Up and left run against the box's millimetres.
  return travel === 'up' || travel === 'left' ? (mm) => originMm - mm : (mm) => mm - originMm;
}
