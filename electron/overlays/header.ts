/** The top of the picture: which scan, on which paper, how it is shown, and loudly when its colours are not calibrated. */
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import { LINE, PAD, SMALL } from './card.ts';
import { box, text } from './svg.ts';
import { TONES } from './tones.ts';
import { fitText, textWidth, type Type, wrapText } from './typeface.ts';

const TITLE: Type = { size: 24, weight: 'bold' };
const PAPER: Type = { size: 18 };
const WARNING: Type = { size: 18, weight: 'bold' };

const BY_NUMBER = '[U+…] stands for a sign that this picture’s letters lack, by its Unicode number.';

export interface HeaderContent {
  readonly scanId: string;
  readonly paper: string | null;
  readonly facts: string;
  readonly warning: string | null;
  /** Whether some name in the picture has signs that its font lacks. */
  readonly byNumber: boolean;
}

export function header(content: HeaderContent, width: number): { readonly shapes: string; readonly height: number } {
  const { scanId, paper, facts, warning, byNumber } = content;
  const inner = width - 2 * PAD;
  const title = fitText(scanId, paper === null ? inner : inner * 0.6, TITLE);
  const paperLeft = PAD + textWidth(title, TITLE) + 14;
  let y = PAD + 20;
  let shapes =
    text(title, PAD, y, TITLE, TONES.text) +
    (paper === null ? '' : text(fitText(paper, width - PAD - paperLeft, PAPER), paperLeft, y, PAPER, TONES.text));
  y += 8;
  for (const l of wrapText(byNumber ? `${facts} ${BY_NUMBER}` : facts, inner, SMALL)) {
    y += 17;
    shapes += text(l, PAD, y, SMALL, TONES.quietText);
  }
  y += PAD - 4;
  if (warning !== null) {
    const lines = wrapText(warning, inner, WARNING);
    const height = lines.length * (LINE + 4) + 14;
    shapes +=
      box(0, y, width, height, `fill="${TONES.text}"`) +
      lines.map((l, i) => text(l, PAD, y + 26 + i * (LINE + 4), WARNING, TONES.pale)).join('');
    y += height;
  }
  return { shapes: box(0, 0, width, y, `fill="${TONES.panel}"`) + shapes, height: y };
}

export function warningOf({ judgement, leftOutMedian }: Calibration): string | null {
  if (judgement === 'none') {
    return 'Uncalibrated: without a target, the scan’s values are read through its profile, or as sRGB; the figures are relative.';
  }
  if (judgement === 'poor') {
    return `Poor calibration: left-out patches miss by ${leftOutMedian?.toFixed(1) ?? '?'} ΔE₀₀ in the median; doubt every colour here.`;
  }
  return null;
}

export function factsOf(
  scan: { readonly widthPx: number; readonly heightPx: number; readonly dpi: number },
  scale: number,
  { judgement, leftOutMedian }: Calibration,
): string {
  const mm = (px: number): string => ((px * 25.4) / scan.dpi).toFixed(0);
  const size = `${mm(scan.widthPx)} × ${mm(scan.heightPx)} mm at ${Math.round(scan.dpi)} dpi`;
  const cell = Math.round(1 / scale);
  const shownAs =
    scale === 1
      ? 'shown pixel for pixel'
      : scale > 1
        ? `shown ${scale} times enlarged`
        : `each pixel shown is the mean of ${cell} × ${cell}`;
  const by = judgement === 'none' ? '' : ` Colours by a ${judgement} calibration${median(leftOutMedian)}.`;
  return `${size}, ${shownAs}.${by} ± is two standard uncertainties.`;
}

function median(value: number | null): string {
  return value === null ? '' : ` (patches left out of its fit are missed by ${value.toFixed(2)} ΔE₀₀ in the median)`;
}
