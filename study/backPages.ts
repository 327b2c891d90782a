/**
 * A written page and its reverse, drawn with exact truth: lines on the front, what shows through and what bleeds through on the back, which is
 * turned, shifted and scaled a little as a page laid anew is. Linear signals with fibres, noise, blur and the steps of 8 bits.
 */
import { labD50, type LabD50, xyzToLab } from '../analysis/colour/lab.ts';
import { gaussianSmooth } from '../analysis/raster/gaussian.ts';
import type { LinearRaster } from '../analysis/raster/raster.ts';
import { affineOf, inverseAffine, type Similarity } from '../analysis/raster/similarity.ts';
import { normal, seededRandom } from '../analysis/seededRandom.ts';

export interface BackOptions {
  readonly widthMm?: number;
  readonly heightMm?: number;
  readonly frontDpi?: number;
  readonly backDpi?: number;
  /** Share of light that the writing takes from the reverse behind broad ink, 0 … . */
  readonly ghost?: number;
  readonly dots?: number;
  /** Another sheet's back: written by another hand. */
  readonly otherSheet?: boolean;
  readonly turned?: Similarity['turned'];
  readonly place?: Partial<Similarity>;
  readonly lineMm?: number;
  /** Cells of the drawing a millimetre: half as many are drawn in a third of the time, and suffice for scans of 300 dpi. @default 40 */
  readonly cellsPerMm?: number;
}

export interface BackPage {
  readonly front: LinearRaster;
  readonly back: LinearRaster;
  readonly paper: readonly [number, number, number];
  readonly place: Similarity;
  readonly truth: {
    /** L* of bare paper minus L* behind the middle thirds of lines, dots left out. */
    readonly ghosting: number;
    readonly printThrough: number;
    readonly dots: number;
    readonly dotsMm2: number;
    /** Dots over the inked area, %. */
    readonly bleedPercent: number;
  };
}

/** Cells of a drawing a millimetre, unless it is told. */
export const FINE = 40;
const NECK = 0.0006;

/** What a drawing is made of. */
interface Cells {
  readonly columns: number;
  readonly rows: number;
  readonly perMm: number;
}

interface Dot {
  readonly x: number;
  readonly y: number;
  readonly r: number;
}

export function drawBackPage(seed: number, options: BackOptions = {}): BackPage {
  const random = seededRandom(seed * 7919 + 17);
  const between = (a: number, b: number): number => a + (b - a) * random();
  const widthMm = options.widthMm ?? between(60, 110);
  const heightMm = options.heightMm ?? between(20, 45);
  const frontDpi = options.frontDpi ?? (random() < 0.5 ? 300 : 600);
  const backDpi = options.backDpi ?? (random() < 0.5 ? 300 : 600);
  const lineMm = options.lineMm ?? between(0.35, 1.1);
  const ghost = options.ghost ?? 10 ** between(-2, -0.7);
  const dotCount = options.dots ?? Math.floor(between(0, 9));
  const cellsPerMm = options.cellsPerMm ?? FINE;
  const cells: Cells = {
    columns: Math.round(widthMm * cellsPerMm),
    rows: Math.round(heightMm * cellsPerMm),
    perMm: cellsPerMm,
  };
  const { columns, rows } = cells;
  const ink = writing(cells, lineMm, random);
  const core = middleThirds(ink, cells, lineMm);
  const shown = options.otherSheet === true ? writing(cells, lineMm, random) : ink;
  const inkArea = ink.reduce((a, b) => a + b, 0) / cellsPerMm ** 2;
  const drawn = placeDots(ink, cells, dotCount, lineMm, random);
  const place: Similarity = {
    turned: options.turned ?? 'about-vertical',
    angleRad: (between(-2, 2) * Math.PI) / 180,
    scale: between(0.992, 1.008),
    shiftMm: [between(-4, 4), between(-4, 4)],
    ...options.place,
  };
  const absorbs: [number, number, number] = [between(0.7, 1.6), between(0.5, 1.6), between(0.1, 0.9)];
  const tint = between(0.75, 1);
  const paper: [number, number, number] = [0.86, 0.86 * (0.5 + 0.5 * tint), 0.86 * tint];
  const spreadMm = between(0.05, 0.2);
  const through = gaussianSmooth(Float32Array.from(shown), columns, rows, spreadMm * cellsPerMm);
  const [backWidthMm, backHeightMm] = [widthMm + between(-3, 3), heightMm + between(-3, 3)];
  const { a, b, c, d, e, f } = affineOf(place);
  // What falls outside the box of the reverse is not there.
  const dots = drawn.filter((dot) => {
    const [x, y] = [dot.x - widthMm / 2, dot.y - heightMm / 2];
    const inside = (v: number, side: number): boolean => Math.abs(v) < side / 2 - dot.r - 0.2;
    return inside(a * x + b * y + c, backWidthMm) && inside(d * x + e * y + f, backHeightMm);
  });
  const dotMap = new Uint8Array(columns * rows);
  for (const { x, y, r } of dots) fill(dotMap, columns, rows, x * cellsPerMm, y * cellsPerMm, r * cellsPerMm);
  const dotDensity = between(0.5, 0.95);
  const blurMm = between(0.04, 0.075);
  const inked = paper.map((signal, c) => signal * Math.exp(-absorbs[c] * 1.3));
  const front = scanned(cells, frontDpi, widthMm, heightMm, null, blurMm, seed + 1, (i, c) =>
    i < 0 || ink[i] === 0 ? paper[c] : inked[c],
  );
  const dotted = absorbs.map((by) => Math.exp(-by * 1.3 * dotDensity));
  const behind = (i: number, c: number): number => {
    if (i < 0) return paper[c];
    const shade = 1 - ghost * (absorbs[c] / absorbs[0]) * through[i];
    return paper[c] * Math.max(0.02, shade) * (dotMap[i] ? dotted[c] : 1);
  };
  const back = scanned(cells, backDpi, backWidthMm, backHeightMm, place, blurMm, seed + 2, behind);
  let kept = 0;
  const sum = [0, 0, 0];
  for (let i = 0; i < core.length; i++) {
    if (!core[i] || dotMap[i]) continue;
    kept++;
    for (let c = 0; c < 3; c++) sum[c] += paper[c] * Math.max(0.02, 1 - ghost * (absorbs[c] / absorbs[0]) * through[i]);
  }
  const dotsMm2 = dotMap.reduce((a, b) => a + b, 0) / cellsPerMm ** 2;
  const [bare, shaded] = [labOf(paper), labOf([sum[0] / kept, sum[1] / kept, sum[2] / kept])];
  return {
    front,
    back,
    paper,
    place,
    truth: {
      ghosting: bare[0] - shaded[0],
      printThrough: Math.log10(yOf(paper) / yOf([sum[0] / kept, sum[1] / kept, sum[2] / kept])),
      dots: dots.length,
      dotsMm2,
      bleedPercent: (100 * dotsMm2) / inkArea,
    },
  };
}

/** These signals are taken for XYZ by a plain scanner: Y is a mean of the three. */
const WEIGHTS = [0.25, 0.65, 0.1] as const;
export function yOf(signal: readonly number[]): number {
  return WEIGHTS[0] * signal[0] + WEIGHTS[1] * signal[1] + WEIGHTS[2] * signal[2];
}
function labOf(signal: readonly number[]): LabD50 {
  const y = yOf(signal);
  return labD50(xyzToLab([0.9642 * y, y, 0.8249 * y])[0], 0, 0);
}

/** Joined loops in lines of writing, and a swab-like bar now and then. */
function writing({ columns, rows, perMm }: Cells, lineMm: number, random: () => number): Uint8Array {
  const mask = new Uint8Array(columns * rows);
  const between = (a: number, b: number): number => a + (b - a) * random();
  const pitch = between(7, 9);
  const height = rows / perMm;
  const width = columns / perMm;
  for (let base = 5; base < height - 4; base += pitch) {
    let x = between(3, 6);
    while (x < width - 8) {
      const word = between(8, 26);
      const until = Math.min(width - 4, x + word);
      let phase = between(0, 6);
      let tall = between(0.8, 1.6);
      while (x < until) {
        phase += 0.02;
        if (random() < 0.006) tall = between(0.7, 2.6);
        x += 0.006 + 0.004 * Math.cos(phase);
        const px = x + 0.55 * Math.cos(phase);
        const py = base - tall * Math.sin(phase) + 0.2 * Math.sin(x);
        fill(mask, columns, rows, px * perMm, py * perMm, (lineMm / 2) * perMm);
      }
      x += between(2, 4.5);
    }
  }
  return mask;
}

export function fill(mask: Uint8Array, columns: number, rows: number, cx: number, cy: number, r: number): void {
  for (let y = Math.max(0, Math.ceil(cy - r)); y <= Math.min(rows - 1, cy + r); y++) {
    const half = Math.sqrt(Math.max(0, r * r - (y - cy) ** 2));
    const from = Math.max(0, Math.ceil(cx - half));
    const to = Math.min(columns - 1, Math.floor(cx + half));
    for (let x = from; x <= to; x++) mask[y * columns + x] = 1;
  }
}

/** Cells at least a third of the line's width from its edge. */
function middleThirds(ink: Uint8Array, { columns, rows, perMm }: Cells, lineMm: number): Uint8Array {
  // A line's own middle third survives taking a disc of a third of its width away from all around.
  const r = Math.round((lineMm / 3) * perMm);
  const keep = new Uint8Array(ink.length);
  const offsets: number[] = [];
  for (let a = 0; a < 32; a++) {
    const [dx, dy] = [Math.round(r * Math.cos((a * Math.PI) / 16)), Math.round(r * Math.sin((a * Math.PI) / 16))];
    offsets.push(dy * columns + dx);
  }
  for (let y = r; y < rows - r; y++) {
    for (let x = r; x < columns - r; x++) {
      const i = y * columns + x;
      if (ink[i] && offsets.every((o) => ink[i + o])) keep[i] = 1;
    }
  }
  return keep;
}

function placeDots(
  ink: Uint8Array,
  { columns, rows, perMm }: Cells,
  count: number,
  lineMm: number,
  random: () => number,
): Dot[] {
  const dots: Dot[] = [];
  for (let tries = 0; tries < 4000 && dots.length < count; tries++) {
    const x = Math.floor(random() * columns);
    const y = Math.floor(random() * rows);
    const r = 0.15 + random() * Math.max(0.05, Math.min(0.25, lineMm / 2 - 0.05));
    if (!ink[y * columns + x]) continue;
    const dot = { x: x / perMm, y: y / perMm, r };
    if (dots.every((d) => Math.hypot(d.x - dot.x, d.y - dot.y) > d.r + r + 0.5)) dots.push(dot);
  }
  return dots;
}

/** A scan of a drawing: places on paper by the drawing's cells, blurred, with fibres, noise and the steps of 8 bits. */
export function scanned(
  { columns, rows, perMm }: Cells,
  dpi: number,
  widthMm: number,
  heightMm: number,
  place: Similarity | null,
  blurMm: number,
  seed: number,
  signal: (cell: number, channel: number) => number,
): LinearRaster {
  const w = Math.round((widthMm * dpi) / 25.4);
  const h = Math.round((heightMm * dpi) / 25.4);
  const from = inverseAffine(affineOf(place ?? { turned: 'not', angleRad: 0, scale: 1, shiftMm: [0, 0] }));
  const planes = [0, 1, 2].map(() => new Float32Array(w * h));
  // Every cell once: pixels look at each several times.
  const signals = [0, 1, 2].map((c) => {
    const plane = new Float32Array(columns * rows);
    for (let i = 0; i < plane.length; i++) plane[i] = signal(i, c);
    return plane;
  });
  const outside = [0, 1, 2].map((c) => signal(-1, c));
  const sub = 3;
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      for (let s = 0; s < sub * sub; s++) {
        const bx = ((x + ((s % sub) + 0.5) / sub) * 25.4) / dpi - (w * 12.7) / dpi;
        const by = ((y + (Math.floor(s / sub) + 0.5) / sub) * 25.4) / dpi - (h * 12.7) / dpi;
        const cx = Math.floor((from.a * bx + from.b * by + from.c) * perMm + columns / 2);
        const cy = Math.floor((from.d * bx + from.e * by + from.f) * perMm + rows / 2);
        const isOutside = cx < 0 || cy < 0 || cx >= columns || cy >= rows;
        for (let c = 0; c < 3; c++) {
          planes[c][y * w + x] += (isOutside ? outside[c] : signals[c][cy * columns + cx]) / (sub * sub);
        }
      }
    }
  }
  const random = seededRandom(seed);
  const fibre = gaussianSmooth(
    Float32Array.from({ length: w * h }, () => normal(random)),
    w,
    h,
    (0.1 * dpi) / 25.4,
  );
  const cloud = gaussianSmooth(
    Float32Array.from({ length: w * h }, () => normal(random)),
    w,
    h,
    (2 * dpi) / 25.4,
  );
  const scale = (map: Float32Array, sd: number): Float32Array => {
    const own = Math.sqrt(map.reduce((a, v) => a + v * v, 0) / map.length);
    return map.map((v) => (v * sd) / own);
  };
  const texture = scale(fibre, 0.006);
  const mottle = scale(cloud, 0.002);
  const data = new Float32Array(3 * w * h);
  planes.forEach((plane, c) => {
    const soft = gaussianSmooth(plane, w, h, (blurMm * dpi) / 25.4);
    for (let i = 0; i < w * h; i++) {
      const light = 1 + 0.02 * ((i % w) / w - 0.5);
      const value = soft[i] * light * (1 + texture[i] + mottle[i]) + (NECK + 0.003 * soft[i]) * normal(random);
      data[3 * i + c] = (Math.round(255 * Math.max(0, value) ** (1 / 2.2)) / 255) ** 2.2;
    }
  });
  return { data, widthPx: w, heightPx: h, dpi, originPx: [0, 0], clipped: new Uint8Array(w * h) };
}
