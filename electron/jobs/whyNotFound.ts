/** What is the matter with a scan in which a target was not found, where that can be told. */
import type { TargetLayout } from '../../analysis/calibrate/calibration.ts';
import { COLOURLESS_SCAN, isColourless } from '../../analysis/calibrate/colourless.ts';
import type { ColourRaster } from '../../analysis/locate/target/colourRaster.ts';
import { type Refusal, SURE } from '../../analysis/locate/target/refusal.ts';
import { searchTarget, sizeOfGrid } from '../../analysis/locate/target/searchTarget.ts';
import type { KnownColours } from '../../analysis/locate/target/targetLayout.ts';
import { selectKth } from '../../analysis/raster/select.ts';
import { likelierLayout } from './likelierLayout.ts';

export interface Cause {
  readonly code: string;
  readonly words: string;
  /** What else was advised for want of a cause need not be said. */
  readonly certain: boolean;
}

/** What the target's bare card reaches at least, coded values: half of full light is 0.73, or 0.5 where values are linear. */
const DARK = 0.25;
/** Lightest and darkest of a scan that shows anything differ by more. */
const BLANK = 0.05;
/** Dust and a single hot pixel say nothing of the rest. */
const END_SHARE = 0.005;

/**
 * @param small The scan, `factor` times smaller.
 * @param typical Colours that are usual for the layout; null: not known
 */
export function whyNotFound(
  small: ColourRaster,
  factor: number,
  layout: TargetLayout,
  reference: KnownColours,
  typical: KnownColours | null,
  { code }: Refusal,
): Cause | null {
  if (code === 'target-mirrored') return null;
  const exposed = code === 'targets-two' ? null : badlyExposed(small);
  if (exposed !== null) return exposed;
  if (isColourless(small.rgb)) return { code: 'no-colour', words: COLOURLESS_SCAN, certain: true };
  if (code === 'target-not-found') {
    const cause =
      asNegative(small, factor, layout, reference) ??
      atOtherDpi(small, factor, layout, reference) ??
      inOtherColours(small, factor, layout, reference, typical);
    if (cause !== null) return cause;
  }
  const other = likelierLayout(small, factor, layout);
  if (other === null) return null;
  return { code: code === 'target-not-found' ? 'other-layout' : code, words: other, certain: false };
}

function badlyExposed({ rgb }: ColourRaster): Cause | null {
  const lightest = new Float32Array(rgb.length / 3);
  for (let i = 0; i < lightest.length; i++) lightest[i] = Math.max(rgb[3 * i], rgb[3 * i + 1], rgb[3 * i + 2]);
  const count = lightest.length;
  if (count === 0) return null;
  const top = selectKth(lightest, count, Math.floor((1 - END_SHARE) * (count - 1)));
  const percent = (100 * top).toFixed(0);
  if (top < DARK) {
    return {
      code: 'dark',
      words:
        `The scan is dark: the lightest of it reaches ${percent} % of the scale, where bare card reaches more than half. ` +
        `Scan with more exposure, and see that the lamp is on and the lid shut.`,
      certain: true,
    };
  }
  if (top - selectKth(lightest, count, Math.floor(END_SHARE * (count - 1))) > BLANK) return null;
  return {
    code: 'blank',
    words:
      `The scan is blank: all of it is one tone, at ${percent} % of the scale. ` +
      `Lay the target on the glass face down; if it lay there, scan with less exposure.`,
    certain: true,
  };
}

function asNegative(small: ColourRaster, factor: number, layout: TargetLayout, reference: KnownColours): Cause | null {
  const turned = { ...small, rgb: small.rgb.map((value) => 1 - value) };
  if ('problem' in searchTarget(turned, factor, layout, reference)) return null;
  return {
    code: 'negative',
    words:
      'The target is there as a negative, light where it is dark: ' +
      'turn the negative or film mode of the scanning program off, and scan target and pages again.',
    certain: true,
  };
}

function atOtherDpi(small: ColourRaster, factor: number, layout: TargetLayout, reference: KnownColours): Cause | null {
  const found = sizeOfGrid(small, layout, reference);
  if (found === null || found.score < SURE) return null;
  const dpi = small.dpi * factor;
  return {
    code: 'other-dpi',
    words:
      `The target is there at ${found.size.toFixed(2)} times its size, as if the scan had about ${(dpi * found.size).toFixed(0)} dpi ` +
      `and not ${dpi.toFixed(0)}: give the dpi that it was scanned with, or print it anew at 100 %.`,
    certain: true,
  };
}

/** The target is there after all, in the colours that are usual for it. */
function inOtherColours(
  small: ColourRaster,
  factor: number,
  layout: TargetLayout,
  reference: KnownColours,
  typical: KnownColours | null,
): Cause | null {
  if (typical === null || typical === reference) return null;
  if ('problem' in searchTarget(small, factor, layout, typical)) return null;
  return {
    code: 'other-target',
    words:
      "Its layout is there, but not in the reference's colours: give the reference that belongs to this very target.",
    certain: false,
  };
}
