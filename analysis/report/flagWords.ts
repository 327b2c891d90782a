import type { Flag, Quantity } from '../quantity.ts';

/** Each flag as a few plain words; they follow 'Note:' on a picture. */
export const FLAG_WORDS: Readonly<Record<Flag, string>> = {
  uncalibrated: 'uncalibrated',
  'poor-calibration': 'the calibration is poor',
  'settings-changed': 'scanned with other settings than the target',
  lossy: 'saved with loss: not its colours as scanned',
  sharpened: 'edges sharpened by the scanner’s software',
  resampled: 'turned or resized after scanning: edges are not as scanned',
  'outside-target-gamut': 'a colour beyond those of the target',
  'maybe-brightened': 'the paper may hold a brightener',
  clipped: 'pixels at an end of the scanner’s scale',
  'below-resolution': 'too narrow for this resolution',
  'blur-corrected': 'narrow lines, corrected for the scanner’s blur',
  'few-pixels': 'few pixels',
  'no-ink': 'no ink found',
  'no-swab': 'lines, no swab',
  'several-swabs': 'several unlike swabs in its box',
  'no-bare-paper': 'no bare paper found to judge it against',
  'not-uniform': 'not uniform',
  'crossings-left-out': 'crossings left out',
  'other-marks-left-out': 'other marks left out',
  'shared-ink': 'ink of another sample in its box',
  'no-crossings': 'the strokes do not cross',
  'beside-halo': 'edges beside a halo',
  'no-nib-width': 'the nib’s own width is not given',
  'nib-width-doubtful': 'a wrong nib width, or a wrong dpi?',
  'lower-bound': 'at least so much: a flatbed hides sheen, close hairs hide one another',
  'another-ink': 'another ink or contaminated?',
  'with-sheen': 'sheen adds its own light to it',
  'grounds-alike': 'the grounds are too alike to tell the layer from what lies under it',
  'no-bar': 'no printed bar to be seen',
  'no-pass': 'nothing goes straight across the bar',
  'by-grounds': 'by two numbers a channel, not by the film fit',
  'not-checked': 'foretold without a third paper to check it on',
  'by-map': 'by the target’s map, not by the film fit',
  'few-doses': 'fewer than four doses',
  'lab-alone': 'the target’s spectra are not known',
  'narrow-absorption': 'a narrow absorption band',
  'film-misfit': 'does not lie on the ink’s own curve',
  'film-not-converged': 'the film fit did not settle',
  'not-registered': 'the two sides could not be laid over each other',
  unmirrored: 'the reverse is not mirrored',
  'no-front': 'the reverse alone, without its front',
  found: 'origin or front found, not given',
  'origin-not-found': 'origin not found',
  'front-not-found': 'front not found',
  'no-bands': 'no bands found',
  overlapped: 'bands that overlap',
  saturated: 'too dark for the scanner to tell',
  'cannot-tell': 'part of it cannot be told',
  unmatched: 'a band without a partner in the other run',
  'by-hand': 'bands set by hand',
  'no-strip': 'no strip to be seen',
  'strip-cut-off': 'colour runs on beyond the box',
  'front-off-strip': 'the front ran to the end of the paper',
  'origin-submerged': 'colour below the origin, as of a spot that stood in the liquid',
  'runs-other-way': 'looks as if it ran the other way',
  shadow: 'light changes sharply, as by a shadow',
};

/** Flags of a strip's bands, each with the bands that it concerns unless it concerns all findings. */
export function notesOfBands(quantities: readonly Quantity[]): string {
  const bands = new Set(quantities.flatMap((q) => q.subject.band ?? []));
  const flags = [...new Set(quantities.flatMap((q) => q.flags))].filter((flag) => flag !== 'uncalibrated');
  const words = flags.map((flag) => {
    const of = new Set(quantities.flatMap((q) => (q.flags.includes(flag) ? (q.subject.band ?? []) : [])));
    const some = of.size > 0 && of.size < bands.size;
    return some ? `${FLAG_WORDS[flag]} (${of.size === 1 ? 'band' : 'bands'} ${[...of].join(', ')})` : FLAG_WORDS[flag];
  });
  return words.length === 0 ? '' : `Note: ${words.join('; ')}.`;
}

/** One line for all flags of some findings, in their own order; '' when there are none. */
export function notesOf(flags: Iterable<Flag>): string {
  const words = [...new Set(flags)].map((flag) => FLAG_WORDS[flag] ?? flag);
  return words.length === 0 ? '' : `Note: ${words.join('; ')}.`;
}
