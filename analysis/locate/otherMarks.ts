/**
 * Marks of another colour than the ink's: a printed or pencilled label, a fleck of recycled paper. Told by what a layer of
 * this ink can look like at any dose, never by shape; where ink and mark are of one hue (black ink, pencil) they are one.
 */
import { components, type Component } from '../raster/components.ts';
import type { Mask } from '../raster/raster.ts';
import { selectKth } from '../raster/select.ts';
import { clearLettersOnInk, type Letter, onOneLine } from './labelOverInk.ts';

/** A piece whose colour leaves the ink's own by more than this share of its contrast is another mark. Chosen on seeds below 1000. */
const UNLIKE = 0.18;
/** Pencil and black print take all channels alike within this; so grey a piece is another mark already when it is less unlike. */
const NEUTRAL = 0.05;
const UNLIKE_NEUTRAL = 0.016;
/** Other marks that are more than this share of everything found are not set aside: then nobody knows which is the ink. */
const MOST_SHARE = 0.35;
/** Pixels this share as dark as the piece's darkest stand for its colour: its edges are half paper. */
const CORE = 0.75;
/** Signal over paper below which absorbance is not followed. */
const DARKEST = 0.015;
/** Pieces with a core this thick, mm, show their own colour; thinner ones are paled by blur to an unknown share. */
const THICK_MM = 0.2;

/** Pixels of a piece that its darkest are told from. */
const ENOUGH = 5000;

type Vector = readonly [number, number, number];

interface Piece {
  readonly component: Component;
  /** Mean of 1 − signal over paper in its core. */
  readonly lost: Vector;
  readonly thick: boolean;
}

/** Clears other marks from the mask, in place. @returns their pixels, 0 when there are none. */
export function setOtherMarksAside(mask: Mask, ratio: Float32Array, contrast: Float32Array, dpi: number): number {
  const piecesOf = () => components(mask).map((c) => pieceOf(c, mask.widthPx, ratio, contrast, dpi));
  const pieces = piecesOf();
  if (pieces.length < 2) return 0;
  const all = area(pieces);
  const first = absorption(pieces);
  const own = pieces.filter((p) => !isOther(p, first));
  if (area(own) < (1 - MOST_SHARE) * all) return 0;
  const ink = absorption(own);
  const told = pieces.filter((p) => isOther(p, ink));
  const others =
    told.length > 0 ? [...told, ...lettersBeside(told, pieces, ink)] : greyLetters(pieces, ink, dpi / 25.4);
  const set = area(others);
  if (set === 0 || set > MOST_SHARE * all) return 0;
  clear(mask, others);
  const onInk = clearLettersOnInk(
    mask,
    ratio,
    lettersOf(others),
    (lost) => unlikeness({ lost, thick: false }, ink),
    dpi / 25.4,
  );
  if (onInk === 0) return set;
  // What hung on to them is on its own now.
  const left = piecesOf().filter((p) => isOther(p, ink));
  clear(mask, left);
  return set + onInk + area(left);
}

function clear(mask: Mask, pieces: readonly Piece[]): void {
  for (const { component } of pieces) {
    const { runs } = component;
    for (let r = 0; r < runs.length; r += 3) {
      const row = runs[r] * mask.widthPx;
      mask.data.fill(0, row + runs[r + 1], row + runs[r + 2] + 1);
    }
  }
}

/** Grey letters of a line agree in colour, so that less than of a single one tells them from a near-grey ink … */
const UNLIKE_LETTERS = 0.006;
const LEAST_LETTERS = 3;
/** … or only two, where strokes are narrower than this share. */
const MUCH_NARROWER = 0.4;
/** … if they are of one strength within this share, and their strokes narrower than this share of the writing's. */
const ONE_STRENGTH = 0.08;
const NARROWER = 0.75;

/** … or one whole word, mm², if the writing's own pieces, none of them grey, agree so many times better. */
const WORD_MM2 = 1;
const AGREE_BETTER = 5;

/** A label in grey or black beside writing in near-grey ink: nothing but several pieces together, on one line, tells it. Empty when there is none. */
function greyLetters(pieces: readonly Piece[], ink: Vector, pxPerMm: number): readonly Piece[] {
  const usual = meanRun(pieces);
  const letters = pieces.filter(
    (p) => isNeutral(p) && unlikeness(p, ink) >= UNLIKE_LETTERS && meanRun([p]) < NARROWER * usual,
  );
  const large = letters.filter((p) => p.component.area > 0.3 * (area(letters) / letters.length));
  const fewer = large.every((p) => meanRun([p]) < MUCH_NARROWER * usual) ? LEAST_LETTERS - 1 : LEAST_LETTERS;
  const least = large.some((p) => isWord(p, pieces, letters, ink, pxPerMm)) ? 1 : fewer;
  if (large.length < least || !onOneLine(large.map((p) => p.component))) return [];
  const strengths = large.map((p) => Math.hypot(...p.lost));
  return Math.max(...strengths) - Math.min(...strengths) < ONE_STRENGTH * Math.max(...strengths) ? letters : [];
}

/** Its one free word, where the other one hangs on to the writing. */
function isWord(
  piece: Piece,
  pieces: readonly Piece[],
  letters: readonly Piece[],
  ink: Vector,
  pxPerMm: number,
): boolean {
  if (piece.component.area < WORD_MM2 * pxPerMm * pxPerMm) return false;
  const most = unlikeness(piece, ink) / AGREE_BETTER;
  return pieces.every((p) => letters.includes(p) || (!isNeutral(p) && unlikeness(p, ink) < most));
}

/** Where some grey letters of a label were told, the others on their line, as grey and narrow and about as strong, need be no more unlike than letters together. */
function lettersBeside(told: readonly Piece[], pieces: readonly Piece[], ink: Vector): readonly Piece[] {
  const known = told.filter(isNeutral);
  if (known.length === 0) return [];
  const usual = meanRun(pieces);
  const strength = known.reduce((sum, p) => sum + p.component.area * Math.hypot(...p.lost), 0) / area(known);
  return pieces.filter(
    (p) =>
      !told.includes(p) &&
      isNeutral(p) &&
      unlikeness(p, ink) >= UNLIKE_LETTERS &&
      meanRun([p]) < NARROWER * usual &&
      Math.abs(Math.hypot(...p.lost) - strength) < 2 * ONE_STRENGTH * strength &&
      onOneLine([...known, p].map(({ component }) => component)),
  );
}

/** Mean length of the rows of pixels: grows with the strokes' width. */
function meanRun(pieces: readonly Piece[]): number {
  return area(pieces) / pieces.reduce((sum, p) => sum + p.component.runs.length / 3, 0);
}

/** Pieces of one strength: a fleck among them is no letter. */
function lettersOf(others: readonly Piece[]): Letter[] {
  const strengths = others.map((p) => p.lost[0] + p.lost[1] + p.lost[2]).toSorted((a, b) => a - b);
  const usual = strengths[strengths.length >> 1] ?? 0;
  return others
    .filter(({ lost }) => Math.abs(lost[0] + lost[1] + lost[2] - usual) < 0.35 * usual)
    .map(({ component: { x0, y0, x1, y1, area: pixels }, lost }) => ({ x0, y0, x1, y1, area: pixels, lost }));
}

function isOther(piece: Piece, ink: Vector): boolean {
  return unlikeness(piece, ink) >= (isNeutral(piece) ? UNLIKE_NEUTRAL : UNLIKE);
}

function isNeutral({ lost }: Piece): boolean {
  return Math.max(...lost) - Math.min(...lost) < NEUTRAL * Math.max(...lost);
}

function area(pieces: readonly Piece[]): number {
  return pieces.reduce((sum, p) => sum + p.component.area, 0);
}

function pieceOf(component: Component, w: number, ratio: Float32Array, contrast: Float32Array, dpi: number): Piece {
  const { runs } = component;
  // A twentieth of the piece is darker: its crossings.
  const stride = Math.max(1, Math.floor(component.area / ENOUGH));
  const values = new Float32Array(Math.ceil(component.area / stride));
  let n = 0;
  let longest = 0;
  // Every so many-th pixel of the piece, run after run.
  for (let r = 0, next = 0; r < runs.length; r += 3) {
    const start = runs[r] * w + runs[r + 1];
    const length = runs[r + 2] - runs[r + 1] + 1;
    longest = Math.max(longest, length);
    for (; next < length; next += stride) values[n++] = contrast[start + next];
    next -= length;
  }
  const least = CORE * selectKth(values, n, Math.floor(0.95 * (n - 1)));
  const sums = new Float64Array(4);
  for (let r = 0; r < runs.length; r += 3) {
    addCore(contrast, ratio, runs[r] * w + runs[r + 1], runs[r] * w + runs[r + 2], least, sums);
  }
  const [red, green, blue, count] = sums;
  const height = component.y1 - component.y0 + 1;
  // Its area over its greater extent: at most the mean breadth of what is straight, more of what is curled.
  const breadth = component.area / Math.max(height, component.x1 - component.x0 + 1);
  return {
    component,
    lost: [red / count, green / count, blue / count],
    thick: Math.min(breadth, longest, height) >= (THICK_MM * dpi) / 25.4,
  };
}

/** Light that a run's pixels of enough contrast take, three channels, and how many they are, onto the sums. */
function addCore(
  contrast: Float32Array,
  ratio: Float32Array,
  first: number,
  last: number,
  least: number,
  sums: Float64Array,
): void {
  let red = 0;
  let green = 0;
  let blue = 0;
  let count = 0;
  for (let p = first; p <= last; p++) {
    if (contrast[p] < least) continue;
    count++;
    red += 1 - ratio[3 * p];
    green += 1 - ratio[3 * p + 1];
    blue += 1 - ratio[3 * p + 2];
  }
  sums[0] += red;
  sums[1] += green;
  sums[2] += blue;
  sums[3] += count;
}

/** The ink's absorbance per channel: the pieces' median, by area. */
function absorption(pieces: readonly Piece[]): Vector {
  const half = area(pieces) / 2;
  const at = (c: 0 | 1 | 2): number => {
    let passed = 0;
    const sorted = pieces.toSorted((a, b) => a.lost[c] - b.lost[c]);
    const middle = sorted.find((p) => (passed += p.component.area) >= half);
    return -Math.log(Math.max(DARKEST, 1 - (middle?.lost[c] ?? 0)));
  };
  return [at(0), at(1), at(2)];
}

let lastFilms: { readonly ink: Vector; readonly films: Float64Array } | null = null;

/** Light that a layer of this ink takes at each dose, three channels each; of the ink that was last asked for they are still known. */
function filmsOf(ink: Vector): Float64Array {
  if (lastFilms?.ink !== ink) {
    const films = Float64Array.from(
      { length: 3 * DOSES.length },
      (_, k) => 1 - Math.exp(-DOSES[Math.floor(k / 3)] * ink[k % 3]),
    );
    lastFilms = { ink, films };
  }
  return lastFilms.films;
}

/** Against the usual dose. */
const DOSES = Array.from({ length: 64 }, (_, k) => 0.06 * 1.09 ** k);
/** A dose beyond this many times the usual is believed only of a piece that shows it unpaled: enough of any ink looks black. */
const USUAL_MOST = 1.75;
const UNPALED = 0.95;

/**
 * How far a piece's contrast lies from the nearest that a layer of this ink shows at any dose (Beer and Lambert, channel by
 * channel), as a share of its own. A thin piece may be any of them paled by blur.
 */
function unlikeness({ lost, thick }: Pick<Piece, 'lost' | 'thick'>, ink: Vector): number {
  const size = Math.hypot(...lost);
  let nearest = Infinity;
  const films = filmsOf(ink);
  const [x, y, z] = lost;
  for (let d = 0; d < DOSES.length; d++) {
    const least = DOSES[d] > USUAL_MOST ? UNPALED : thick ? 0.85 : 0.1;
    const a = films[3 * d];
    const b = films[3 * d + 1];
    const c = films[3 * d + 2];
    const along = (a * x + b * y + c * z) / (a * a + b * b + c * c);
    const share = Math.min(1.05, Math.max(least, along));
    const square = (x - share * a) ** 2 + (y - share * b) ** 2 + (z - share * c) ** 2;
    if (square < nearest) nearest = square;
  }
  return Math.sqrt(nearest) / Math.max(1e-6, size);
}
