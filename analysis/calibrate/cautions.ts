/** What a person should mend or know about a target: what was found, what is expected, what to do. One line each. */
import type { Calibration, Caution, PatchReading, TargetColorants } from './calibration.ts';
import type { CoverSign } from './covered.ts';
import type { ExchangedChannels } from './exchangedChannels.ts';
import type { LightDrift } from './lightDrift.ts';

export type Judgement = 'good' | 'usable' | 'poor';

/** What was seen while fitting; pure numbers, so that each caution can be tried alone. */
export interface Evidence {
  readonly readings: readonly (PatchReading & { readonly knownL: number })[];
  readonly clippedLimit: number;
  readonly covered: ReadonlyMap<string, CoverSign>;
  readonly leftOutMedian: number;
  readonly greyMaxChroma: number;
  /** Greys mixed from dyes come out coloured before any scanner. */
  readonly mixedGreys: boolean;
  /** Ids of greys that broke the rise. */
  readonly pooled: readonly string[];
  /** Share of full light that the lightest patch gives, its brightest channel linear: 0..1. */
  readonly exposure: number;
  readonly drift: LightDrift | null;
  /** The same as a plane. */
  readonly slope: LightDrift | null;
  /** Largest over smallest light over the patches that was taken out, minus 1; null: none was. */
  readonly lightRange: number | null;
  /** Largest over smallest light on the bare card, minus 1, where no smooth surface follows it; null: one does, or nothing is known. */
  readonly shadow: number | null;
  /** What is left of the light on the target's bare card under a white sheet's field, as the same range; null: no sheet or no bare card. */
  readonly whiteMisfit: number | null;
  /** Where the white sheet leaves off, and whether part of the target lies beyond; null: it covers all, or there is none. */
  readonly whiteShort: { readonly words: string; readonly target: boolean } | null;
  readonly noise: Calibration['noise'];
  readonly colorants: TargetColorants;
  /** Median uncertainty of the known values themselves, ΔE00; 0: as good as none. */
  readonly referenceDoubt: number;
  /** Null: the channels stand in their order, or nothing tells. */
  readonly exchanged: ExchangedChannels | null;
}

/** A caution, and the best judgement that a calibration may still have with it. */
export interface WeighedCaution extends Caution {
  readonly atBest: Judgement;
}

/** Chosen on seeds of study/targetFaults.ts below 140, shown on others in docs/study/target-faults.md. */
export const CAUTION_LIMITS = {
  /** Share of patches refused as clipped from which a calibration is 'usable' at best. */
  clippedShare: 0.1,
  coveredShare: 0.05,
  /** Left-out median, ΔE00, from which the reference is doubted. */
  otherTarget: 4,
  /** C* by which the worst grey misses its known colour; mixed greys miss by more on sound targets. */
  greyChroma: 3,
  mixedGreyChroma: 10,
  /** A lightest patch below this share of full light gives dark inks few levels. */
  exposure: 0.2,
  /** Light over the target that was taken out; and that was not, with how sure. */
  lightRange: 0.2,
  drift: 0.08,
  strongDrift: 0.2,
  driftF: 8,
  whiteMisfit: 0.02,
  /** One pixel's L*. */
  lightNoise: 1.5,
  darkNoise: 4,
  /** What counts as good for patches that were not seen must hold for what they are held against. */
  referenceDoubt: 1,
  /** Sigma: both, since a coarse scan's own pixels are no fault. */
  blurMm: 0.12,
  blurPx: 1.6,
  /** Unsharpened cards show 0.3 % of the step at most, a mask of 0.5 at 1 px 2 to 5 % (benches, seeds 60201 to 60206). */
  overshoot: 0.02,
} as const;

const ORDER: readonly Judgement[] = ['poor', 'usable', 'good'];
/** Device value near which a clipped channel lies at the top of the scale. */
const TOP = 0.97;
const BOTTOM = 0.03;

/** Worst first. */
export function cautionsOf(evidence: Evidence): WeighedCaution[] {
  return [
    otherTarget(evidence),
    ...exposureCautions(evidence),
    coveredCaution(evidence),
    ...lightCautions(evidence),
    channelsExchanged(evidence),
    notNeutral(evidence),
    noisy(evidence),
    fewDyes(evidence),
    doubtfulReference(evidence),
  ]
    .filter((caution) => caution !== null)
    .sort((a, b) => ORDER.indexOf(a.atBest) - ORDER.indexOf(b.atBest));
}

/** The judgement of the left-out median, held down by what the cautions allow. */
export function judgedWith(byMedian: Judgement, cautions: readonly WeighedCaution[]): Judgement {
  return ORDER[Math.min(ORDER.indexOf(byMedian), ...cautions.map(({ atBest }) => ORDER.indexOf(atBest)))];
}

/** @param blurMm Gaussian sigma of the scanner's blur. */
export function blurCaution(blurMm: number | null, dpi: number): Caution | null {
  const { blurMm: most, blurPx } = CAUTION_LIMITS;
  if (blurMm === null || blurMm <= most || (blurMm * dpi) / 25.4 <= blurPx) return null;
  return {
    code: 'blurred',
    words:
      `The scan's edges are blurred by ${blurMm.toFixed(2)} mm (standard deviation; below ${most} mm is usual): ` +
      `lay the target flat on clean glass, and turn descreening and smoothing off.`,
  };
}

/** @param overshoot How much lighter than the card the card beside its dark edges is, as a share of the step; null: not known. */
export function sharpenedCaution(overshoot: number | null): Caution | null {
  if (overshoot === null || overshoot < CAUTION_LIMITS.overshoot) return null;
  return {
    code: 'sharpened',
    words:
      `The card beside the target's dark edges reads lighter than the card by ${percent(overshoot)} of their step (below ${percent(CAUTION_LIMITS.overshoot)} is expected): the scanner's software sharpened the scan. ` +
      `Turn sharpening off and scan target and pages again; thin lines read too dark and too narrow otherwise.`,
  };
}

function otherTarget({ leftOutMedian }: Evidence): WeighedCaution | null {
  if (leftOutMedian <= CAUTION_LIMITS.otherTarget) return null;
  return {
    code: 'other-target',
    atBest: 'poor',
    words:
      `Patches that the fit did not see miss their known values by ${leftOutMedian.toFixed(1)} ΔE00 in the median; about 1 is usual. ` +
      `Check that the reference belongs to this very target, and that the scanner's colour corrections are off.`,
  };
}

function exposureCautions({ readings, clippedLimit, exposure }: Evidence): (WeighedCaution | null)[] {
  const clipped = readings.filter((reading) => reading.clippedShare > clippedLimit);
  const bright = clipped.filter(({ device }) => Math.max(...device) > TOP);
  const crushed = clipped.filter(({ device }) => Math.max(...device) < BOTTOM);
  const white = readings.reduce((best, reading) => (reading.knownL > best.knownL ? reading : best));
  const many = clipped.length > CAUTION_LIMITS.clippedShare * readings.length;
  const whiteLost = bright.includes(white);
  const rest = clipped.filter((reading) => !(whiteLost && bright.includes(reading)) && !crushed.includes(reading));
  const share = `of ${readings.length} patches`;
  return [
    whiteLost
      ? {
          code: 'overexposed',
          atBest: many ? 'poor' : 'usable',
          words:
            `The target's white is clipped, with ${bright.length} ${share} at the top of the scale; papers as light as it cannot be told. ` +
            `Scan with less exposure and without automatic levels.`,
        }
      : null,
    crushed.length > 0 || exposure < CAUTION_LIMITS.exposure
      ? {
          code: 'underexposed',
          atBest: crushed.length > CAUTION_LIMITS.clippedShare * readings.length ? 'usable' : 'good',
          words:
            crushed.length > 0
              ? `${crushed.length} ${share} lie at the bottom of the scale (${some(crushed)}); dark inks cannot be told there. ` +
                `Scan with more exposure, no raised black point, at 16 bits.`
              : `The target's white gives ${percent(exposure)} of the scanner's full light; half or more is expected. ` +
                `Scan with more exposure, or at 16 bits, so that dark inks keep their levels.`,
        }
      : null,
    ...endCautions(rest, readings.length, many),
  ];
}

/** Patches with a channel at either end, told apart since their mends differ. */
function endCautions(
  clipped: readonly Pick<PatchReading, 'id' | 'device'>[],
  all: number,
  many: boolean,
): (WeighedCaution | null)[] {
  const atTop = clipped.filter(({ device }) => Math.max(...device) > TOP);
  const atBottom = clipped.filter((patch) => !atTop.includes(patch));
  const told = (patches: typeof clipped, end: string, mend: string): WeighedCaution | null =>
    patches.length === 0
      ? null
      : {
          code: 'clipped',
          atBest: many ? 'usable' : 'good',
          words: `${patches.length} of ${all} patches ${verb(patches, 'has', 'have')} a channel at the ${end} of the scale and ${verb(patches, 'was', 'were')} left out (${some(patches)}). ${mend}`,
        };
  return [
    told(atTop, 'top', 'Scan with less exposure and without automatic levels.'),
    told(
      atBottom,
      'bottom',
      'Turn added saturation and colour correction off; ink colours as strong as these cannot be told.',
    ),
  ];
}

function verb(of: readonly unknown[], one: string, many: string): string {
  return of.length === 1 ? one : many;
}

function coveredCaution({ readings, covered }: Evidence): WeighedCaution | null {
  if (covered.size === 0) return null;
  const uneven = [...covered].filter(([, sign]) => sign === 'uneven').map(([id]) => ({ id }));
  const departs = [...covered].filter(([, sign]) => sign === 'departs').map(([id]) => ({ id }));
  const alike = [...covered].filter(([, sign]) => sign === 'alike').map(([id]) => ({ id }));
  const found = [
    ...(uneven.length > 0 ? [`${uneven.length} not even inside (${some(uneven)})`] : []),
    ...(departs.length > 0
      ? [`${departs.length} far from the known values while others agree (${some(departs)})`]
      : []),
    ...(alike.length > 0 ? [`${alike.length} that look like such a one to the scanner (${some(alike)})`] : []),
  ].join(', ');
  return {
    code: 'covered',
    atBest: covered.size > CAUTION_LIMITS.coveredShare * readings.length ? 'usable' : 'good',
    words:
      `${covered.size} of ${readings.length} patches ${covered.size === 1 ? 'was' : 'were'} left out: ${found}. ` +
      `Something lies on them or they are dirty${departs.length > 0 ? ', or their values in the reference are wrong' : ''}: clean the target and scan again.`,
  };
}

function lightCautions({
  drift,
  slope,
  lightRange,
  shadow,
  whiteMisfit,
  whiteShort,
}: Evidence): (WeighedCaution | null)[] {
  const limits = CAUTION_LIMITS;
  const sure = [drift, slope].find((one) => one !== null && one.F > limits.driftF && one.range > limits.drift) ?? null;
  const shaded = shadow !== null && shadow > limits.drift;
  const left = sure || shaded ? Math.max(sure?.range ?? 0, shaded ? shadow : 0) : null;
  const uneven = (atBest: Judgement, words: string): WeighedCaution => ({ code: 'uneven-light', atBest, words });
  if (left !== null) {
    return [
      uneven(
        left > limits.strongDrift ? 'poor' : 'usable',
        `The light changes by ${percent(left)} across the target and could not be taken out; below ${percent(limits.drift)} is expected. ` +
          `Lay the target flat, keep shadows off it, or scan a bare white sheet with the same settings and say that it is this target's white sheet.`,
      ),
    ];
  }
  if (whiteMisfit !== null && whiteMisfit > limits.whiteMisfit) {
    return [
      uneven(
        'usable',
        `With the white sheet's light taken out, the target's bare card still varies by ${percent(whiteMisfit)}; below ${percent(limits.whiteMisfit)} is expected. ` +
          `Scan the white sheet on the same scanner, with the same settings, whole bed.`,
      ),
    ];
  }
  return [
    whiteShort === null ? null : uneven(whiteShort.target ? 'usable' : 'good', whiteShort.words),
    lightRange !== null && lightRange > limits.lightRange
      ? uneven(
          'usable',
          `The light changes by ${percent(lightRange)} across the target; below ${percent(limits.lightRange)} is usual. ` +
            `It was taken out, and other places of the bed are less sure: look for a shadow, or scan a bare white sheet with the same settings and say that it is this target's white sheet.`,
        )
      : null,
  ];
}

function channelsExchanged({ exchanged }: Evidence): WeighedCaution | null {
  if (exchanged === null) return null;
  return {
    code: 'channels-exchanged',
    atBest: 'usable',
    words:
      `${exchanged.words}: in that order the patches' colours follow the reference (correlation ${exchanged.mended.toFixed(2)}; ${exchanged.asScanned.toFixed(2)} as scanned). ` +
      `Colours hold only for scans with the same order: have the scanner's software, or what saved the file, write red, green and blue, and scan target and pages again.`,
  };
}

function notNeutral({ greyMaxChroma, mixedGreys, pooled }: Evidence): WeighedCaution | null {
  const limit = mixedGreys ? CAUTION_LIMITS.mixedGreyChroma : CAUTION_LIMITS.greyChroma;
  if (pooled.length < 2 && greyMaxChroma <= limit) return null;
  const found = [
    ...(greyMaxChroma > limit
      ? [`the worst grey misses its known colour by C* ${greyMaxChroma.toFixed(1)} (below ${limit} is expected)`]
      : []),
    ...(pooled.length >= 2
      ? [`${pooled.length} greys do not rise as the reference says (${some(pooled.map((id) => ({ id })))})`]
      : []),
  ].join(', and ');
  return {
    code: 'not-neutral',
    atBest: 'usable',
    words: `Greys: ${found}. Turn colour corrections off, clean the grey steps, and check that the reference belongs to this target.`,
  };
}

function noisy({ noise }: Evidence): WeighedCaution | null {
  const { lightNoise, darkNoise } = CAUTION_LIMITS;
  if (noise === null || (noise.lightL <= lightNoise && noise.darkL <= darkNoise)) return null;
  return {
    code: 'noisy',
    atBest: 'good',
    words:
      `One pixel scatters by ${noise.lightL.toFixed(1)} L* on light and ${noise.darkL.toFixed(1)} L* on dark patches; ` +
      `up to ${lightNoise} and ${darkNoise} is usual. Clean the glass, turn sharpening off, scan at 16 bits, or use a target with less grain.`,
  };
}

function fewDyes({ colorants }: Evidence): WeighedCaution | null {
  if (colorants.kind !== 'few-dyes') return null;
  const by = colorants.by === 'spectra' ? 'its spectra' : 'its greys';
  return {
    code: 'few-dyes',
    atBest: 'good',
    words:
      `The target seems to be printed with three or four dyes (${by} say so), which teach inks less well than varied pigments do. ` +
      `The uncertainties count it in; a target of many pigments would do better.`,
  };
}

function doubtfulReference({ referenceDoubt }: Evidence): WeighedCaution | null {
  if (referenceDoubt <= CAUTION_LIMITS.referenceDoubt) return null;
  return {
    code: 'doubtful-reference',
    atBest: 'usable',
    words:
      `The target's own known values are only sure to ± ${(2 * referenceDoubt).toFixed(1)} ΔE00 in the median; ± ${2 * CAUTION_LIMITS.referenceDoubt} or less is expected of a good one. ` +
      `The uncertainties count it in; teach the card beside a better target, or from several scans, to mend it.`,
  };
}

function some(patches: readonly { readonly id: string }[]): string {
  return patches
    .slice(0, 5)
    .map(({ id }) => id)
    .concat(patches.length > 5 ? ['…'] : [])
    .join(', ');
}

function percent(share: number): string {
  return `${(100 * share).toFixed(0)} %`;
}
