/** The edges of a region of strokes, as a print-quality laboratory would measure them (docs/measures.md, "Lines and edges"). */
import type { Ink } from '../../locate/inkMask.ts';
import type { StrokeInterior } from '../../locate/strokeInterior.ts';
import type { Flag, Quantity, Subject } from '../../quantity.ts';
import { seedFromText } from '../../seededRandom.ts';
import type { RegionInput } from '../region.ts';
import { betweenHairs } from './betweenHairs.ts';
import { describeEdges } from './describeEdges.ts';
import type { EdgeDetail } from './edgeDetail.ts';
import { edgeQuantities, noEdges } from './edgeQuantities.ts';
import { feathering, raggedness } from './excursions.ts';
import { foundEdges } from './foundEdges.ts';
import { overshootOf, SHARPENED } from './overshoot.ts';
import { widthFigures } from './widths.ts';

export interface EdgeMeasure {
  readonly quantities: readonly Quantity[];
  /** Null when no edge could be told. */
  readonly detail: EdgeDetail | null;
  /** Mean width of the lines between their edges, px; null when no edge could be told. */
  readonly linePx: number | null;
  /** Sigma of the edges' blur as scanned, px; null when no edge could be told. */
  readonly sigmaPx: number | null;
  /** Paper beside the ink reads paler than bare paper, as a scanner's sharpening leaves it. */
  readonly isSharpened: boolean;
}

/**
 * Found between its edges no line is narrower than about 1.4 px, whatever it is: below this its width is the grid's, and its colour is mostly what its blur is
 * undone by. At 1.3 px widths were off by 2.3 to 4.6 of their u and colours by 4 to 11, at 1.5 px and more by less than 2 and 2.5 (benches and written lines
 * at 60 to 150 dpi, seeds 400–424).
 */
const LEAST_LINE_PX = 1.5;

/** Whether nothing can be told of lines this wide between their edges, px. */
export function isLost(linePx: number | null): boolean {
  return linePx !== null && linePx < LEAST_LINE_PX;
}

/** Of lines narrower than this many sigma of their edges' blur hardly a place keeps the ink's own colour: off by 11 u at 2.8 sigma, by less than 3 from 4 on. */
const LEAST_LINE_SIGMAS = 3;
/** … and blur fills their crossings: 2.5 ΔE00 of 20 were left at 4.5 sigma (benches blurred by 2 px, seed 60011). */
const LEAST_CROSSED_SIGMAS = 4.8;

/** Whether the blur of its edges, of the scanner or the ink's own, is too wide for a line's colour. */
export function isBlurredThrough({ linePx, sigmaPx }: Pick<EdgeMeasure, 'linePx' | 'sigmaPx'>): boolean {
  return linePx !== null && sigmaPx !== null && linePx < LEAST_LINE_SIGMAS * sigmaPx;
}

/** … or for what crossing lines add. */
export function areCrossingsFilled({ linePx, sigmaPx }: Pick<EdgeMeasure, 'linePx' | 'sigmaPx'>): boolean {
  return linePx !== null && sigmaPx !== null && linePx < LEAST_CROSSED_SIGMAS * sigmaPx;
}

/** Said of the ink's colour, not of its edges. */
const OF_COLOUR: readonly Flag[] = ['blur-corrected', 'below-resolution', 'few-pixels', 'outside-target-gamut'];

/**
 * @param ink With its ratio as scanned. @param sampleFlags What is known of the region's pixels.
 */
export function measureEdges(
  ink: Ink,
  inside: Pick<StrokeInterior, 'graph' | 'crossings'>,
  input: RegionInput,
  sampleFlags: readonly Flag[],
): EdgeMeasure {
  const pxPerMm = input.signal.dpi / 25.4;
  const subject: Subject = { regions: [input.id] };
  const ofPixels: readonly Flag[] = input.resampled ? ['resampled'] : [];
  const flags = [...new Set([...input.scanFlags, ...ofPixels, ...sampleFlags.filter((f) => !OF_COLOUR.includes(f))])];
  const scannerSigmaPx = input.scannerBlurMm === null ? null : input.scannerBlurMm * pxPerMm;
  const found = foundEdges(ink, inside, pxPerMm, scannerSigmaPx, input.rooms);
  const nothing = {
    quantities: noEdges(subject, [...flags, 'below-resolution']),
    detail: null,
    sigmaPx: null,
    isSharpened: false,
  };
  if (!found) return { ...nothing, linePx: null };
  const { across } = found;
  const isSharpened = overshootOf(across.profile, across.fit.ink[3]) >= SHARPENED;
  const seed = seedFromText(input.id);
  const course = raggedness(found, ink.noise, scannerSigmaPx ?? across.sigmaPx, pxPerMm, seed);
  const noise = course?.edgeNoise ?? 0;
  const fringe = found.isFringe ? betweenHairs(found.strokes, pxPerMm) : null;
  const lines = fringe ? { ...found, strokes: fringe.strokes } : found;
  const shiftPx = fringe ? 0 : across.shiftPx;
  const width = widthFigures(lines, (stroke) => stroke.edges, shiftPx, pxPerMm, seed, noise);
  if (width === null || isLost(width.mean)) return { ...nothing, linePx: width?.mean ?? null };
  const hairy = found.isRinged ? null : feathering(found, pxPerMm, seed);
  const quantities = edgeQuantities(
    {
      width,
      at60: fringe ? null : widthFigures(found, found.at60, 0, pxPerMm, seed, noise),
      raggedness: course,
      feathering: hairy,
      across,
      fringePx: fringe && fringe.hiddenPx,
    },
    {
      input,
      subject,
      nibWidthMm: input.nibWidthMm ?? null,
      pxPerMm,
      scannerSigmaPx,
      flags: isSharpened ? [...flags, 'sharpened'] : flags,
    },
  );
  const described = describeEdges(found, input, pxPerMm, scannerSigmaPx);
  const detail = found.isFringe ? { ...described, halo: null } : described;
  return {
    quantities,
    detail: hairy && hairy.hairs > 0 ? detail : { ...detail, hairs: [] },
    linePx: width.mean,
    sigmaPx: across.sigmaPx,
    isSharpened,
  };
}
