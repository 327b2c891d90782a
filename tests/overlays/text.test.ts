import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { describe, expect, test } from 'vitest';
import { readTrueType } from '../../electron/overlays/trueType.ts';
import { fitText, isInFont, R_F, textPath, textWidth, wrapText } from '../../electron/overlays/typeface.ts';

const file = readFileSync(createRequire(import.meta.url).resolve('dejavu-fonts-ttf/ttf/DejaVuSansCondensed.ttf'));
const font = readTrueType(file);
const SIGNS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789ΔE₀₀±−–²°*.,;:()/%×≤éäüłżźß’…';

/** The box that the font itself states for a glyph: the head of its entry in the table glyf. */
function statedBox(glyph: number): number[] {
  const view = new DataView(file.buffer, file.byteOffset, file.byteLength);
  const table = (name: string): number => {
    for (let at = 12; ; at += 16) if (file.toString('latin1', at, at + 4) === name) return view.getUint32(at + 8);
  };
  const at = table('glyf') + view.getUint32(table('loca') + 4 * glyph);
  return [2, 4, 6, 8].map((offset) => view.getInt16(at + offset));
}

describe('outlines', () => {
  test('fill the boxes that the font states', () => {
    for (const sign of SIGNS) {
      const glyph = font.glyphOf(sign.codePointAt(0)!);
      expect(glyph).toBeGreaterThan(0);
      const points = font.outline(glyph).flat();
      const xs = points.map((p) => p.x);
      const ys = points.map((p) => p.y);
      const found = [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
      // The condensed cut was scaled from the normal one: its boxes are rounded up by a unit of the em's 2048.
      expect(Math.max(...statedBox(glyph).map((edge, i) => Math.abs(edge - found[i])))).toBeLessThanOrEqual(1);
    }
  });

  test('a space has width and no shape; an unknown sign has the empty box', () => {
    expect(font.outline(font.glyphOf(0x20))).toEqual([]);
    expect(font.advance(font.glyphOf(0x20))).toBeGreaterThan(0);
    expect(font.glyphOf(0x10ffff)).toBe(0);
    expect(font.outline(0).length).toBeGreaterThan(0);
  });

  test('a sign that the font lacks is set by its number, never as an empty box; what only joins signs is left out', () => {
    const type = { size: 16 };
    expect(textPath('墨 ink', 10, 50, type)).toBe(textPath('[U+58A8] ink', 10, 50, type));
    expect(textPath('a\u{1F989}\uFE0F', 10, 50, type)).toBe(textPath('a[U+1F989]', 10, 50, type));
    expect(textWidth('墨', type)).toBeCloseTo(textWidth('[U+58A8]', type), 9);
    expect(['Blau–Grün №5 αβ', `${R_F} 1`, '墨', 'Owl \u{1F989}'].map(isInFont)).toEqual([true, true, false, false]);
  });

  test('figures are tabular', () => {
    expect(new Set(Array.from('0123456789', (d) => font.advance(font.glyphOf(d.codePointAt(0)!)))).size).toBe(1);
  });

  test('widths add up sign by sign, and grow with the size', () => {
    const size = 16;
    expect(textWidth('mm', { size })).toBeCloseTo(2 * textWidth('m', { size }), 9);
    expect(textWidth('m', { size: 32 })).toBeCloseTo(2 * textWidth('m', { size }), 9);
    expect(textWidth('m', { size, weight: 'bold' })).toBeGreaterThan(textWidth('m', { size }));
    expect(textWidth(R_F, { size })).toBeLessThan(textWidth('RF', { size }));
  });

  test('a path stays within the width that was promised', () => {
    const words = 'L* 32.1 ± 0.8';
    const numbers = textPath(words, 100, 50, { size: 15 })
      .match(/-?[\d.]+/g)!
      .map(Number);
    const xs = numbers.filter((_, i) => i % 2 === 0);
    expect(Math.min(...xs)).toBeGreaterThanOrEqual(100);
    expect(Math.max(...xs)).toBeLessThanOrEqual(100 + textWidth(words, { size: 15 }));
  });
});

describe('lines', () => {
  const type = { size: 15 };
  test('wrap at spaces and never grow too long, not even for one long word', () => {
    const words = `a few words and ${'supercalifragilistic'.repeat(5)} and some more`;
    const lines = wrapText(words, 120, type);
    for (const line of lines) expect(textWidth(line, type)).toBeLessThanOrEqual(120);
    expect(lines.join('').replaceAll(' ', '')).toBe(words.replaceAll(' ', ''));
  });

  test('are shortened in the middle, so that both ends stay', () => {
    const short = fitText('swab-on-white-paper-0017', 100, type);
    expect(textWidth(short, type)).toBeLessThanOrEqual(100);
    expect(short).toMatch(/^swab.*….*0017$/);
    expect(fitText('swab', 100, type)).toBe('swab');
  });
});
