import type { Flag } from '../quantity.ts';

export interface FlagAdvice {
  /** What the flag means for the number; one sentence. */
  readonly means: string;
  /** What to do about it; one sentence. */
  readonly advice: string;
}

/** docs/measures.md has the thresholds. */
export const FLAG_ADVICE: Readonly<Record<Flag, FlagAdvice>> = {
  uncalibrated: {
    means:
      'No target serves this scan, so its values were read through its profile, or as sRGB, and the colours are rough.',
    advice: 'Scan a target with the same settings and let it serve this scan.',
  },
  'poor-calibration': {
    means: 'The target’s patches come out wrong by more than 2 ΔE00 in the middle, and so may this colour.',
    advice: 'See to the target: the right reference values, the scanner’s corrections off, nothing clipped.',
  },
  'settings-changed': {
    means:
      'This scan was not made as its target was: their files name other settings, a tone curve lies over one of them, or the paper reads otherwise than on other scans or lighter than any paper is. The calibration may not fit it.',
    advice:
      'Scan both anew with automatic exposure, contrast and colour off, or lay the target beside the sample in one scan.',
  },
  lossy: {
    means:
      'The scan was saved with loss: colours run across the edges of lines, as in most JPEGs, or only a palette of them was kept, beyond what the ± says.',
    advice: 'Save the scan as TIFF or PNG in full colour: made from this file they bring nothing back.',
  },
  sharpened: {
    means:
      'Paper beside the ink reads paler than bare paper, as sharpening makes it: thin lines read too dark and too narrow, beyond what the ± says, and a halo may be hidden.',
    advice: 'Turn sharpening off in the scanner’s software, and scan target and pages again.',
  },
  resampled: {
    means:
      'The page was turned or resized after scanning: its pixels were computed from others. Edges may read softer or more ragged than they are, beyond what the ± says; colours stay right.',
    advice:
      'Measure the scan as it was made; turn it by quarter turns only, and give the resolution that the scanner was set to.',
  },
  'outside-target-gamut': {
    means: 'The colour lies beyond all patches of the target, so the calibration had to reach for it.',
    advice: 'Trust it less, or use a target with darker and stronger patches.',
  },
  'maybe-brightened': {
    means: 'The paper likely holds a brightener, which the scanner’s lamp excites less than daylight does.',
    advice: 'Trust the paper’s b* less than its ± says.',
  },
  clipped: {
    means: 'Some pixels lie at an end of the scanner’s scale, where light and dark can no longer be told apart.',
    advice: 'Scan again with less exposure and without automatic levels.',
  },
  'below-resolution': {
    means: 'What was to be measured is only a few pixels wide, too narrow to be free of its edges.',
    advice: 'Scan at a higher resolution.',
  },
  'blur-corrected': {
    means: 'The lines are narrow: they were read along their core, with the scanner’s blur undone.',
    advice: 'Scan at a higher resolution if this number matters to you.',
  },
  'few-pixels': {
    means: 'There is too little of it in the box for a firm number.',
    advice: 'Draw a larger box, or scan at a higher resolution.',
  },
  'no-ink': {
    means: 'Nothing in the box is darker than the paper in any colour.',
    advice: 'Check that the box lies on the ink. Ink lighter than its paper is not measured.',
  },
  'no-swab': {
    means: 'What lies in the box are lines; a swab is read half a millimetre inside its rim, where they have nothing.',
    advice: 'Make it a region of writing (kind strokes), or draw the box around the swab.',
  },
  'several-swabs': {
    means:
      'In the box lie swabs with bare paper between them that differ by more than 5 ΔE00 where they face each other: two inks, or two doses. Its colour is their mean, its variation the step between them.',
    advice: 'Draw a box around each swab.',
  },
  'no-bare-paper': {
    means: 'No bare paper was found to judge the ink against.',
    advice: 'Leave paper free around the ink, and mark some of it as a paper region.',
  },
  'not-uniform': {
    means: 'The marked paper varies by more than 3 in lightness, so it is not one bare paper.',
    advice: 'Move the box to clean paper.',
  },
  'crossings-left-out': {
    means: 'Places where the pen passed twice were found and left out, so that one layer of ink counts.',
    advice: 'Nothing needs doing.',
  },
  'other-marks-left-out': {
    means:
      'Marks whose colour this ink has at no dose (a label, a speck), what lies beyond the paper’s edge, or ink of another breadth (a swab among lines, lines beside a swab) are in the box and were left out.',
    advice: 'Look at the picture; where a left-out mark is the sample, draw the box around it alone.',
  },
  'shared-ink': {
    means:
      'More than 3 % of its ink lies in another sample’s box too, so that one of the two counts what is not its own.',
    advice:
      'Draw the boxes so that each holds its own writing alone; turn a page that lies askew before it is scanned.',
  },
  'no-crossings': {
    means: 'No place was found where the pen passed twice, so nothing tells what a second pass does.',
    advice: 'Let some lines of the sample cross.',
  },
  'beside-halo': {
    means: 'The lines stand in a halo, so their edges were found by two levels, which is less sure.',
    advice: 'Read widths a little less finely.',
  },
  'no-nib-width': {
    means: 'Spread is told against the nib’s own width, and nobody gave it.',
    advice: 'Give the nib’s width with the region.',
  },
  'nib-width-doubtful': {
    means:
      'No pen writes lines so much narrower or wider than its nib: the nib’s width in the sheet is likely wrong, or the scan’s dpi.',
    advice: 'Check the nib’s width, in millimetres, and what dpi the scan was made with.',
  },
  'lower-bound': {
    means:
      'The true figure is likely larger: a flatbed lights from the side, which hides most of a sheen; hairs that lie close, or short in a soft edge, hide one another.',
    advice: 'For sheen tilt the page under a lamp and look; for hairs scan at a higher resolution.',
  },
  'another-ink': {
    means:
      'The sample leaves the ink’s own path from thin to thick by more than its uncertainty allows: the pen may have held another ink, or rinse water.',
    advice: 'Look at the sample and write it again with a clean pen before it is published.',
  },
  'with-sheen': {
    means:
      'Sheen was found in the sample. It lies where most ink lies and adds its own light there, so the densest ink reads too pale, and a step from thin to thick, or to a second pass, too small or too large.',
    advice: 'Take the figure as what the page looks like, not as what the ink alone does.',
  },
  'grounds-alike': {
    means: 'The grounds that the ink lies on are too alike to tell the ink’s layer from what lies under it.',
    advice: 'Write it on a dark or strongly coloured paper too, or over a printed black bar.',
  },
  'no-bar': {
    means: 'No printed black bar with bare paper beside it was found in the box.',
    advice: 'Draw the box over the whole width of the bar, with bare paper and ink on both sides of its edge.',
  },
  'no-pass': {
    means:
      'Nothing goes straight across the printed bar. What lies on it cannot be seen there, and a letter that turns cannot be followed.',
    advice: 'Draw a few straight lines, or a swab, across the bar.',
  },
  'by-grounds': {
    means:
      'No film was fitted, so it is foretold by a reflectance and a transmittance in each of three broad channels.',
    advice: 'Put a graded swab of the ink on one sheet with bare paper beside it: the film fit foretells better.',
  },
  'not-checked': {
    means: 'The ink lies on too few papers to foretell one from the others and see how far that is off.',
    advice: 'Write it on a third paper: then the error found there stands beside every foretold colour.',
  },
  'by-map': {
    means: 'No film could be fitted here, so the colour is through the target’s map, whose doubt is larger.',
    advice: 'Put a graded swab of the ink on one sheet with bare paper beside it.',
  },
  'few-doses': {
    means: 'The film fit needs four or more doses of the ink over one sheet, and there are fewer.',
    advice: 'Add a graded swab, or writing of several nibs, on one sheet.',
  },
  'lab-alone': {
    means: 'The scanner’s sensitivities were told from the target’s Lab alone, the weaker form of the film fit.',
    advice: 'Use a reference file with spectra, if the target’s maker gives one.',
  },
  'narrow-absorption': {
    means:
      'The ink absorbs in a band that is narrow or steep on its long side, where the fit is too sure of itself: its u is doubled.',
    advice: 'Trust the colour within the wider ±.',
  },
  'film-misfit': {
    means: 'The signals leave the fitted film by more than noise allows: another ink, sheen, a smear or a stain.',
    advice: 'Look at the regions named, and leave out what is not this ink alone.',
  },
  'film-not-converged': {
    means: 'The search for the ink’s absorption did not come to rest, so the target’s map tells the colours.',
    advice: 'Check that all regions hold this ink alone and that bare paper lies beside them.',
  },
  'not-registered': {
    means:
      'What shows on the reverse does not match the front well enough to know what lies behind what: it may be another sheet, or another part of it.',
    advice: 'Check that the reverse is this page’s and that both boxes lie on the same lines.',
  },
  unmirrored: {
    means:
      'The reverse matches the front without being turned over: the scan was mirrored by software, or it is the front once more.',
    advice: 'Scan the back of the page as it is, without mirroring.',
  },
  'no-front': {
    means: 'Without the front, what shows on the reverse was told from its own dark lines, which misses the faintest.',
    advice: 'Name the front’s region that it is the back of.',
  },
  found: {
    means: 'Origin or front was looked for and found, not given, which widens the ± of every R_F.',
    advice: 'Set the origin and the front by hand for the best R_F.',
  },
  'origin-not-found': {
    means: 'No origin line and no spot was found, and without an origin there is no R_F.',
    advice: 'Set the origin by hand.',
  },
  'front-not-found': {
    means: 'No line was found at the solvent front, and without a front there is no R_F.',
    advice: 'Set the front by hand.',
  },
  'no-bands': {
    means: 'No band rises above the strip’s noise.',
    advice: 'Check that the box lies along the lane; a single dye that stays put shows none.',
  },
  overlapped: {
    means: 'The band and its neighbour share flanks, so how the colour is split between them is less sure.',
    advice: 'Read width, colour and share with care, or run a longer strip.',
  },
  saturated: {
    means:
      'At its darkest the strip is beyond what the scanner can tell, so the scanner decides there and not the dye.',
    advice: 'Run a smaller spot.',
  },
  'cannot-tell': {
    means: 'The uncertainty swallows it, or a part of what it needs is missing.',
    advice: 'Take the number beside it, or measure more ink.',
  },
  unmatched: {
    means: 'A band has no partner in the other run.',
    advice: 'Look at both strips: the band has gone, has come, or has moved too far to be known again.',
  },
  'by-hand': {
    means: 'A person set or took away bands of this strip, and the fit followed.',
    advice: 'Let the bands be found once to see what the data alone say.',
  },
  'no-strip': {
    means: 'The box shows neither a strip’s edge, nor a lane of colour, nor a line across.',
    advice: 'Check that the box lies on the strip, lengthwise.',
  },
  'strip-cut-off': {
    means: 'The colour is still there where the box ends, so part of it and the front lie beyond.',
    advice: 'Draw the box to the end of the strip, or scan the strip whole.',
  },
  'front-off-strip': {
    means:
      'The liquid reached the end of the paper before the run was stopped: where the front would stand is not known, and dyes near it are heaped up.',
    advice: 'Run it again and take the strip out sooner. Order, colours and shares still tell.',
  },
  'origin-submerged': {
    means:
      'There is colour on the far side of the origin, towards the liquid: the spot stood in it, and some dye went into the bath.',
    advice: 'Put the spot higher above the liquid. Shares and what the origin keeps count only what is left.',
  },
  'runs-other-way': {
    means:
      'By its two ends the strip looks as if the liquid ran the other way: the spot and its line lie where the front was looked for.',
    advice: 'Turn the direction of the run round, or set origin and front, and measure again.',
  },
  shadow: {
    means:
      'A large part of the strip or of the bare paper is darker than the rest, as by a shadow, a fold or a stain: which part is the paper cannot be told.',
    advice: 'Give it even light, or scan it flat; draw a box of bare paper about one part alone.',
  },
};

/** 'means advice' as one text. */
export function adviceText(flag: Flag): string {
  const { means, advice } = FLAG_ADVICE[flag];
  return `${means} ${advice}`;
}
