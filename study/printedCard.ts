/** This program's card as an invented printer prints it: four colorants of invented spectra, Kubelka–Munk mixed, on a paper of its own. */
import { CARD_PLACES, type DeviceRgb, slantedEdgeDark, WETLINE_CARD } from '../analysis/calibrate/card/plan.ts';
import { srgbDecode } from '../analysis/colour/srgb.ts';
import { filmReflectance } from '../sample-scans/generator/film.ts';
import { drawPaper, type Paper } from '../sample-scans/generator/paper.ts';
import { stream } from '../sample-scans/generator/random.ts';
import { type Scanner, toSignal, type Triple } from '../sample-scans/generator/scanner.ts';
import { type Band, type Placement, turn } from '../sample-scans/generator/scene.ts';
import { type Curve, curve, skewedBell } from '../sample-scans/generator/spectra.ts';

export interface PrintedCard {
  readonly stock: Paper;
  /** Reflectance per patch, in the layout's order. */
  readonly patches: readonly Curve[];
  readonly black: Curve;
}

/** Peak, sd and skew of cyan, magenta and yellow; ranges invented. */
const COLORANTS = [
  [648, 48, 0.3],
  [546, 36, 0.2],
  [438, 36, 0.2],
] as const;
/** Amount of colorant at full strength: the darkest print has an L* of about 15. */
const FULL = 2;
/** Full strength is where the asked-for light is this or less. */
const DARKEST = 0.01;

export function printCard(seed: number): PrintedCard {
  const random = stream(seed, 'printer/colorants');
  const colorants = COLORANTS.map(([peak, sd, skew]) => {
    const peakNm = peak + random.range(-10, 10);
    const sdNm = sd * random.range(0.85, 1.15);
    const far = random.range(0.03, 0.15);
    return curve(
      (nm) =>
        skewedBell(nm, peakNm, sdNm, skew) +
        far * skewedBell(nm, peakNm - 100, 45, 0) +
        0.06 * skewedBell(nm, peakNm, 100, 0.2) +
        0.008,
    );
  });
  const tilt = random.range(-0.05, 0.05);
  const black = curve((nm) => 1 + (tilt * (nm - 555)) / 175);
  // From no black ink in greys to most of them in black.
  const blackShare = random.range(0, 0.8);
  const dotGain = random.range(0.85, 1.2);
  const stock = drawPaper(seed, 'brightWhite', 'printedCard');
  const print = (rgb: DeviceRgb): Curve => {
    const amounts = rgb.map((v) => FULL * (Math.log(Math.max(DARKEST, srgbDecode(v))) / Math.log(DARKEST)) ** dotGain);
    const under = blackShare * Math.min(...amounts) ** 2 * (1 / FULL);
    return stock.reflectance.map((ground, l) => {
      const K = amounts.reduce((sum, a, i) => sum + (a - under) * colorants[i][l], under * black[l]);
      return filmReflectance(ground, K, 0.012);
    });
  };
  const patches = WETLINE_CARD.layout.patches.map(({ id }) => print(WETLINE_CARD.patches.get(id)!));
  return { stock, patches, black: print([0, 0, 0]) };
}

/** The card's outline on the glass. */
export function cardPlacement(centreMm: readonly [number, number], angleDeg: number): Placement {
  return { widthMm: CARD_PLACES.widthMm, heightMm: CARD_PLACES.heightMm, centreMm, angleDeg };
}

/** Prints patches, discs and slanted edge on the stock that is painted already; the card's words are left out. */
export function paintPrintedCard(band: Band, place: Placement, card: PrintedCard, scanner: Scanner): void {
  const ground = toSignal(scanner, card.stock.reflectance);
  const over = (reflectance: Curve): Triple => {
    const s = toSignal(scanner, reflectance);
    return [s[0] / ground[0], s[1] / ground[1], s[2] / ground[2]];
  };
  const black = over(card.black);
  const paint = painter(band, place);
  WETLINE_CARD.layout.patches.forEach(({ boxMm: [x, y, w, h] }, i) =>
    paint([x, y, x + w, y + h], over(card.patches[i]), (u, v) => Math.min(u - x, x + w - u, v - y, y + h - v)),
  );
  const { discRadiusMm: radius, eyeRadiusMm: eye, edgeBoxMm } = CARD_PLACES;
  WETLINE_CARD.layout.pointsMm.forEach(([x, y], k) =>
    paint([x - radius, y - radius, x + radius, y + radius], black, (u, v) => {
      const away = Math.hypot(u - x, v - y);
      return Math.min(radius - away, k === 0 ? away - eye : Infinity);
    }),
  );
  const [a, b, c, d] = slantedEdgeDark(edgeBoxMm);
  const along = Math.hypot(c[0] - b[0], c[1] - b[1]);
  paint([a[0], a[1], Math.max(b[0], c[0]), d[1]], black, (u, v) =>
    Math.min(u - a[0], v - a[1], d[1] - v, ((c[0] - b[0]) * (v - b[1]) - (c[1] - b[1]) * (u - b[0])) / along),
  );
}

type Inside = (uMm: number, vMm: number) => number;

/** Darkens what lies inside a shape, by the distance of each pixel's middle from its rim (mm, positive inside). */
function painter({ data, widthPx, firstRow, rows, pxPerMm }: Band, place: Placement) {
  const { cos, sin } = turn(place);
  const { marginMm } = CARD_PLACES;
  const [cx, cy] = place.centreMm;
  return (
    [left, top, right, bottom]: readonly [number, number, number, number],
    tint: Triple,
    inside: Inside,
  ): void => {
    const corners = [
      [left, top],
      [right, top],
      [right, bottom],
      [left, bottom],
    ].map(([u, v]) => {
      const [x, y] = [u + marginMm - place.widthMm / 2, v + marginMm - place.heightMm / 2];
      return [(cx + cos * x - sin * y) * pxPerMm, (cy + sin * x + cos * y) * pxPerMm] as const;
    });
    const fromX = Math.max(0, Math.floor(Math.min(...corners.map((p) => p[0]))) - 1);
    const toX = Math.min(widthPx, Math.ceil(Math.max(...corners.map((p) => p[0]))) + 1);
    const fromY = Math.max(firstRow, Math.floor(Math.min(...corners.map((p) => p[1]))) - 1);
    const toY = Math.min(firstRow + rows, Math.ceil(Math.max(...corners.map((p) => p[1]))) + 1);
    for (let y = fromY; y < toY; y++) {
      for (let x = fromX; x < toX; x++) {
        const [dx, dy] = [(x + 0.5) / pxPerMm - cx, (y + 0.5) / pxPerMm - cy];
        const u = cos * dx + sin * dy + place.widthMm / 2 - marginMm;
        const v = -sin * dx + cos * dy + place.heightMm / 2 - marginMm;
        const cover = Math.min(1, Math.max(0, 0.5 + inside(u, v) * pxPerMm));
        if (cover === 0) continue;
        const i = 3 * ((y - firstRow) * widthPx + x);
        for (let c = 0; c < 3; c++) data[i + c] *= 1 - cover + cover * tint[c];
      }
    }
  };
}
