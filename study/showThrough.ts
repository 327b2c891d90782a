/** What measuring the back of a page is off by, over drawn pages with exact truth (backPages.ts). */
import { compileCalibration } from '../analysis/calibrate/apply.ts';
import type { Calibration } from '../analysis/calibrate/calibration.ts';
import { nominalCalibration } from '../analysis/calibrate/nominal.ts';
import { flatSurface } from './flatSurface.ts';
import { measureReverse } from '../analysis/measure/showThrough/measureReverse.ts';
import type { ReverseMeasure } from '../analysis/measure/showThrough/reverseInput.ts';
import type { Flag } from '../analysis/quantity.ts';
import type { LinearRaster } from '../analysis/raster/raster.ts';
import { normal, seededRandom } from '../analysis/seededRandom.ts';
import { type BackOptions, type BackPage, drawBackPage } from './backPages.ts';

/** Signals are light already, and Y the mean that backPages.ts takes. */
const PLAIN: Calibration = {
  ...nominalCalibration,
  judgement: 'good',
  model: 'linear',
  matrix: [
    [0.9642 * 0.25, 0.9642 * 0.65, 0.9642 * 0.1],
    [0.25, 0.65, 0.1],
    [0.8249 * 0.25, 0.8249 * 0.65, 0.8249 * 0.1],
  ],
};

export function measuredBack(
  seed: number,
  options: BackOptions & {
    alone?: boolean;
    next?: boolean;
    toneOff?: number;
    frontFlags?: readonly Flag[];
    onItsSide?: boolean;
  } = {},
): {
  page: BackPage;
  measure: ReverseMeasure;
} {
  const page = drawBackPage(seed, options);
  const calibration = compileCalibration(PLAIN);
  // A tone curve that was taught a little wrong bends both sides alike.
  for (const { data } of [page.front, page.back]) {
    if (options.toneOff) for (let i = 0; i < data.length; i++) data[i] = Math.max(0, data[i]) ** (1 + options.toneOff);
  }
  const measure = measureReverse({
    id: `back-${seed}`,
    back: options.onItsSide === true ? quarterTurned(page.back) : page.back,
    calibration,
    front: options.alone
      ? null
      : {
          region: 'front',
          signal: page.front,
          calibration,
          paper: flatSurface(page.paper),
          scanFlags: options.frontFlags ?? [],
        },
    scanFlags: [],
    page: options.next === true ? 'next' : 'back',
  });
  return { page, measure };
}

function quarterTurned(raster: LinearRaster): LinearRaster {
  const { data, widthPx: w, heightPx: h } = raster;
  const out = new Float32Array(data.length);
  for (let i = 0; i < data.length; i++) {
    const [c, px] = [i % 3, Math.floor(i / 3)];
    out[3 * ((px % w) * h + h - 1 - Math.floor(px / w)) + c] = data[i];
  }
  return { ...raster, data: out, widthPx: h, heightPx: w };
}

/** What a drawn page asks: both sides laid over each other; another sheet's back; one that is not mirrored; one on which nothing shows; the sheet under; sides of which one was scanned with other settings. */
export const PAGE_CASES = ['own', 'own', 'own', 'other', 'unmirrored', 'clean', 'next', 'settings'] as const;
type PageCase = (typeof PAGE_CASES)[number];

export interface BackRow {
  readonly seed: number;
  readonly of: PageCase;
  readonly dpi: readonly [front: number, back: number];
  /** Found and true; null: refused. */
  readonly ghosting: readonly [found: number, u: number, truth: number] | null;
  readonly dots: readonly [found: number, truth: number] | null;
  readonly areaMm2: readonly [found: number, u: number, truth: number] | null;
  readonly flags: readonly string[];
  readonly score: number | null;
  readonly correlation: number | null;
}

/** How wrong a calibration's tone curve is as an exponent, standard deviation: some five hundredths of what a step of L* is near white. */
const TONE_SD = 0.02;

export function showThroughRows(seed: number): BackRow[] {
  const of = PAGE_CASES[seed % PAGE_CASES.length];
  const round = Math.floor(seed / PAGE_CASES.length);
  const dpi = [300 + 300 * (round % 2), 300 + 300 * (Math.floor(round / 2) % 2)] as const;
  const options: BackOptions & { next?: boolean; toneOff: number; frontFlags?: readonly Flag[] } = {
    toneOff: TONE_SD * normal(seededRandom(seed * 53 + 7)),
    widthMm: 40 + (seed % 5) * 5,
    heightMm: 21 + (seed % 3) * 3,
    frontDpi: dpi[0],
    backDpi: dpi[1],
    turned: of === 'unmirrored' || of === 'next' ? 'not' : seed % 2 === 0 ? 'about-vertical' : 'about-horizontal',
    // The sheet is scanned at up to 1 % another scale.
    place: { scale: 0.99 + (0.02 * (seed % 11)) / 10 },
    ...(of === 'other' && { otherSheet: true }),
    ...(of === 'clean' && { ghost: 0, dots: 0 }),
    ...(of === 'settings' && { frontFlags: ['settings-changed'] }),
    ...(of === 'next' && { ghost: 0, next: true }),
  };
  const { page, measure } = measuredBack(seed, options);
  const { truth } = page;
  const find = (name: string) => measure.quantities.find(({ quantity }) => quantity === name);
  const numbers = (name: string): readonly [number, number] | null => {
    const found = find(name);
    return typeof found?.value === 'number' ? [found.value, Number(found.u)] : null;
  };
  const next = of === 'next';
  const ghosting = numbers('ghosting');
  const dots = numbers(next ? 'bleedThrough.next' : 'bleedThrough.dots');
  const area = numbers(next ? 'bleedThrough.nextArea' : 'bleedThrough.area');
  return [
    {
      seed,
      of,
      dpi,
      ghosting: ghosting && [...ghosting, truth.ghosting],
      dots: dots && [dots[0], truth.dots],
      areaMm2: area && [...area, truth.dotsMm2],
      flags: measure.quantities[0].flags,
      score: measure.registration?.score ?? null,
      correlation: measure.registration?.correlation ?? null,
    },
  ];
}
