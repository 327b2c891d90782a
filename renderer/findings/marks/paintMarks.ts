/** One region's marks on a canvas: outline of what counted, signs on its dark and its light end, a hatch on what was left out. */
import { INK_MARKS } from '../../../analysis/measure/ink.ts';
import { REVERSE_MARKS } from '../../../analysis/measure/showThrough/reverseInput.ts';
import { countedOf, type DotView, frontOf, dotsOf, type MarksRaster, type ShownMarks } from './marksRaster.ts';
import { dashInto, hatchInto, LINE, outlineOf } from './outline.ts';
import { type Place, signPlaces } from './signPlaces.ts';

type Rgb = readonly [r: number, g: number, b: number];

/** Where a scan's pixel is smaller than a dot, an outline would hide thin lines whole: there the signs alone speak. */
const MOST_PX_PER_DOT = 1.05;

/** CSS px. Far away the signs are smaller and fewer: there a letter is hardly larger than they are. */
const NEAR = { spacing: 15, size: 1 };
const FAR = { spacing: 19, size: 0.72 };
const FAR_FROM_PX_PER_DOT = 1.6;
const HATCH = 7;
const DASH = 4;

/** Dots painted at a time: some milliseconds' work, so that looking never waits for it. */
const BAND_DOTS = 120_000;
/** Line and casing reach this far into the next band. */
const REACH = 3;

/**
 * Paints aside, band by band, with room for the window's other work in between.
 * @param ratio dots for each CSS px. @returns null when it was called off.
 */
export async function paintMarks(
  raster: MarksRaster,
  view: DotView,
  shown: ShownMarks,
  rgb: Rgb,
  ratio: number,
  signal: AbortSignal,
): Promise<HTMLCanvasElement | null> {
  const canvas = document.createElement('canvas');
  canvas.width = view.width;
  canvas.height = view.height;
  const context = canvas.getContext('2d');
  if (!context) return null;
  const rows = Math.max(16, Math.floor(BAND_DOTS / view.width));
  const bands = Array.from({ length: Math.ceil(view.height / rows) }, (_, i) => i * rows);
  if (view.pxPerDot <= MOST_PX_PER_DOT) {
    for (const from of bands) {
      const [top, bottom] = [Math.max(0, from - REACH), Math.min(view.height, from + rows + REACH)];
      const image = linesOf(raster, partOf(view, top, bottom - top), shown, rgb, ratio, top);
      context.putImageData(image, 0, top, 0, from - top, view.width, Math.min(rows, view.height - from));
      await breath();
      if (signal.aborted) return null;
    }
  }
  const { spacing, size } = view.pxPerDot > FAR_FROM_PX_PER_DOT ? FAR : NEAR;
  const look = { context, colour: `rgb(${rgb.join(' ')})`, ratio: ratio * size };
  for (const from of bands) {
    const band = signPlaces(raster, partOf(view, from, Math.min(rows, view.height - from)), spacing * ratio);
    const draw = (places: readonly Place[], sign: (look: Look, place: Place) => void): void => {
      // A cell on the border of two bands belongs to the one that its sign lies in.
      for (const [x, y] of places) if (y >= 0 && y < rows) sign(look, [x, y + from]);
    };
    if (shown.counted) draw(band.between, dot);
    if (shown.light) draw(band.light, ring);
    if (shown.dark) draw(band.dark, diamond);
    if (shown.sheen) draw(band.sheen, triangle);
    await breath();
    if (signal.aborted) return null;
  }
  return canvas;
}

function partOf(view: DotView, top: number, height: number): DotView {
  return { ...view, topPx: view.topPx + top * view.pxPerDot, height };
}

function breath(): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve));
}

/** @param top where the part begins in the whole picture, dots. */
function linesOf(
  raster: MarksRaster,
  part: DotView,
  shown: ShownMarks,
  rgb: Rgb,
  ratio: number,
  top: number,
): ImageData {
  const dots = dotsOf(raster, part);
  const lines = new Uint8Array(dots.length);
  // No region is both: a reverse has no ink that counts.
  if (shown.counted) lines.set(outlineOf(countedOf(dots), part.width, part.height));
  if (shown.front && dots.some(isBehind)) lines.set(outlineOf(frontOf(dots), part.width, part.height));
  if (shown.halo) dashInto(lines, (i) => dots[i] === INK_MARKS.halo, part.width, part.height, Math.round(DASH * ratio));
  if (shown.doubleLayer) {
    const every = Math.round(HATCH * ratio);
    const wholeTopPx = part.topPx - top * part.pxPerDot;
    const phase = Math.round((part.leftPx + wholeTopPx) / part.pxPerDot) + top;
    hatchInto(lines, (i) => dots[i] === INK_MARKS.doubleLayer, part.width, every, phase);
  }
  const image = new ImageData(part.width, part.height);
  const pixels = new Uint32Array(image.data.buffer);
  const look = new Uint32Array(4);
  look[LINE.line] = word([...rgb, 255]);
  look[LINE.light] = word([255, 255, 255, 150]);
  look[LINE.dark] = word([0, 0, 0, 70]);
  for (let i = 0; i < lines.length; i++) pixels[i] = look[lines[i]];
  return image;
}

function isBehind(mark: number): boolean {
  return mark >= REVERSE_MARKS.bare;
}

/** Four bytes as the machine keeps them. */
function word(rgba: readonly number[]): number {
  return new Uint32Array(Uint8Array.from(rgba).buffer)[0];
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

/** White within and the colour about it: the one sign that is the other way round, so that it is no ring from afar. */
function triangle({ context, colour, ratio }: Look, [x, y]: Place): void {
  const r = 4.9 * ratio;
  const half = (r * Math.sqrt(3)) / 2;
  context.beginPath();
  context.moveTo(x, y - r);
  context.lineTo(x + half, y + r / 2);
  context.lineTo(x - half, y + r / 2);
  context.closePath();
  context.lineJoin = 'round';
  context.lineWidth = 2.8 * ratio;
  context.strokeStyle = colour;
  context.stroke();
  context.fillStyle = '#fff';
  context.fill();
}

function cased(context: CanvasRenderingContext2D, colour: string, ratio: number): void {
  context.lineWidth = 1.6 * ratio;
  context.strokeStyle = 'rgb(255 255 255 / 0.7)';
  context.stroke();
  context.fillStyle = colour;
  context.fill();
}
