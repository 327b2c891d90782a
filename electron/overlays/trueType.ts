/**
 * Outlines of a TrueType font file, read straight from its tables: enough to set a line of text as shapes, so that a picture
 * looks the same on a machine without any font. No hinting, no kerning, no ligatures.
 * Source of the layouts: OpenType specification 1.9, tables head, maxp, hhea, hmtx, cmap (formats 4 and 12), loca, glyf.
 */

interface OutlinePoint {
  readonly x: number;
  readonly y: number;
  /** On the curve; else the control point of a quadratic curve. */
  readonly on: boolean;
}
/** Closed curves in font units, y upwards. */
export type Outline = readonly (readonly OutlinePoint[])[];

export interface TrueType {
  readonly unitsPerEm: number;
  /** 0 when the font lacks the character. */
  glyphOf(codePoint: number): number;
  advance(glyph: number): number;
  outline(glyph: number): Outline;
}

export function readTrueType(file: Uint8Array): TrueType {
  const view = new DataView(file.buffer, file.byteOffset, file.byteLength);
  const tables = new Map<string, number>();
  for (let i = 0; i < view.getUint16(4); i++) {
    const at = 12 + 16 * i;
    tables.set(String.fromCharCode(...file.subarray(at, at + 4)), view.getUint32(at + 8));
  }
  const table = (name: string): number => {
    const at = tables.get(name);
    if (at === undefined) throw new Error(`the font has no table "${name}"; a TrueType font with outlines is needed`);
    return at;
  };
  const head = table('head');
  const longOffsets = view.getInt16(head + 50) === 1;
  const glyphs = view.getUint16(table('maxp') + 4);
  const widths = view.getUint16(table('hhea') + 34);
  const hmtx = table('hmtx');
  const loca = table('loca');
  const glyf = table('glyf');
  const offset = (glyph: number): number =>
    longOffsets ? view.getUint32(loca + 4 * glyph) : 2 * view.getUint16(loca + 2 * glyph);
  const outline = (glyph: number): Outline => {
    if (glyph >= glyphs || offset(glyph) === offset(glyph + 1)) return [];
    const at = glyf + offset(glyph);
    const contours = view.getInt16(at);
    return contours >= 0 ? simpleOutline(view, at, contours) : compositeOutline(view, at, outline);
  };
  return {
    unitsPerEm: view.getUint16(head + 18),
    glyphOf: characterMap(view, table('cmap')),
    advance: (glyph) => view.getUint16(hmtx + 4 * Math.min(glyph, widths - 1)),
    outline,
  };
}

function characterMap(view: DataView, cmap: number): (codePoint: number) => number {
  let best = 0;
  for (let i = 0; i < view.getUint16(cmap + 2); i++) {
    const at = cmap + view.getUint32(cmap + 4 + 8 * i + 4);
    const format = view.getUint16(at);
    if (format === 12 || (format === 4 && best === 0)) best = at;
  }
  if (best === 0) throw new Error('the font has no Unicode character map of format 4 or 12');
  return view.getUint16(best) === 12 ? groupMap(view, best) : segmentMap(view, best);
}

/** Format 12: groups of consecutive characters. */
function groupMap(view: DataView, at: number): (codePoint: number) => number {
  return (code) => {
    let low = 0;
    let high = view.getUint32(at + 12) - 1;
    while (low <= high) {
      const middle = (low + high) >> 1;
      const group = at + 16 + 12 * middle;
      if (code < view.getUint32(group)) high = middle - 1;
      else if (code > view.getUint32(group + 4)) low = middle + 1;
      else return view.getUint32(group + 8) + code - view.getUint32(group);
    }
    return 0;
  };
}

/** Format 4: segments of the first 65,536 characters. */
function segmentMap(view: DataView, at: number): (codePoint: number) => number {
  const segments = view.getUint16(at + 6) / 2;
  const ends = at + 14;
  const starts = ends + 2 * segments + 2;
  const deltas = starts + 2 * segments;
  const ranges = deltas + 2 * segments;
  return (code) => {
    if (code > 0xffff) return 0;
    for (let i = 0; i < segments; i++) {
      if (code > view.getUint16(ends + 2 * i)) continue;
      const start = view.getUint16(starts + 2 * i);
      if (code < start) return 0;
      const delta = view.getUint16(deltas + 2 * i);
      const range = view.getUint16(ranges + 2 * i);
      if (range === 0) return (code + delta) & 0xffff;
      const glyph = view.getUint16(ranges + 2 * i + range + 2 * (code - start));
      return glyph === 0 ? 0 : (glyph + delta) & 0xffff;
    }
    return 0;
  };
}

function simpleOutline(view: DataView, glyph: number, contours: number): Outline {
  const ends = Array.from({ length: contours }, (_, i) => view.getUint16(glyph + 10 + 2 * i));
  const count = (ends[contours - 1] ?? -1) + 1;
  let at = glyph + 10 + 2 * contours;
  at += 2 + view.getUint16(at); // instructions
  const flags: number[] = [];
  while (flags.length < count) {
    const flag = view.getUint8(at++);
    const repeats = flag & 8 ? view.getUint8(at++) : 0;
    for (let r = 0; r <= repeats; r++) flags.push(flag);
  }
  const coordinates = (short: number, same: number): number[] => {
    let value = 0;
    return flags.map((flag) => {
      if (flag & short) value += flag & same ? view.getUint8(at++) : -view.getUint8(at++);
      else if (!(flag & same)) {
        value += view.getInt16(at);
        at += 2;
      }
      return value;
    });
  };
  const xs = coordinates(2, 16);
  const ys = coordinates(4, 32);
  return ends.map((end, i) => {
    const from = i === 0 ? 0 : ends[i - 1] + 1;
    return flags.slice(from, end + 1).map((flag, k) => ({ x: xs[from + k], y: ys[from + k], on: (flag & 1) === 1 }));
  });
}

function compositeOutline(view: DataView, glyph: number, outline: (glyph: number) => Outline): Outline {
  const parts: (readonly OutlinePoint[])[] = [];
  let at = glyph + 10;
  for (let more = true; more;) {
    const flags = view.getUint16(at);
    const part = view.getUint16(at + 2);
    const words = (flags & 1) !== 0;
    const [dx, dy] = words
      ? [view.getInt16(at + 4), view.getInt16(at + 6)]
      : [view.getInt8(at + 4), view.getInt8(at + 5)];
    at += words ? 8 : 6;
    const read = (): number => {
      at += 2;
      return view.getInt16(at - 2) / 16384;
    };
    let [a, b, c, d] = [1, 0, 0, 1];
    if (flags & 8) a = d = read();
    else if (flags & 0x40) [a, d] = [read(), read()];
    else if (flags & 0x80) [a, b, c, d] = [read(), read(), read(), read()];
    for (const contour of outline(part)) {
      parts.push(contour.map((p) => ({ x: a * p.x + c * p.y + dx, y: b * p.x + d * p.y + dy, on: p.on })));
    }
    more = (flags & 0x20) !== 0;
  }
  return parts;
}
