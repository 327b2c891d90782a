/** One region's marks on a canvas: outline of what counted, signs on its dark and its light end, a hatch on what was left out. */
import { INK_MARKS } from '../../../analysis/measure/ink.ts';
import { type DotView, dotsOf, isCounted, type MarksRaster, type ShownMarks } from './marksRaster.ts';
import { hatchInto, LINE, outlineOf } from './outline.ts';
import { type Place, signPlaces } from './signPlaces.ts';

type Rgb = readonly [r: number, g: number, b: number];

/** Where a scan's pixel is smaller than a dot, an outline would hide thin lines whole: there the signs alone speak. */
const MOST_PX_PER_DOT = 1.05;

/** CSS px. Far away the signs are smaller and fewer: there a letter is hardly larger than they are. */
const NEAR = { spacing: 15, size: 1 };
const FAR = { spacing: 19, size: 0.72 };
const FAR_FROM_PX_PER_DOT = 1.6;
const HATCH = 7;

/** @param ratio dots for each CSS px. */
export function paintMarks(
  canvas: HTMLCanvasElement,
  raster: MarksRaster,
  view: DotView,
  shown: ShownMarks,
  rgb: Rgb,
  ratio: number,
): void {
  canvas.width = view.width;
  canvas.height = view.height;
  const context = canvas.getContext('2d');
  if (!context) return;
  if (view.pxPerDot <= MOST_PX_PER_DOT) context.putImageData(linesOf(raster, view, shown, rgb, ratio), 0, 0);
  const { spacing, size } = view.pxPerDot > FAR_FROM_PX_PER_DOT ? FAR : NEAR;
  const places = signPlaces(raster, view, spacing * ratio);
  const look = { context, colour: `rgb(${rgb.join(' ')})`, ratio: ratio * size };
  if (shown.counted) for (const place of places.between) dot(look, place);
  if (shown.light) for (const place of places.light) ring(look, place);
  if (shown.dark) for (const place of places.dark) diamond(look, place);
}

function linesOf(raster: MarksRaster, view: DotView, shown: ShownMarks, rgb: Rgb, ratio: number): ImageData {
  const dots = dotsOf(raster, view);
  const counted = dots.map((mark) => Number(isCounted(mark)));
  const lines = shown.counted ? outlineOf(counted, view.width, view.height) : new Uint8Array(dots.length);
  if (shown.doubleLayer) {
    const every = Math.round(HATCH * ratio);
    const phase = Math.round((view.leftPx + view.topPx) / view.pxPerDot);
    hatchInto(lines, (i) => dots[i] === INK_MARKS.doubleLayer, view.width, every, phase);
  }
  const image = new ImageData(view.width, view.height);
  const look = { [LINE.line]: [...rgb, 255], [LINE.light]: [255, 255, 255, 150], [LINE.dark]: [0, 0, 0, 70] };
  lines.forEach((line, i) => {
    if (line === LINE.line || line === LINE.light || line === LINE.dark) image.data.set(look[line], 4 * i);
  });
  return image;
}

interface Look {
  readonly context: CanvasRenderingContext2D;
  readonly colour: string;
  readonly ratio: number;
}

function dot({ context, colour, ratio }: Look, [x, y]: Place): void {
  context.beginPath();
  context.arc(x, y, 1.3 * ratio, 0, 2 * Math.PI);
  cased(context, colour, ratio);
}

function ring({ context, colour, ratio }: Look, [x, y]: Place): void {
  context.beginPath();
  context.arc(x, y, 3.1 * ratio, 0, 2 * Math.PI);
  context.lineWidth = 3.2 * ratio;
  context.strokeStyle = 'rgb(255 255 255 / 0.6)';
  context.stroke();
  context.lineWidth = 1.5 * ratio;
  context.strokeStyle = colour;
  context.stroke();
}

function diamond({ context, colour, ratio }: Look, [x, y]: Place): void {
  const r = 4.2 * ratio;
  context.beginPath();
  context.moveTo(x - r, y);
  context.lineTo(x, y - r);
  context.lineTo(x + r, y);
  context.lineTo(x, y + r);
  context.closePath();
  cased(context, colour, ratio);
}

function cased(context: CanvasRenderingContext2D, colour: string, ratio: number): void {
  context.lineWidth = 1.6 * ratio;
  context.strokeStyle = 'rgb(255 255 255 / 0.7)';
  context.stroke();
  context.fillStyle = colour;
  context.fill();
}
