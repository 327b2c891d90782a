/** A sample's sheen, from the colours that are good enough for it. */
import { SIGMAS_10_90 } from '../normalCurve.ts';
import type { Flag, Subject } from '../quantity.ts';
import { gatherTriples } from '../raster/gatherTriples.ts';
import type { InkSample } from './inkSample.ts';
import type { Blocks } from './measuredColour.ts';
import type { RegionInput } from './region.ts';
import { measureSheen, type Sheen, type SheenInput } from './sheen.ts';
import { squareColours } from './squareColours.ts';

/** @returns its pixels and what is near counted as the sample counts its own */
export function sampleSheen(
  sample: InkSample,
  input: RegionInput,
  blocks: Blocks,
  subject: Subject,
  flags: readonly Flag[],
  seed: number,
): Sheen {
  const whole = sheenInput(sample, input);
  const { indices } = sample;
  // Two layers with sheen on top are no denser than one without: between crossings' arms nobody can tell.
  const doubtful = new Set(sample.besideTwo);
  const open = doubtful.size > 0 ? indices.map((_, k) => k).filter((k) => !doubtful.has(indices[k])) : indices;
  if (open.length === 0 || doubtful.size === 0) return measureSheen(whole, blocks, subject, flags, seed);
  const { xyz, place } = whole;
  const sheen = measureSheen(
    { ...whole, xyz: gatherTriples(xyz, open), place: { ...place, indices: open.map((k) => indices[k]) } },
    { of: open.map((k) => blocks.of[k]), count: blocks.count },
    subject,
    flags,
    seed,
  );
  const near = sheen.near && new Uint8Array(indices.length).fill(1);
  if (near) for (let j = 0; j < open.length; j++) near[open[j]] = sheen.near[j];
  return { quantity: sheen.quantity, pixels: sheen.pixels.map((j) => open[j]), near };
}

function sheenInput(sample: InkSample, input: RegionInput): SheenInput {
  const { indices, counted, corrected, ink, narrow } = sample;
  const { widthPx, dpi } = input.signal;
  const blurPx =
    input.scannerBlurMm === null ? (ink.edgeWidthPx ?? 2) / SIGMAS_10_90 : (input.scannerBlurMm * dpi) / 25.4;
  return {
    xyz: narrow ? sample.smoothXyz : squareColours(sample, input),
    paper: input.bare!.xyz,
    place: { indices, widthPx, stepPx: counted.stepPx, blurPx },
    // Where the blur was undone, what it was undone by is too much or too little.
    leftOut: new Set(narrow ? [] : corrected),
  };
}
