/** What a page of a PDF draws, read from its own content stream: filled shapes, straight strokes, places of text. Made for these tests. */
import { inflateSync } from 'node:zlib';
import type { DeviceRaster } from '../../analysis/raster/raster.ts';

export type Rgb = readonly [number, number, number];
type Point = readonly [x: number, y: number];

export interface PdfPage {
  readonly widthMm: number;
  readonly heightMm: number;
  /** In the order of drawing, mm from the top left; a shape may have several outlines (even-odd). */
  readonly fills: readonly { readonly outlines: readonly (readonly Point[])[]; readonly rgb: Rgb }[];
  readonly strokes: readonly {
    readonly from: Point;
    readonly to: Point;
    readonly widthMm: number;
    readonly rgb: Rgb;
  }[];
  /** Where text begins, and how large it is set. */
  readonly texts: readonly { readonly at: Point; readonly sizeMm: number; readonly glyphs: number }[];
  /** All colour spaces that are named. */
  readonly spaces: ReadonlySet<string>;
}

const MM = 25.4 / 72;
type Matrix = readonly [number, number, number, number, number, number];

export function readPdf(bytes: Uint8Array): PdfPage {
  const text = Buffer.from(bytes).toString('latin1');
  const box = /\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/.exec(text);
  const contents = /\/Contents (\d+) 0 R/.exec(text);
  if (box === null || contents === null) throw new Error('no page');
  const object = new RegExp(`\\n${contents[1]} 0 obj[\\s\\S]*?/Length (\\d+)[\\s\\S]*?stream\\n`).exec(text);
  if (object === null) throw new Error('no content stream');
  const start = object.index + object[0].length;
  const stream = inflateSync(Buffer.from(bytes.subarray(start, start + Number(object[1])))).toString('latin1');
  const [width, height] = [Number(box[1]), Number(box[2])];
  return { widthMm: width * MM, heightMm: height * MM, ...drawn(stream, height) };
}

function drawn(stream: string, height: number): Omit<PdfPage, 'widthMm' | 'heightMm'> {
  const fills: { outlines: Point[][]; rgb: Rgb }[] = [];
  const strokes: { from: Point; to: Point; widthMm: number; rgb: Rgb }[] = [];
  const texts: { at: Point; sizeMm: number; glyphs: number }[] = [];
  const spaces = new Set<string>();
  let state: { ctm: Matrix; fill: Rgb; stroke: Rgb; width: number } = {
    ctm: [1, 0, 0, 1, 0, 0],
    fill: [0, 0, 0],
    stroke: [0, 0, 0],
    width: 1,
  };
  const saved: (typeof state)[] = [];
  let outlines: Point[][] = [];
  let textMatrix: Matrix = [1, 0, 0, 1, 0, 0];
  let size = 0;
  const place = (m: Matrix, x: number, y: number): Point => {
    const [px, py] = [m[0] * x + m[2] * y + m[4], m[1] * x + m[3] * y + m[5]];
    return [px * MM, (height - py) * MM];
  };
  const at = (x: number, y: number): Point => place(state.ctm, x, y);
  let words: string[] = [];
  for (const word of stream.split(/\s+/)) {
    if (!/^[A-Za-z*]+$/.test(word)) {
      words.push(word);
      continue;
    }
    const n = words.map(Number);
    switch (word) {
      case 'cm':
        state = { ...state, ctm: product(matrixOf(n), state.ctm) };
        break;
      case 'q':
        saved.push(state);
        break;
      case 'Q':
        state = saved.pop() ?? state;
        break;
      case 're':
        outlines.push([at(n[0], n[1]), at(n[0] + n[2], n[1]), at(n[0] + n[2], n[1] + n[3]), at(n[0], n[1] + n[3])]);
        break;
      case 'm':
        outlines.push([at(n[0], n[1])]);
        break;
      case 'l':
        outlines.at(-1)!.push(at(n[0], n[1]));
        break;
      case 'c': {
        const outline = outlines.at(-1)!;
        outline.push(...bezier(outline.at(-1)!, at(n[0], n[1]), at(n[2], n[3]), at(n[4], n[5])));
        break;
      }
      case 'cs':
      case 'CS':
        spaces.add(words[0]);
        break;
      case 'scn':
        state = { ...state, fill: [n[0], n[1], n[2]] };
        break;
      case 'SCN':
        state = { ...state, stroke: [n[0], n[1], n[2]] };
        break;
      case 'w':
        state = { ...state, width: n[0] };
        break;
      case 'f':
      case 'f*':
        fills.push({ outlines, rgb: state.fill });
        outlines = [];
        break;
      case 'S':
        for (const [from, to] of outlines) {
          strokes.push({ from, to, widthMm: state.width * MM, rgb: state.stroke });
        }
        outlines = [];
        break;
      case 'Tm':
        textMatrix = matrixOf(n);
        break;
      case 'Tf':
        size = n[1];
        break;
      case 'TJ': {
        const glyphs =
          words
            .join('')
            .match(/<([0-9a-f]+)>/g)
            ?.reduce((sum, hex) => sum + (hex.length - 2) / 4, 0) ?? 0;
        texts.push({ at: place(product(textMatrix, state.ctm), 0, 0), sizeMm: size * MM, glyphs });
        break;
      }
      case 'h':
      case 'BT':
      case 'ET':
      case 'n':
        break;
      default:
        throw new Error(`operator ${word} is not read`);
    }
    words = [];
  }
  return { fills, strokes, texts, spaces };
}

function matrixOf(n: readonly number[]): Matrix {
  return [n[0], n[1], n[2], n[3], n[4], n[5]];
}

/** First a, then b. */
function product(a: Matrix, b: Matrix): Matrix {
  return [
    a[0] * b[0] + a[1] * b[2],
    a[0] * b[1] + a[1] * b[3],
    a[2] * b[0] + a[3] * b[2],
    a[2] * b[1] + a[3] * b[3],
    a[4] * b[0] + a[5] * b[2] + b[4],
    a[4] * b[1] + a[5] * b[3] + b[5],
  ];
}

function bezier(a: Point, b: Point, c: Point, d: Point): Point[] {
  return Array.from({ length: 24 }, (_, i) => {
    const t = (i + 1) / 24;
    const s = 1 - t;
    const along = (k: 0 | 1): number =>
      s * s * s * a[k] + 3 * s * s * t * b[k] + 3 * s * t * t * c[k] + t * t * t * d[k];
    return [along(0), along(1)];
  });
}

/**
 * Paper with the page's shapes on it, 4 × 4 places a pixel; 8 bits.
 * @param boxMm of the page: left, top, width, height. @param paper what white becomes: bare paper does not clip
 */
export function rasterise(
  { fills, strokes }: PdfPage,
  boxMm: readonly [number, number, number, number],
  dpi: number,
  paper: number,
): DeviceRaster {
  const pxPerMm = dpi / 25.4;
  const [widthPx, heightPx] = [Math.round(boxMm[2] * pxPerMm), Math.round(boxMm[3] * pxPerMm)];
  const data = new Float32Array(3 * widthPx * heightPx).fill(1);
  const lines = strokes.map(({ from, to, widthMm, rgb }) => {
    const half = widthMm / 2;
    const [x, y] = [to[0] - from[0], to[1] - from[1]].map(
      (v) => (v / Math.hypot(to[0] - from[0], to[1] - from[1])) * half,
    );
    const outline: Point[] = [
      [from[0] - y, from[1] + x],
      [to[0] - y, to[1] + x],
      [to[0] + y, to[1] - x],
      [from[0] + y, from[1] - x],
    ];
    return { outlines: [outline], rgb };
  });
  for (const { outlines, rgb } of [...fills, ...lines]) {
    const shape = outlines.map((outline) =>
      outline.map(([x, y]): Point => [(x - boxMm[0]) * pxPerMm, (y - boxMm[1]) * pxPerMm]),
    );
    const points = shape.flat();
    const upright = uprightBox(shape);
    const fromX = Math.max(0, Math.floor(Math.min(...points.map((p) => p[0]))));
    const toX = Math.min(widthPx, Math.ceil(Math.max(...points.map((p) => p[0]))));
    const fromY = Math.max(0, Math.floor(Math.min(...points.map((p) => p[1]))));
    const toY = Math.min(heightPx, Math.ceil(Math.max(...points.map((p) => p[1]))));
    for (let y = fromY; y < toY; y++) {
      for (let x = fromX; x < toX; x++) {
        const inside = upright === null ? shareInside(shape, x, y) : shareOfBox(upright, x, y);
        const i = 3 * (y * widthPx + x);
        for (let c = 0; c < 3; c++) data[i + c] += (rgb[c] - data[i + c]) * inside;
      }
    }
  }
  return {
    data: Uint8Array.from(data, (v) => Math.round(255 * paper * v)),
    widthPx,
    heightPx,
    bits: 8,
    dpi,
    originPx: [0, 0],
  };
}

function shareInside(outlines: readonly (readonly Point[])[], x: number, y: number): number {
  let inside = 0;
  for (let k = 0; k < 16; k++) {
    if (isInside(outlines, x + ((k % 4) + 0.5) / 4, y + (Math.floor(k / 4) + 0.5) / 4)) inside += 1 / 16;
  }
  return inside;
}

/** Left, top, right, bottom when the shape is one box along the axes: its share of a pixel is exact, and quick. */
function uprightBox([outline, ...others]: readonly (readonly Point[])[]): readonly number[] | null {
  const xs = outline.map((p) => p[0]);
  const ys = outline.map((p) => p[1]);
  const box = [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
  const atCorner = ([x, y]: Point): boolean =>
    Math.min(x - box[0], box[2] - x) < 1e-9 && Math.min(y - box[1], box[3] - y) < 1e-9;
  return others.length === 0 && outline.length === 4 && outline.every(atCorner) ? box : null;
}

function shareOfBox([left, top, right, bottom]: readonly number[], x: number, y: number): number {
  const along = (low: number, high: number, at: number): number =>
    Math.max(0, Math.min(high, at + 1) - Math.max(low, at));
  return along(left, right, x) * along(top, bottom, y);
}

function isInside(outlines: readonly (readonly Point[])[], x: number, y: number): boolean {
  let inside = false;
  for (const outline of outlines) {
    for (let i = 0, j = outline.length - 1; i < outline.length; j = i++) {
      const [a, b] = [outline[i], outline[j]];
      if (a[1] > y !== b[1] > y && x < ((b[0] - a[0]) * (y - a[1])) / (b[1] - a[1]) + a[0]) inside = !inside;
    }
  }
  return inside;
}
