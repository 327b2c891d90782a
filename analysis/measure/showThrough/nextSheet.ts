/** The sheet that lay under a written page: dots that went all the way through and reached it. docs/measures.md, `bleedThrough.next`. */
import { registerSheets, type Registration } from '../../locate/registerSheets.ts';
import type { Flag, Quantity } from '../../quantity.ts';
import { gridMapOf } from '../../raster/gridMap.ts';
import type { LinearRaster } from '../../raster/raster.ts';
import { frontClasses, laidOnBack } from './behindInk.ts';
import { bleedThrough } from './bleedThrough.ts';
import { clippedFlag, luminance, medianOf } from './light.ts';
import { findInk } from '../../locate/inkMask.ts';
import { overPaperNear } from './paperNear.ts';
import { CELL_MM, isBelieved } from './registered.ts';
import { REVERSE_MARKS, type ReverseInput, type ReverseMeasure } from './reverseInput.ts';

export const NEXT_METHODS = { next: 'bleedThrough.next/3' } as const;

/** A dot counts from this density above the paper about it on: what the eye sees on white paper. Common practice, no source. */
const LEAST_DENSITY = 0.05;
/** bleedThrough.ts takes a third of a front's density. */
const AS_OF_A_FRONT = 3 * LEAST_DENSITY;
/** Darker than this is no paper to hold others against. */
const NOT_PAPER = 0.93;

/** The sheet under is seen from the same side as the front: nothing is turned over. */
export function measureNextSheet(input: ReverseInput): ReverseMeasure {
  const { back, front } = input;
  const { widthPx, heightPx, dpi } = back;
  const y = luminance(back, input.calibration);
  const level = medianOf(y);
  const { all, ratio } = dotsAnywhere(y, back, AS_OF_A_FRONT);
  const flags: Flag[] = [...input.scanFlags, ...clippedFlag(back)];
  if (front === null) return told(input, all, [...flags, 'no-front'], marksOf(all.mask), null);
  if (front.paper === null) return told(input, all, [...flags, 'no-bare-paper'], marksOf(all.mask), null);
  // Nothing reached it: there is nothing to lay over the front, and that is an answer.
  if (all.dots === 0) return told(input, all, flags, marksOf(all.mask), null);
  const ink = findInk(front.signal, front.paper);
  if (ink === null) return told(input, all, [...flags, 'no-ink'], marksOf(all.mask), null);
  const covered = Float32Array.from(ink.mask.data, (m, i) => (m ? Math.min(1, Math.max(0, ink.contrast[i])) : 0));
  const registration = registerSheets(
    gridMapOf(covered, front.signal.widthPx, front.signal.heightPx, front.signal.dpi, CELL_MM),
    gridMapOf(
      y.map((v) => Math.min(0.5, 1 - v / level)),
      widthPx,
      heightPx,
      dpi,
      CELL_MM,
    ),
  );
  // Few dots tell no place: all that are seen are counted, and it is said.
  if (!isBelieved(registration) || registration.place.turned !== 'not') {
    return told(input, all, [...flags, 'not-registered'], marksOf(all.mask), registration);
  }
  const marks = laidOnBack(frontClasses(ink, front.signal.dpi), front.signal, back, registration.place);
  const under = bleedThrough(ratio, marks, widthPx, heightPx, dpi, AS_OF_A_FRONT);
  under.mask.forEach((m, i) => {
    if (m) marks[i] = REVERSE_MARKS.bleed;
  });
  const others: Flag[] = under.dots < all.dots ? ['other-marks-left-out'] : [];
  return told(input, under, [...flags, ...others], marks, registration);
}

/** Dots wherever they lie, as dark as a third of this density. @param y luminance per pixel */
export function dotsAnywhere(
  y: Float32Array,
  { widthPx, heightPx, dpi }: LinearRaster,
  frontDensity: number,
): { readonly all: ReturnType<typeof bleedThrough>; readonly ratio: Float32Array } {
  const level = medianOf(y);
  const bare = Uint8Array.from(y, (v) => (v > NOT_PAPER * level ? 1 : 0));
  const ratio = overPaperNear(y, bare, widthPx, heightPx, dpi);
  const everywhere = new Uint8Array(y.length).fill(REVERSE_MARKS.behindInk);
  return { all: bleedThrough(ratio, everywhere, widthPx, heightPx, dpi, frontDensity), ratio };
}

function marksOf(mask: Uint8Array): Uint8Array {
  return mask.map((m) => (m ? REVERSE_MARKS.bleed : REVERSE_MARKS.none));
}

function told(
  { id }: ReverseInput,
  bleed: ReturnType<typeof bleedThrough>,
  flags: readonly Flag[],
  marks: Uint8Array,
  registration: Registration | null,
): ReverseMeasure {
  const subject = { regions: [id] };
  const method = NEXT_METHODS.next;
  const quantities: Quantity[] = [
    {
      quantity: 'bleedThrough.next',
      subject,
      value: bleed.dots,
      unit: 'dots',
      u: Math.hypot(0.15, 0.5 * Math.sqrt(bleed.doubtful)),
      flags,
      method,
    },
    {
      quantity: 'bleedThrough.nextArea',
      subject,
      value: bleed.areaMm2,
      unit: 'mm²',
      u: Math.max(0.02, bleed.areaU),
      flags,
      method,
    },
  ];
  return { quantities, marks, registration };
}
