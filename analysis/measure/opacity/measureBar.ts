/** Ink over a printed black bar against the same pass over white paper: contrastRatio. docs/measures.md, "What lies under the ink". */
import { signalToXyz } from '../../calibrate/apply.ts';
import { colourUncertainty } from '../../calibrate/uncertainty.ts';
import { type LabD50, xyzToLab } from '../../colour/lab.ts';
import type { Flag, LabValue, Quantity } from '../../quantity.ts';
import { surfaceAt } from '../../raster/lowOrderSurface.ts';
import { jackknife } from '../../scatter.ts';
import { INK_MARKS } from '../ink.ts';
import type { RegionInput } from '../region.ts';
import { combine } from '../uncertainty.ts';
import { barCrossings, BESIDE_MM, type Crossing, edgeAt } from './barCrossings.ts';
import { coverage } from './coverage.ts';
import { type Bar, findBar } from './findBar.ts';
import type { MeasuredBar } from './measuredBar.ts';

export const BAR_METHODS = { contrastRatio: 'contrastRatio/5' } as const;

export interface BarMeasure {
  readonly quantities: readonly Quantity[];
  readonly bar: MeasuredBar | null;
  /** INK_MARKS per pixel: what counted over paper and over the bar; null: nothing did. */
  readonly marks: Uint8Array | null;
}

/** Of a line's width about its middle: what counts, and a narrower part that it is held against. */
const CORE = { share: 0.4, narrower: 0.24 } as const;
/** Wider than this is a swab: all but its rims counts, mm. */
const SWAB_MM = 3;
const SWAB_RIM_MM = 0.5;
/** From the bar's edges, inside it, mm. */
const TRIM_MM = 0.35;
/** A scanner's blur where the target does not tell it, mm. */
const USUAL_BLUR_MM = 0.055;
/** A swab is told in pieces of this length, mm, as a line is told in lines. */
const PIECE_MM = 2;
const LEAST_PX = 60;
/** Of a dark colour's own doubt what does not cancel against the same ink over white; docs/study/opacity.md. */
const CALIBRATION_SHARE = 0.4;

/**
 * Stray light that no grey is dark enough to show moves all dark luminances alike, by so much of the darkest grey's own (standard deviation): flat greys of 0.3 to 10 %
 * before 60 scanners and targets, seeds 101–160 of study/filmWorlds.ts. It cancels as far as ink over print and ink over paper are equally dark, and no further.
 */
const DARK_SHARE = 0.07;

/** Of what is blurred in from beside a line, so much may be wrong. */
const BLUR_SHARE = 0.25;

type Triple = [number, number, number];

/** Sums of signals of one line, or of one piece of a swab. */
interface Piece {
  readonly white: Triple;
  readonly black: Triple;
  readonly paper: Triple;
  whites: number;
  blacks: number;
  /** Share of the counted light that is the ink's own and not blurred in from beside it. */
  readonly covered: number;
}

/**
 * @param input of kind `bar`, paper and bar both in its box. @returns null for the ratio, with `no-bar`, `no-pass` or `no-bare-paper`,
 * where it cannot be told
 */
export function measureBar(input: RegionInput): BarMeasure {
  const { signal, paper, calibration } = input;
  if (paper === null) return nothing(input, ['no-bare-paper']);
  const { darkest, lightest, papers } = overPaper(input);
  const bar = findBar(darkest, lightest, signal.widthPx, signal.heightPx, signal.dpi);
  if (bar === null) return nothing(input, ['no-bar']);
  const crossings = barCrossings(bar, darkest, signal.dpi);
  if (crossings.length === 0) return nothing(input, ['no-pass']);
  const own = bareBar(input, bar, crossings);
  if (own === null) return nothing(input, ['few-pixels']);
  const marks = new Uint8Array(signal.widthPx * signal.heightPx);
  const pieces = crossings.flatMap((one) => piecesOf(input, bar, one, papers, CORE.share, marks));
  const counted = pieces.filter(({ whites, blacks }) => whites > 0 && blacks > 0);
  const pixels = (of: 'whites' | 'blacks'): number => counted.reduce((sum, one) => sum + one[of], 0);
  if (Math.min(pixels('whites'), pixels('blacks')) < LEAST_PX) return nothing(input, ['few-pixels']);
  const yOf = (s: Triple): number => signalToXyz(s, calibration)[1];
  const ratioOf = (some: readonly Piece[]): number => {
    const { white, black } = together(some, own);
    return yOf(black) / Math.max(1e-4, yOf(white));
  };
  const { white, black, paper: beside } = together(counted, own);
  const value = ratioOf(counted);
  const narrower = crossings.flatMap((one) => piecesOf(input, bar, one, papers, CORE.narrower, null));
  const inner = narrower.filter(({ whites, blacks }) => whites > 0 && blacks > 0);
  const covered = counted.reduce((sum, one) => sum + one.covered, 0) / counted.length;
  const blurredIn = value * BLUR_SHARE * (1 - covered) * Math.max(0, yOf(beside) / Math.max(1e-4, yOf(white)) - 1);
  const placement = Math.hypot(inner.length === 0 ? 0.02 * value : ratioOf(inner) - value, blurredIn);
  const told = (s: Triple): { lab: LabD50; u: LabValue } => {
    const lab = xyzToLab(signalToXyz(s, calibration));
    return { lab, u: colourUncertainty(lab, calibration.calibration) };
  };
  const [overWhite, overBlack] = [told(white), told(black)];
  const [yWhite, yBlack] = [yOf(white), yOf(black)];
  const perL = (y: number, uL: number): number => (3 * uL * Math.cbrt(Math.max(y, 0.0089)) ** 2) / 116;
  const uDark = (DARK_SHARE * darkestGrey(input) * Math.abs(1 - value)) / Math.max(1e-4, yWhite);
  const calibrated = Math.hypot(
    CALIBRATION_SHARE *
      Math.hypot(perL(yBlack, overBlack.u[0]) / yWhite, (value * perL(yWhite, overWhite.u[0])) / yWhite),
    uDark,
  );
  const flags = [...input.scanFlags, ...clipped(input, marks)];
  const quantity: Quantity = {
    quantity: 'contrastRatio',
    subject: { regions: [input.id] },
    value,
    unit: '1',
    ...combine(leftOutDoubt(counted, ratioOf), calibrated, placement),
    flags,
    method: BAR_METHODS.contrastRatio,
  };
  return {
    quantities: [quantity],
    marks,
    bar: {
      flags,
      white: { ground: told(beside).lab, ink: overWhite.lab, u: overWhite.u },
      black: { ground: told(own).lab, ink: overBlack.lab, u: overBlack.u },
      signals: { paper: beside, print: own, onPaper: white, onPrint: black, uDark },
    },
  };
}

/** Linear, of the channel that sees it lightest. */
function darkestGrey({ calibration: { calibration } }: RegionInput): number {
  return Math.max(0, ...calibration.curves.map(({ linear }) => linear[0]));
}

/** Light over the paper's at each pixel: least and most of the three channels; and the paper's own. */
function overPaper({ signal, paper }: RegionInput) {
  const { data, widthPx, heightPx, originPx } = signal;
  const darkest = new Float32Array(widthPx * heightPx);
  const lightest = new Float32Array(widthPx * heightPx);
  const at: Triple = [1, 1, 1];
  const papers = (i: number): Triple => {
    const x = i % widthPx;
    surfaceAt(paper!.surface, originPx[0] + x, originPx[1] + (i - x) / widthPx, at);
    return at;
  };
  for (let i = 0; i < darkest.length; i++) {
    const [r, g, b] = papers(i);
    const [x, y, z] = [data[3 * i] / r, data[3 * i + 1] / g, data[3 * i + 2] / b];
    darkest[i] = Math.min(x, y, z);
    lightest[i] = Math.max(x, y, z);
  }
  return { darkest, lightest, papers };
}

/** The bar where no ink crosses it; null: nowhere. */
function bareBar({ signal }: RegionInput, bar: Bar, crossings: readonly Crossing[]): Triple | null {
  const pxPerMm = signal.dpi / 25.4;
  const sum: Triple = [0, 0, 0];
  let count = 0;
  for (let s = Math.round(bar.from + 0.5 * pxPerMm); s <= bar.to - 0.5 * pxPerMm; s++) {
    const [t0, t1] = [edgeAt(bar, 0, s) + TRIM_MM * pxPerMm, edgeAt(bar, 1, s) - TRIM_MM * pxPerMm];
    for (let t = Math.ceil(t0); t <= t1; t++) {
      if (crossings.some(({ middle, width }) => Math.abs(s - middle(t)) < width / 2 + 0.35 * pxPerMm)) continue;
      const i = bar.box.at(s, t);
      for (let c = 0; c < 3; c++) sum[c] += signal.data[3 * i + c];
      count++;
    }
  }
  return count < LEAST_PX ? null : [sum[0] / count, sum[1] / count, sum[2] / count];
}

/** A line is one piece, a swab several. @param marks filled with what counted; null: not wanted */
function piecesOf(
  { signal, scannerBlurMm }: RegionInput,
  bar: Bar,
  { middle, width }: Crossing,
  papers: (i: number) => Triple,
  share: number,
  marks: Uint8Array | null,
): Piece[] {
  const pxPerMm = signal.dpi / 25.4;
  const isSwab = width > SWAB_MM * pxPerMm;
  const half = isSwab ? width / 2 - SWAB_RIM_MM * pxPerMm : Math.max(0.5, (share * width) / 2);
  // A pixel is a little blur of its own.
  const blurPx = Math.hypot((scannerBlurMm ?? USUAL_BLUR_MM) * pxPerMm, 1 / Math.sqrt(12));
  const count = isSwab ? Math.max(1, Math.round((2 * half) / (PIECE_MM * pxPerMm))) : 1;
  const pieces = Array.from({ length: count }, (): Piece => ({
    white: [0, 0, 0],
    black: [0, 0, 0],
    paper: [0, 0, 0],
    whites: 0,
    blacks: 0,
    covered: isSwab ? 1 : coverage(width, half, blurPx),
  }));
  const visit = (t: number, over: 'white' | 'black'): void => {
    const at = middle(t);
    for (let s = Math.ceil(at - half); s <= at + half; s++) {
      if (s < bar.from || s > bar.to) continue;
      const i = bar.box.at(s, t);
      const piece = pieces[Math.min(count - 1, Math.max(0, Math.floor((count * (s - at + half)) / (2 * half))))];
      for (let c = 0; c < 3; c++) piece[over][c] += signal.data[3 * i + c];
      if (over === 'white') {
        const under = papers(i);
        for (let c = 0; c < 3; c++) piece.paper[c] += under[c];
        piece.whites++;
      } else piece.blacks++;
      if (marks) marks[i] = INK_MARKS.counted;
    }
  };
  const here = middle((edgeAt(bar, 0, bar.from) + edgeAt(bar, 1, bar.from)) / 2);
  const [t0, t1] = [edgeAt(bar, 0, here), edgeAt(bar, 1, here)];
  for (let t = 0; t < bar.box.across; t++) {
    const outside = Math.max(t0 - t, t - t1);
    if (outside >= BESIDE_MM[0] * pxPerMm && outside <= BESIDE_MM[1] * pxPerMm) visit(t, 'white');
    else if (-outside >= TRIM_MM * pxPerMm) visit(t, 'black');
  }
  return pieces;
}

/** Means of all pieces, each as much as its pixels over white, with what was blurred in from beside taken away. */
function together(pieces: readonly Piece[], bar: Triple): { white: Triple; black: Triple; paper: Triple } {
  const white: Triple = [0, 0, 0];
  const black: Triple = [0, 0, 0];
  const paper: Triple = [0, 0, 0];
  const all = pieces.reduce((sum, { whites }) => sum + whites, 0);
  for (const piece of pieces) {
    const weight = piece.whites / all;
    for (let c = 0; c < 3; c++) {
      const under = piece.paper[c] / piece.whites;
      white[c] += weight * unblurred(piece.white[c] / piece.whites, under, piece.covered);
      black[c] += weight * unblurred(piece.black[c] / piece.blacks, bar[c], piece.covered);
      paper[c] += weight * under;
    }
  }
  return { white, black, paper };
}

function unblurred(seen: number, beside: number, covered: number): number {
  return Math.max(1e-5, (seen - beside * (1 - covered)) / covered);
}

/** Jackknife over lines or pieces. */
function leftOutDoubt(pieces: readonly Piece[], ratioOf: (some: readonly Piece[]) => number): number {
  if (pieces.length < 2) return 0.03 * ratioOf(pieces);
  return jackknife(pieces.map((_, i) => ratioOf(pieces.filter((_one, k) => k !== i))));
}

function clipped({ signal }: RegionInput, marks: Uint8Array): Flag[] {
  let counted = 0;
  let cut = 0;
  for (let i = 0; i < marks.length; i++) {
    if (!marks[i]) continue;
    counted++;
    cut += signal.clipped[i];
  }
  return cut > 0.005 * counted ? ['clipped'] : [];
}

function nothing({ id, scanFlags }: RegionInput, because: readonly Flag[]): BarMeasure {
  const quantity: Quantity = {
    quantity: 'contrastRatio',
    subject: { regions: [id] },
    value: null,
    unit: '1',
    u: null,
    flags: [...scanFlags, ...because],
    method: BAR_METHODS.contrastRatio,
  };
  return { quantities: [quantity], bar: null, marks: null };
}
