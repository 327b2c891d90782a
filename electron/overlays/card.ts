/** A card of words beside the picture: what one region says, first in a sentence, then in figures. All lengths in points. */
import type { LabValue } from '../../analysis/quantity.ts';
import type { Figure } from './figures.ts';
import type { Picture } from './picture.ts';
import { box, n, path, rectPath, text, textCentred, textEnding } from './svg.ts';
import { shown } from '../../analysis/colour/shown.ts';
import { TONES } from './tones.ts';
import { fitText, textWidth, type Type, wrapText } from './typeface.ts';

export interface Card {
  readonly width: number;
  readonly height: number;
  /** SVG shapes, the card's own top left at 0, 0. */
  readonly shapes: string;
  /** Pixels that lie on the card under its shapes. */
  readonly picture: { readonly piece: Picture; readonly x: number; readonly y: number } | null;
}

/** A part of a card's text column; drawn at a given top. */
export interface Block {
  readonly height: number;
  readonly draw: (x: number, y: number) => string;
}

export const BODY: Type = { size: 15 };
export const STRONG: Type = { size: 15, weight: 'bold' };
export const HEADING: Type = { size: 18, weight: 'bold' };
export const SMALL: Type = { size: 13 };
export const LINE = 20;
export const PAD = 16;
const SWATCH = 64;
export const BADGE = 24;

export interface CardContent {
  /** The number that stands by the region's box too; null: none. */
  readonly number: number | null;
  readonly title: string;
  /** 'strokes, nib EF' */
  readonly kind: string;
  readonly swatch: { readonly colour: LabValue; readonly paper: LabValue | null } | null;
  readonly blocks: readonly Block[];
  readonly inset: { readonly piece: Picture; readonly scale: number; readonly caption: string } | null;
}

/** @param textWidth of the text column. @param insetWidth kept free on the right for all cards of a picture; 0: none. */
export function makeCard(content: CardContent, columnWidth: number, insetWidth: number): Card {
  const { number, title, kind, swatch, blocks, inset } = content;
  const textLeft = swatch === null ? PAD : PAD + SWATCH + PAD;
  const width = PAD + SWATCH + PAD + columnWidth + PAD + (insetWidth > 0 ? insetWidth + PAD : 0);
  const top = PAD + BADGE + 8;
  let y = top;
  let drawn = '';
  for (const block of blocks) {
    drawn += block.draw(textLeft, y);
    y += block.height;
  }
  const insetTop = PAD;
  const insetHeight = inset === null ? 0 : inset.piece.heightPx / inset.scale;
  const swatchBottom = swatch === null ? 0 : top + 2 + SWATCH;
  const height = Math.ceil(Math.max(y, swatchBottom, inset === null ? 0 : insetTop + insetHeight + LINE) + PAD - 4);
  const insetLeft = textLeft + columnWidth + PAD;
  const shapes =
    heading(number, title, kind, textLeft, width - PAD - (inset === null ? 0 : insetWidth + PAD)) +
    (swatch === null ? '' : swatchShapes(PAD, top + 2, SWATCH, swatch.colour, swatch.paper)) +
    drawn +
    (inset === null
      ? ''
      : path(
          rectPath(insetLeft - 0.5, insetTop - 0.5, inset.piece.widthPx / inset.scale + 1, insetHeight + 1),
          `fill="none" stroke="${TONES.hairline}"`,
        ) + text(inset.caption, insetLeft, insetTop + insetHeight + 16, SMALL, TONES.quietText));
  return {
    width,
    height,
    shapes: box(0, 0, width, height, `fill="${TONES.panel}"`) + shapes,
    picture: inset && { piece: inset.piece, x: insetLeft, y: insetTop },
  };
}

function heading(number: number | null, title: string, kind: string, textLeft: number, right: number): string {
  const baseline = PAD + 18;
  const left = number === null ? PAD : Math.max(textLeft, PAD + badgeWidth(number) + 12);
  const kindWidth = textWidth(kind, BODY);
  const titleText = fitText(title, Math.max(40, right - left - kindWidth - 12), HEADING);
  const kindLeft = left + textWidth(titleText, HEADING) + 12;
  return (
    (number === null ? '' : badge(number, PAD, PAD)) +
    text(titleText, left, baseline, HEADING, TONES.text) +
    text(fitText(kind, right - kindLeft, BODY), kindLeft, baseline, BODY, TONES.quietText)
  );
}

/** The number that ties a card to its box. */
export function badge(number: number, x: number, y: number): string {
  const width = badgeWidth(number);
  return (
    box(x, y, width, BADGE, `rx="4" fill="${TONES.text}"`) +
    textCentred(String(number), x + width / 2, y + 17.5, STRONG, TONES.pale)
  );
}

export function badgeWidth(number: number): number {
  return Math.max(BADGE, textWidth(String(number), STRONG) + 12);
}

/** Flat colour with a hairline of its paper around; a corner is cut when the screen cannot show the colour. */
export function swatchShapes(x: number, y: number, size: number, colour: LabValue, paper: LabValue | null): string {
  const { hex, exact } = shown(colour);
  const rim = paper === null ? '' : box(x, y, size, size, `fill="${shown(paper).hex}"`);
  const inner = paper === null ? 0 : 3;
  return (
    rim +
    box(x + inner, y + inner, size - 2 * inner, size - 2 * inner, `fill="${hex}"`) +
    (exact ? '' : cutCorner(x + size, y, size))
  );
}

/** Marks a colour that sRGB cannot show exactly. @param right upper right corner of the swatch. */
export function cutCorner(right: number, y: number, size: number): string {
  const cut = Math.min(12, size / 3);
  return path(`M${n(right)} ${n(y)}v${n(cut)}l${n(-cut)} ${n(-cut)}Z`, `fill="${TONES.panel}"`);
}

export function sentence(words: string, columnWidth: number, type: Type = BODY): Block {
  const lines = wrapText(words, columnWidth, type);
  return {
    height: lines.length * LINE + 4,
    draw: (x, y) => lines.map((l, i) => text(l, x, y + 15 + i * LINE, type, TONES.text)).join(''),
  };
}

/** Small and quiet: flags, how it was measured. */
export function remark(words: string, columnWidth: number): Block {
  const lines = wrapText(words, columnWidth, SMALL);
  return {
    height: lines.length * 17 + 4,
    draw: (x, y) => lines.map((l, i) => text(l, x, y + 15 + i * 17, SMALL, TONES.quietText)).join(''),
  };
}

/** Rows of figures with their decimal points in one column. */
export function figureTable(figures: readonly Figure[]): Block {
  const labels = Math.max(0, ...figures.map((f) => textWidth(f.label, BODY)));
  const whole = Math.max(0, ...figures.map((f) => textWidth(beforePoint(f.value), BODY)));
  const rest = Math.max(0, ...figures.map((f) => textWidth(f.value.slice(beforePoint(f.value).length), BODY)));
  const spreads = Math.max(0, ...figures.map((f) => textWidth(f.spread, BODY)));
  return {
    height: figures.length * LINE + 4,
    draw: (x, y) =>
      figures
        .map((f, i) => {
          const baseline = y + 15 + i * LINE;
          const point = x + labels + 16 + whole;
          const spreadLeft = point + rest + 6;
          const unitLeft = spreadLeft + spreads + 8;
          const wordLeft = f.unit === '' ? unitLeft : unitLeft + textWidth(f.unit, SMALL) + 10;
          return (
            text(f.label, x, baseline, BODY, TONES.quietText) +
            textEnding(beforePoint(f.value), point, baseline, BODY, TONES.text) +
            text(f.value.slice(beforePoint(f.value).length), point, baseline, BODY, TONES.text) +
            text(f.spread, spreadLeft, baseline, BODY, TONES.text) +
            text(f.unit, unitLeft, baseline, SMALL, TONES.quietText) +
            text(f.word, wordLeft, baseline, STRONG, TONES.text)
          );
        })
        .join(''),
  };
}

function beforePoint(value: string): string {
  return value.split('.')[0];
}
