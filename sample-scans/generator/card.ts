/** The invented card: what is printed on it (six colorants of invented spectra, Kubelka–Munk mixed) and how it is painted. */
import type { TargetLayout } from '../../analysis/calibrate/calibration.ts';
import { CARD, cardPlan } from './cardLayout.ts';
import { filmReflectance } from './film.ts';
import { drawPaper } from './paper.ts';
import type { Paper } from './paper.ts';
import { stream } from './random.ts';
import { toSignal } from './scanner.ts';
import type { Scanner, Triple } from './scanner.ts';
import { turn } from './scene.ts';
import type { Band, Placement } from './scene.ts';
import { curve, skewedBell, toXyz } from './spectra.ts';
import type { Curve } from './spectra.ts';

export interface Card {
  readonly layout: TargetLayout;
  readonly stock: Paper;
  /** Reflectance per patch, in the layout's order. */
  readonly patches: readonly Curve[];
  readonly discs: Curve;
  readonly patchOfCell: readonly number[];
}

/** Peak, sd and skew of the five chromatic colorants round the circle of hues; the sixth is a black. */
const COLORANTS: readonly (readonly [peakNm: number, sdNm: number, skew: number])[] = [
  [432, 33, 0.2],
  [492, 40, 0.25],
  [545, 34, 0.2],
  [585, 36, 0.15],
  [648, 44, 0.3],
];
const GREYS = 24;
const HUES = 9;
const DULL = 36;
/** Amount of colorant at the four steps of a hue, from a tint to more than any pen lays down. */
const STEPS: readonly number[] = [0.2, 0.55, 1.2, 2.4];
/** L* of the lightest and the darkest grey. */
const LIGHTEST = 96;
const DARKEST = 12;

export function drawCard(seed: number): Card {
  const random = stream(seed, 'card/colorants');
  const colorants = COLORANTS.map(([peak, sd, skew]) => {
    const peakNm = peak + random.range(-8, 8);
    const sdNm = sd * random.range(0.9, 1.12);
    const far = random.range(0.02, 0.12);
    return curve(
      (nm) =>
        skewedBell(nm, peakNm, sdNm, skew) +
        far * skewedBell(nm, peakNm - 90, 45, 0) +
        0.05 * skewedBell(nm, peakNm, 100, 0.2) +
        0.008,
    );
  });
  const tilt = random.range(-0.02, 0.02);
  const black = curve((nm) => 1 + (tilt * (nm - 555)) / 175);
  const stock = drawPaper(seed, 'cardStock', 'card');
  const print = (amounts: readonly number[], blackAmount: number): Curve =>
    stock.reflectance.map((ground, l) => {
      const K = colorants.reduce((sum, k, i) => sum + amounts[i] * k[l], blackAmount * black[l]);
      return filmReflectance(ground, K, 0.012);
    });

  const colours: Curve[] = [];
  const amount = stream(seed, 'card/amounts');
  for (let hue = 0; hue < HUES; hue++) {
    for (const level of STEPS) {
      const at = (hue * colorants.length) / HUES;
      const first = Math.floor(at);
      const amounts = colorants.map(() => 0);
      // Half way between two colorants both are printed in full, else secondaries would be weak.
      amounts[first] = level * Math.min(1, 2 * (first + 1 - at)) * amount.range(0.9, 1.1);
      amounts[(first + 1) % colorants.length] += level * Math.min(1, 2 * (at - first)) * amount.range(0.9, 1.1);
      colours.push(print(amounts, 0));
    }
  }
  for (let i = 0; i < DULL; i++) {
    const level = 0.25 * (2.6 / 0.25) ** (i / (DULL - 1));
    const weights = colorants.map(() => -Math.log(1 - amount.uniform()));
    const sum = weights.reduce((a, b) => a + b, 0);
    colours.push(
      print(
        weights.map((w) => (1.6 * level * w) / sum),
        0.2 * level,
      ),
    );
  }
  const order = stream(seed, 'card/order').shuffle(colours.map((_, i) => i));
  const plan = cardPlan(order);
  const greys = Array.from({ length: GREYS }, (_, i) =>
    greyOf(LIGHTEST - (i * (LIGHTEST - DARKEST)) / (GREYS - 1), (k) => print([0, 0, 0, 0, 0], k)),
  );
  return {
    layout: plan.layout,
    patchOfCell: plan.patchOfCell,
    stock,
    // The layout lists C01… before G01….
    patches: [...colours, ...greys],
    discs: print([0, 0, 0, 0, 0], 2.2),
  };
}

/** The black's amount that gives an L*, by halving. */
function greyOf(lightness: number, print: (black: number) => Curve): Curve {
  let low = 0;
  let high = 6;
  const Y = ((lightness + 16) / 116) ** 3;
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2;
    if (toXyz(print(middle))[1] > Y) low = middle;
    else high = middle;
  }
  return print((low + high) / 2);
}

export interface CardInk {
  /** Signal of patch or disc over signal of the bare stock. */
  readonly patches: readonly Triple[];
  readonly discs: Triple;
}

export function cardInk(card: Card, scanner: Scanner): CardInk {
  const stock = toSignal(scanner, card.stock.reflectance);
  const over = (reflectance: Curve): Triple => {
    const s = toSignal(scanner, reflectance);
    return [s[0] / stock[0], s[1] / stock[1], s[2] / stock[2]];
  };
  return { patches: card.patches.map(over), discs: over(card.discs) };
}

/** Prints patches and discs on the stock that is painted already. */
export function paintCard(band: Band, place: Placement, card: Card, ink: CardInk): void {
  const { data, widthPx, pxPerMm } = band;
  const { cos, sin } = turn(place);
  const spanX = CARD.widthMm - 2 * CARD.marginMm;
  const spanY = CARD.heightMm - 2 * CARD.marginMm;
  for (let row = 0; row < band.rows; row++) {
    const dy = (band.firstRow + row + 0.5) / pxPerMm - place.centreMm[1];
    for (let x = 0, i = 3 * row * widthPx; x < widthPx; x++, i += 3) {
      const dx = (x + 0.5) / pxPerMm - place.centreMm[0];
      // Layout mm: from the middle of the first disc.
      const u = cos * dx + sin * dy + place.widthMm / 2 - CARD.marginMm;
      const v = -sin * dx + cos * dy + place.heightMm / 2 - CARD.marginMm;
      const column = Math.floor((u - CARD.leftMm) / CARD.pitchMm);
      const line = Math.floor((v - CARD.topMm) / CARD.pitchMm);
      let cover = 0;
      let tint = ink.discs;
      if (column >= 0 && line >= 0 && column < CARD.columns && line < CARD.rows) {
        const pu = u - CARD.leftMm - column * CARD.pitchMm;
        const pv = v - CARD.topMm - line * CARD.pitchMm;
        cover = over(Math.min(pu, CARD.patchMm - pu), pxPerMm) * over(Math.min(pv, CARD.patchMm - pv), pxPerMm);
        tint = ink.patches[card.patchOfCell[line * CARD.columns + column]];
      } else {
        const right = u > spanX / 2;
        const low = v > spanY / 2;
        const distance = Math.hypot(u - (right ? spanX : 0), v - (low ? spanY : 0));
        cover = over(CARD.radiusMm - distance, pxPerMm);
        if (!right && !low) cover *= 1 - over(CARD.eyeMm - distance, pxPerMm);
      }
      if (cover === 0) continue;
      for (let c = 0; c < 3; c++) data[i + c] *= 1 - cover + cover * tint[c];
    }
  }
}

/** Share of a pixel that lies inside an edge, by the distance of its middle (mm, positive inside). */
function over(insideMm: number, pxPerMm: number): number {
  const share = 0.5 + insideMm * pxPerMm;
  return share < 0 ? 0 : share > 1 ? 1 : share;
}
