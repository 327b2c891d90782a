/** A region of bare paper: its colour, and how its L* varies at the scale of half a millimetre. */
import { gatherTriples } from '../raster/gatherTriples.ts';
import type { Calibration } from '../calibrate/calibration.ts';
import { signalsToXyz } from '../calibrate/apply.ts';
import { printOnPaper } from '../locate/besidePrint.ts';
import { colourUncertainty } from '../calibrate/uncertainty.ts';
import { chroma, type LabD50 } from '../colour/lab.ts';
import { looksBrightened } from '../film/brightened.ts';
import { spokenName } from '../colour/spokenName.ts';
import type { Flag, LabValue, Quantity } from '../quantity.ts';
import { seedFromText } from '../seededRandom.ts';
import { barePaperOf } from './barePaper.ts';
import { withLight } from './inkQuantities.ts';
import { BOOTSTRAP_DEFAULTS, blocksOf, diagonalRoot, measuredColour } from './measuredColour.ts';
import { paperTexture } from './paperTexture.ts';
import type { RegionInput } from './region.ts';
import { shadedPaper } from './shadedPaper.ts';
import { lighterSide } from './twoSidedPaper.ts';
import { combineLab } from './uncertainty.ts';
import { triple } from '../triple.ts';

export const PAPER_METHODS = { paperColour: 'paperColour/7', paperTexture: 'paperTexture/4' } as const;
/**
 * What is known of papers' colours is known of flat spectra; a dyed sheet absorbs as ink does. Between these chromas one turns into the other: over 48 simulated scanners (seeds
 * 300–323) papers of chroma 8–30 lie within ± 2u of papers in a* in 67 to 82 %, in L* in 89 to 98 %, of inks in 97 % and more.
 */
const UNDYED_CHROMA = 4;
const DYED_CHROMA = 12;

/** @returns `paperColour` and `paperTexture` of a region of kind `paper`, null with a flag where they cannot be told */
export function measurePaper(input: RegionInput): readonly Quantity[] {
  const { signal, calibration, id } = input;
  const { widthPx, heightPx, dpi, clipped } = signal;
  const subject = { regions: [id] };
  const n = widthPx * heightPx;
  const flags: Flag[] = [...input.scanFlags];
  if (n < 100) {
    const none = { subject, value: null, u: null, flags: [...flags, 'few-pixels' as const] };
    return [
      { quantity: 'paperColour', unit: 'Lab', method: PAPER_METHODS.paperColour, ...none },
      { quantity: 'paperTexture', unit: 'ΔL*', method: PAPER_METHODS.paperTexture, ...none },
    ];
  }
  const xyz = new Float32Array(signal.data.length);
  signalsToXyz(signal.data, calibration, xyz);
  const print = input.paper && printOnPaper(signal, input.paper);
  const shaded = shadedPaper(signal, print);
  const left = shaded && print ? shaded.map((v, i) => v | print[i]) : (shaded ?? print);
  const all = pixelsBeside(left, n);
  const colour = measuredColour(
    left === null ? xyz : gatherTriples(xyz, all),
    blocksOf(all, widthPx, (BOOTSTRAP_DEFAULTS.blockMm * dpi) / 25.4),
    seedFromText(id),
  );
  if (clipped.reduce((a, b) => a + b, 0) > 0.005 * n) flags.push('clipped');
  if (looksBrightened(colour.lab)) flags.push('maybe-brightened');
  const isClipped = flags.includes('clipped');
  const texture = paperTexture(xyz, print, widthPx, heightPx, dpi);
  // The mean of paper and of what lies on it is the colour of neither.
  const isOnePaper = texture === null || texture.isOnePaper;
  if (!isOnePaper) flags.push('not-uniform');
  const light = (input.paper?.unevenness ?? 0) / Math.sqrt(3);
  const calibrationU = withLight(sheetUncertainty(colour.lab, calibration.calibration), colour.lab, light);
  const lighter = shaded === null && isOnePaper ? lighterSide(signal, print) : null;
  if (lighter) flags.push('shadow');
  // A pixel more or less of the same paper changes nothing; a box about the lighter side alone does.
  const meant = lighter ? barePaperOf(lighter, calibration).lab : colour.lab;
  const placement: LabValue = triple((c) => Math.abs(meant[c] - colour.lab[c]));
  const uncertainty = combineLab(diagonalRoot(colour.covariance), calibrationU, placement);
  const told: Pick<Quantity, 'value' | 'u' | 'uParts' | 'verdict'> = isOnePaper
    ? {
        value: [colour.lab[0], colour.lab[1], colour.lab[2]],
        ...uncertainty,
        verdict: spokenName(colour.lab, uncertainty.u),
      }
    : { value: null, u: null };
  return [
    { quantity: 'paperColour', subject, unit: 'Lab', ...told, flags, method: PAPER_METHODS.paperColour },
    {
      quantity: 'paperTexture',
      subject,
      // Clipped light has lost its texture.
      value: isClipped ? null : (texture?.sd ?? null),
      unit: 'ΔL*',
      u: isClipped ? null : (texture?.u ?? null),
      flags: texture === null ? [...flags, 'few-pixels'] : flags,
      method: PAPER_METHODS.paperTexture,
    },
  ];
}

function sheetUncertainty(lab: LabD50, calibration: Calibration): LabValue {
  const [paper, ink] = [colourUncertainty(lab, calibration, 'paper'), colourUncertainty(lab, calibration)];
  const dyed = Math.min(1, Math.max(0, (chroma(lab) - UNDYED_CHROMA) / (DYED_CHROMA - UNDYED_CHROMA)));
  return triple((c) => paper[c] + dyed * Math.max(0, ink[c] - paper[c]));
}

function pixelsBeside(print: Uint8Array | null, n: number): Int32Array {
  let left = n;
  if (print) for (const p of print) left -= p;
  const out = new Int32Array(left);
  for (let i = 0, k = 0; i < n; i++) if (!print?.[i]) out[k++] = i;
  return out;
}
