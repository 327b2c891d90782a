/** What counted as what within a region of ink, as shapes that leave the ink to be seen: outlines, sparse signs, a hatch. */
import { INK_MARKS } from '../../analysis/measure/ink.ts';
import { bleedDots } from '../../analysis/measure/showThrough/bleedDots.ts';
import { REVERSE_MARKS } from '../../analysis/measure/showThrough/reverseInput.ts';
import type { RegionResult } from '../jobs/tasks.ts';
import { cased, circlePath, n, path } from './svg.ts';

export type Marks = NonNullable<RegionResult['marks']>;
type Point = readonly [x: number, y: number];

export const isInk = (mark: number): boolean =>
  mark !== INK_MARKS.none && mark !== INK_MARKS.halo && mark !== REVERSE_MARKS.bare;

/** Where the signs go, each on a pixel of its class. */
export interface SignPlaces {
  readonly dark: readonly Point[];
  readonly light: readonly Point[];
  /** Absent: none. */
  readonly sheen?: readonly Point[];
  /** Counted, but neither dark nor light. */
  readonly between: readonly Point[];
}

/**
 * Signs are sparse, so that the ink is seen between them: none nearer to another than `spacing`.
 * @param markAt class at a pixel, INK_MARKS.none outside. @param reach what a sign covers about its middle, px: it goes only
 * where that much ink is, so thin lines are not hidden.
 */
export function signPlaces(
  markAt: (x: number, y: number) => number,
  widthPx: number,
  heightPx: number,
  spacing: number,
  reach: number,
): SignPlaces {
  const taken: Point[][] = Array.from({ length: Math.ceil(heightPx / spacing) + 1 }, () => []);
  const free = (x: number, y: number): boolean => {
    const row = Math.floor(y / spacing);
    return [row - 1, row, row + 1].every(
      (r) => taken[r]?.every(([tx, ty]) => (tx - x) ** 2 + (ty - y) ** 2 >= spacing ** 2) ?? true,
    );
  };
  const fits = (x: number, y: number): boolean =>
    [-reach, 0, reach].every((dy) => [-reach, 0, reach].every((dx) => isInk(markAt(x + dx, y + dy))));
  const placed = (wanted: number): Point[] => {
    const places: Point[] = [];
    for (let y = 0; y < heightPx; y++) {
      for (let x = 0; x < widthPx; x++) {
        if (markAt(x, y) !== wanted || !free(x, y) || !fits(x, y)) continue;
        taken[Math.floor(y / spacing)].push([x, y]);
        places.push([x, y]);
      }
    }
    return places;
  };
  // Sheen is seldom and the ends say more than the middle, so they choose first.
  const sheen = placed(INK_MARKS.sheen);
  const dark = placed(INK_MARKS.dark);
  const light = placed(INK_MARKS.light);
  return { dark, light, sheen, between: placed(INK_MARKS.counted) };
}

/** Rings keep clear of a dot and are never too small to be seen, points. */
const RING = { clear: 2.5, least: 5 } as const;

/** A ring about every place where ink came through to the back. @param place of a pixel of the marks, points @param perPoint points to a pixel */
export function bleedShapes(
  marks: Marks,
  place: (x: number, y: number) => Point,
  perPoint: number,
  colour: string,
): string {
  const d = bleedDots(marks)
    .map(({ x, y, r }) => circlePath(...place(x, y), Math.max(RING.least, r * perPoint + RING.clear)))
    .join('');
  return d === '' ? '' : cased(d, colour, 1.2);
}

/** Darkest tenth: full diamonds. Lightest tenth: open rings. Sheen: white triangles. Between: dots. Shape tells them apart, not colour. */
export function signShapes(places: SignPlaces, colour: string): string {
  return (
    dots(each(places.between, dot), colour) +
    rings(each(places.light, ring), colour) +
    diamonds(each(places.dark, diamond), colour) +
    triangles(each(places.sheen ?? [], triangle), colour)
  );
}

function each(places: readonly Point[], shape: (x: number, y: number) => string): string {
  return places.map(([x, y]) => shape(x + 0.5, y + 0.5)).join('');
}

/** White within and the colour about it: the one sign that is the other way round, so that it is no ring from afar. */
export function triangles(d: string, colour: string): string {
  return path(d, `fill="#fff" stroke="${colour}" stroke-width="1.3" stroke-linejoin="round"`);
}

export function diamonds(d: string, colour: string): string {
  return path(d, `fill="${colour}" stroke="#fff" stroke-width="0.8" stroke-opacity="0.8"`);
}

export function rings(d: string, colour: string): string {
  return (
    path(d, 'fill="none" stroke="#fff" stroke-width="2.6" stroke-opacity="0.5"') +
    path(d, `fill="none" stroke="${colour}" stroke-width="1.3"`)
  );
}

export function dots(d: string, colour: string): string {
  return path(d, `fill="${colour}"`);
}

export function diamond(x: number, y: number, r = 3.7): string {
  return `M${n(x - r)} ${n(y)}l${r} ${-r}l${r} ${r}l${-r} ${r}Z`;
}

export function triangle(x: number, y: number, r = 4.4): string {
  const half = (r * Math.sqrt(3)) / 2;
  return `M${n(x)} ${n(y - r)}l${n(half)} ${n(1.5 * r)}h${n(-2 * half)}Z`;
}

export function ring(x: number, y: number, r = 2.7): string {
  return circlePath(x, y, r);
}

export function dot(x: number, y: number): string {
  return circlePath(x, y, 0.9);
}

/**
 * Border between pixels that are `inside` and those that are not, as path data: straight pieces between the middles of pixel
 * edges (marching squares), so that stairs become slopes. Pixel (x, y) covers x..x+1; `scale` and `shift` are applied last.
 */
export function borderPath(
  inside: (x: number, y: number) => boolean,
  widthPx: number,
  heightPx: number,
  scale: number,
): string {
  let d = '';
  for (let y = 0; y <= heightPx; y++) {
    for (let x = 0; x <= widthPx; x++) {
      // The four pixels about the corner (x, y).
      const at = (dx: number, dy: number): boolean =>
        x + dx >= 0 && y + dy >= 0 && x + dx < widthPx && y + dy < heightPx && inside(x + dx, y + dy);
      const [nw, ne, sw, se] = [at(-1, -1), at(0, -1), at(-1, 0), at(0, 0)];
      const middles: Point[] = [];
      if (nw !== ne) middles.push([x, y - 0.5]);
      if (ne !== se) middles.push([x + 0.5, y]);
      if (sw !== se) middles.push([x, y + 0.5]);
      if (nw !== sw) middles.push([x - 0.5, y]);
      for (let i = 0; i + 1 < middles.length; i += 2) {
        const [[ax, ay], [bx, by]] = [middles[i], middles[i + 1]];
        d += `M${n(ax * scale)} ${n(ay * scale)}L${n(bx * scale)} ${n(by * scale)}`;
      }
    }
  }
  return d;
}

/** Diagonal lines over the pixels that are `inside`, as path data. */
export function hatchPath(
  inside: (x: number, y: number) => boolean,
  widthPx: number,
  heightPx: number,
  scale: number,
  everyPx: number,
): string {
  let d = '';
  for (let sum = 0; sum < widthPx + heightPx; sum += everyPx) {
    let from = -1;
    const end = Math.min(sum, widthPx - 1);
    for (let x = Math.max(0, sum - heightPx + 1); x <= end + 1; x++) {
      const on = x <= end && inside(x, sum - x);
      if (on && from < 0) from = x;
      if (!on && from >= 0) {
        d += `M${n(from * scale)} ${n((sum - from + 1) * scale)}L${n(x * scale)} ${n((sum - x + 1) * scale)}`;
        from = -1;
      }
    }
  }
  return d;
}
