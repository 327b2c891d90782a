/** Shapes as SVG text, in points. Text becomes shapes too (typeface.ts), so nothing depends on installed fonts. */
import { textPath, textWidth, type Type } from './typeface.ts';

export function box(x: number, y: number, width: number, height: number, look: string): string {
  return `<rect x="${n(x)}" y="${n(y)}" width="${n(width)}" height="${n(height)}" ${look}/>`;
}

export function path(d: string, look: string): string {
  return d === '' ? '' : `<path d="${d}" ${look}/>`;
}

export function line(x1: number, y1: number, x2: number, y2: number, look: string): string {
  return path(`M${n(x1)} ${n(y1)}L${n(x2)} ${n(y2)}`, look);
}

export function text(words: string, x: number, y: number, type: Type, fill: string): string {
  return path(textPath(words, x, y, type), `fill="${fill}"`);
}

export function textEnding(words: string, right: number, y: number, type: Type, fill: string): string {
  return text(words, right - textWidth(words, type), y, type, fill);
}

export function textCentred(words: string, middle: number, y: number, type: Type, fill: string): string {
  return text(words, middle - textWidth(words, type) / 2, y, type, fill);
}

/** A stroked path with a thin dark and a thin light line around, so that it reads on any ground. */
export function cased(d: string, colour: string, width = 1.5, more = ''): string {
  const look = `fill="none" stroke-linejoin="round" ${more}`;
  return (
    path(d, `${look} stroke="#000" stroke-opacity="0.5" stroke-width="${n(width + 2)}"`) +
    path(d, `${look} stroke="#fff" stroke-opacity="0.8" stroke-width="${n(width + 1)}"`) +
    path(d, `${look} stroke="${colour}" stroke-width="${n(width)}"`)
  );
}

export function rectPath(x: number, y: number, width: number, height: number): string {
  return `M${n(x)} ${n(y)}h${n(width)}v${n(height)}h${n(-width)}Z`;
}

export function circlePath(x: number, y: number, r: number): string {
  return `M${n(x - r)} ${n(y)}a${n(r)} ${n(r)} 0 1 0 ${n(2 * r)} 0a${n(r)} ${n(r)} 0 1 0 ${n(-2 * r)} 0Z`;
}

/** Two decimals are finer than a screen can show. */
export function n(v: number): number {
  return Math.round(v * 100) / 100;
}
