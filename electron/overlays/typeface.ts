/** Text as shapes: set from the font that comes with the program, so no font of the machine is needed or used. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { type Outline, readTrueType, type TrueType } from './trueType.ts';

type Weight = 'regular' | 'bold';

export interface Type {
  readonly size: number;
  readonly weight?: Weight;
}

/** Stands for a lowered small F, which Unicode lacks: R_F is `R${LOWERED_F}`. */
const LOWERED_F = '\u{F8F0}';
/** The name of a band's place, as chemists print it. */
export const R_F = `R${LOWERED_F}`;
const LOWERED = { size: 0.7, drop: 0.16 };

const FILES = { regular: 'DejaVuSansCondensed.ttf', bold: 'DejaVuSansCondensed-Bold.ttf' } as const;
const resolve = createRequire(import.meta.url).resolve;
const loaded = new Map<Weight, TrueType>();

function fontOf(weight: Weight): TrueType {
  let font = loaded.get(weight);
  if (!font) {
    font = readTrueType(readFileSync(resolve(`dejavu-fonts-ttf/ttf/${FILES[weight]}`)));
    loaded.set(weight, font);
  }
  return font;
}

interface Sign {
  readonly glyph: number;
  /** Share of the type's size. */
  readonly size: number;
  /** Below the baseline, share of the type's size. */
  readonly drop: number;
}

/** They join or vary the signs beside them and have no shape of their own. */
const SHAPELESS = /\p{Default_Ignorable_Code_Point}|\p{Emoji_Modifier}/u;

function signs(text: string, font: TrueType): Sign[] {
  const plain = (code: number): Sign => ({ glyph: font.glyphOf(code), size: 1, drop: 0 });
  return Array.from(text).flatMap((sign) => {
    const code = sign.codePointAt(0)!;
    if (sign === LOWERED_F) return [{ glyph: font.glyphOf(0x46), ...LOWERED }];
    if (font.glyphOf(code) > 0) return [plain(code)];
    return Array.from(byNumber(sign), (letter) => plain(letter.codePointAt(0)!));
  });
}

/** 'U+58A8' in brackets for a sign that the font lacks: an empty box would say nothing. */
function byNumber(sign: string): string {
  return SHAPELESS.test(sign) ? '' : `[U+${sign.codePointAt(0)!.toString(16).toUpperCase().padStart(4, '0')}]`;
}

/** Whether every sign of a text has a shape in the font. */
export function isInFont(text: string): boolean {
  const font = fontOf('regular');
  return Array.from(text).every(
    (sign) => sign === LOWERED_F || SHAPELESS.test(sign) || font.glyphOf(sign.codePointAt(0)!) > 0,
  );
}

export function textWidth(text: string, { size, weight = 'regular' }: Type): number {
  const font = fontOf(weight);
  return signs(text, font).reduce((sum, s) => sum + (font.advance(s.glyph) * s.size * size) / font.unitsPerEm, 0);
}

/** SVG path data of one line; `x` is where it starts, `y` its baseline. */
export function textPath(text: string, x: number, y: number, { size, weight = 'regular' }: Type): string {
  const font = fontOf(weight);
  let pen = x;
  return signs(text, font)
    .map((s) => {
      const scale = (s.size * size) / font.unitsPerEm;
      const shape = outlinePath(font.outline(s.glyph), pen, y + s.drop * size, scale);
      pen += font.advance(s.glyph) * scale;
      return shape;
    })
    .join('');
}

function outlinePath(outline: Outline, x: number, y: number, scale: number): string {
  let d = '';
  const at = (px: number, py: number): string => `${round(x + px * scale)} ${round(y - py * scale)}`;
  for (const contour of outline) {
    const n = contour.length;
    // A curve may begin off its own points: then between two of them.
    const first = contour.findIndex((p) => p.on);
    const start = first >= 0 ? contour[first] : middle(contour[0], contour[n - 1]);
    d += `M${at(start.x, start.y)}`;
    for (let k = 1; k <= n; k++) {
      const p = contour[(Math.max(0, first) + k) % n];
      if (p.on) {
        d += `L${at(p.x, p.y)}`;
        continue;
      }
      const next = contour[(Math.max(0, first) + k + 1) % n];
      const to = next.on ? next : middle(p, next);
      d += `Q${at(p.x, p.y)} ${at(to.x, to.y)}`;
      if (next.on) k++;
    }
    d += 'Z';
  }
  return d;
}

function middle(a: { x: number; y: number }, b: { x: number; y: number }): { x: number; y: number } {
  return { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
}

function round(v: number): number {
  return Math.round(v * 100) / 100;
}

/** Breaks at spaces; a word that is longer than the line is broken within. */
export function wrapText(text: string, width: number, type: Type): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (textWidth(longer, type) <= width) {
      line = longer;
      continue;
    }
    if (line !== '') lines.push(line);
    line = word;
    while (textWidth(line, type) > width && line.length > 1) {
      const part = longestStart(line, width, type);
      lines.push(part);
      line = line.slice(part.length);
    }
  }
  if (line !== '') lines.push(line);
  return lines;
}

/** Shortened in the middle when it does not fit: names of regions often differ at their ends. */
export function fitText(text: string, width: number, type: Type): string {
  if (textWidth(text, type) <= width) return text;
  const all = Array.from(text);
  for (let kept = all.length - 1; kept > 1; kept--) {
    const short = `${all.slice(0, Math.ceil(kept / 2)).join('')}…${all.slice(all.length - Math.floor(kept / 2)).join('')}`;
    if (textWidth(short, type) <= width) return short;
  }
  return '…';
}

function longestStart(word: string, width: number, type: Type): string {
  let part = '';
  for (const sign of word) {
    if (part !== '' && textWidth(part + sign, type) > width) break;
    part += sign;
  }
  return part;
}
