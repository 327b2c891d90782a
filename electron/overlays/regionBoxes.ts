/** Where was measured: each region's box on the page, with the number of its card. */
import { BADGE, badge, badgeWidth } from './card.ts';
import { box as filled, cased, rectPath } from './svg.ts';
import { TONES } from './tones.ts';

/** In points of the page. */
export interface Place {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export interface NumberedBox extends Place {
  readonly number: number;
  /** Bare paper is drawn dashed. */
  readonly dashed: boolean;
}

export function regionBoxes(boxes: readonly NumberedBox[], page: Place, colour: string): string {
  const outlines = boxes.map((b) =>
    cased(rectPath(b.x, b.y, b.width, b.height), colour, 1.4, b.dashed ? 'stroke-dasharray="7 5"' : ''),
  );
  const tags: Place[] = [];
  const badges = boxes.map((b) => {
    const tag = freePlace(b, badgeWidth(b.number), boxes, tags, page);
    tags.push(tag);
    const rim = `rx="5" fill="none" stroke="${TONES.panel}" stroke-width="1.5"`;
    return badge(b.number, tag.x, tag.y) + filled(tag.x - 0.5, tag.y - 0.5, tag.width + 1, tag.height + 1, rim);
  });
  return outlines.join('') + badges.join('');
}

/** Beside the box where least of other boxes and badges is covered; left of its upper corner when all are alike. */
function freePlace(own: Place, width: number, boxes: readonly Place[], tags: readonly Place[], page: Place): Place {
  const height = BADGE;
  const gap = 5;
  const right = own.x + own.width;
  const bottom = own.y + own.height;
  const tries = [
    [own.x - width - gap, own.y],
    [own.x, own.y - height - gap],
    [right + gap, own.y],
    [right - width, own.y - height - gap],
    [own.x, bottom + gap],
    [right - width, bottom + gap],
    [own.x + gap, own.y + gap],
  ] as const;
  const places = tries.map(([x, y]) => ({
    x: clamp(x, page.x + 2, page.x + page.width - width - 2),
    y: clamp(y, page.y + 2, page.y + page.height - height - 2),
    width,
    height,
  }));
  const cost = (p: Place): number =>
    tags.reduce((sum, t) => sum + 8 * shared(p, t), 0) + boxes.reduce((sum, b) => sum + shared(p, b), 0);
  return places.reduce((best, p) => (cost(p) < cost(best) - 1 ? p : best));
}

function clamp(v: number, low: number, high: number): number {
  return Math.max(low, Math.min(high, v));
}

function shared(a: Place, b: Place): number {
  const width = Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x);
  const height = Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y);
  return width > 0 && height > 0 ? width * height : 0;
}
