/** Where labels go beside their points, so that they cover neither each other nor the points. All in px. */

export interface LabelWish {
  readonly text: string;
  readonly x: number;
  readonly y: number;
  /** Clear of the point's own mark. */
  readonly radius: number;
  /** Placed before all others: what a plot cannot be read without. */
  readonly first?: boolean;
}

export interface PlacedLabel {
  readonly text: string;
  /** Left end of the text and the middle of its height. */
  readonly left: number;
  readonly middle: number;
  readonly width: number;
  readonly height: number;
  /** Whether it stands so far off that a line has to lead to its point. */
  readonly led: boolean;
  readonly pointX: number;
  readonly pointY: number;
}

export interface Box {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** Steps away from the point; beyond the first the label gets a line. */
const RINGS = [0, 10, 22, 36, 52] as const;
/** Past a thicket of other marks, where few labels are asked for. */
const FAR_RINGS = [...RINGS, 70, 90, 112, 136, 162, 190] as const;
const ANGLES = {
  beside: [0, 180, 315, 45, 225, 135, 270, 90, 337.5, 22.5, 202.5, 157.5],
  above: [270, 315, 225, 337.5, 202.5, 0, 180],
} as const;

/** Labels, more of which cannot all find a place: five nibs and two swabs on two papers find theirs. */
const MANY = 16;

/** What a plot with so many labels says of them; '' while all have theirs. */
export function leftOutNames(labels: number): string {
  return labels > MANY ? 'Names that would cover others are left out; the table has all of them.' : '';
}

/** Mean width of a letter of the text face over its size: measured on the labels that we write; a little is harmless. */
const LETTER_WIDTH = 0.49;

export function textWidth(text: string, fontSize: number): number {
  return text.length * LETTER_WIDTH * fontSize;
}

/**
 * One after another, the most crowded first; each takes the nearest free place. One that finds none takes the least covered one, while the
 * labels are few; of many it is left out, for a heap of names tells nothing, and the plot's table has all of them.
 * @param others What else is drawn and wants to be seen, beside the points that get a label.
 */
export function placeLabels(
  wishes: readonly LabelWish[],
  field: Box,
  fontSize: number,
  rather: keyof typeof ANGLES = 'beside',
  others: readonly Box[] = [],
): readonly PlacedLabel[] {
  const marks = [...wishes.map((wish) => boxAround(wish.x, wish.y, wish.radius)), ...others];
  const crowd = (wish: LabelWish): number =>
    wishes.filter((other) => Math.hypot(other.x - wish.x, other.y - wish.y) < 60).length;
  const isLater = ({ first = false }: LabelWish): number => (first ? 0 : 1);
  const order = wishes
    .map((_, i) => i)
    .sort((a, b) => isLater(wishes[a]) - isLater(wishes[b]) || crowd(wishes[b]) - crowd(wishes[a]) || a - b);
  const rings = others.length > 0 ? FAR_RINGS : RINGS;
  const taken: Box[] = [];
  const placed = new Map<number, PlacedLabel>();
  for (const i of order) {
    const { label, covered } = bestPlace(wishes[i], fontSize, field, [...marks, ...taken], ANGLES[rather], rings);
    if (covered > 0 && wishes.length > MANY) continue;
    taken.push(boxOf(label));
    placed.set(i, label);
  }
  return wishes.flatMap((_, i) => placed.get(i) ?? []);
}

function bestPlace(
  wish: LabelWish,
  fontSize: number,
  field: Box,
  obstacles: readonly Box[],
  angles: readonly number[],
  rings: readonly number[],
): { readonly label: PlacedLabel; readonly covered: number } {
  let best = labelAt(wish, fontSize, 0, angles[0], false);
  let least = Infinity;
  for (const [ring, off] of rings.entries()) {
    for (const angle of angles) {
      const label = labelAt(wish, fontSize, off, angle, ring > 0);
      const own = boxOf(label);
      let covered = 4 * outside(own, field);
      for (const box of obstacles) covered += overlap(own, box);
      if (covered === 0) return { label, covered };
      if (covered < least) [best, least] = [label, covered];
    }
  }
  return { label: best, covered: least };
}

function labelAt(wish: LabelWish, fontSize: number, off: number, angle: number, led: boolean): PlacedLabel {
  const [dx, dy] = [Math.cos((angle * Math.PI) / 180), Math.sin((angle * Math.PI) / 180)];
  const width = textWidth(wish.text, fontSize);
  const height = fontSize * 1.15;
  const away = wish.radius + 3 + off;
  // The text's near edge, not its middle, stands off the point.
  const left = wish.x + dx * away + (Math.abs(dx) < 0.2 ? -width / 2 : dx > 0 ? 0 : -width);
  const middle = wish.y + dy * (away + height / 2);
  return { text: wish.text, left, middle, width, height, led, pointX: wish.x, pointY: wish.y };
}

export function boxOf({ left, middle, width, height }: PlacedLabel): Box {
  return { left, top: middle - height / 2, right: left + width, bottom: middle + height / 2 };
}

export function boxAround(x: number, y: number, radius: number): Box {
  return { left: x - radius, top: y - radius, right: x + radius, bottom: y + radius };
}

function overlap(a: Box, b: Box): number {
  const across = Math.min(a.right, b.right) - Math.max(a.left, b.left);
  const down = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
  return across > 0 && down > 0 ? across * down : 0;
}

function outside(box: Box, field: Box): number {
  return box.left >= field.left && box.right <= field.right && box.top >= field.top && box.bottom <= field.bottom
    ? 0
    : (box.right - box.left) * (box.bottom - box.top) - overlap(box, field);
}
