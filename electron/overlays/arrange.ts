/** Cards in columns beside the page, so that the whole is neither a ribbon nor a tower. */

export interface Arranged {
  /** Column of each card, and its top within the column. */
  readonly places: readonly { readonly column: number; readonly y: number }[];
  readonly columns: number;
  readonly height: number;
}

/** Width to height that pictures strive for: that of a common screen. */
const ASPECT = 1.6;

/**
 * @param heights of the cards, in order. @param page what stands to the left of them, points; cards never reorder, so that
 * their numbers run down each column.
 */
export function arrange(
  heights: readonly number[],
  cardWidth: number,
  gap: number,
  page: { readonly width: number; readonly height: number },
): Arranged {
  if (heights.length === 0) return { places: [], columns: 0, height: 0 };
  const tries = Array.from({ length: heights.length }, (_, i) => inColumns(heights, i + 1, gap));
  const size = (a: Arranged): number =>
    Math.max((page.width + a.columns * (cardWidth + gap)) / ASPECT, a.height, page.height);
  return tries.reduce((best, a) => (size(a) < size(best) - 1 ? a : best));
}

/** The lowest columns into which the cards go in their order. */
function inColumns(heights: readonly number[], columns: number, gap: number): Arranged {
  let low = Math.max(...heights);
  let high = heights.reduce((sum, h) => sum + h + gap, 0);
  while (high - low > 1) {
    const limit = (low + high) / 2;
    if (filled(heights, limit, gap).columns <= columns) high = limit;
    else low = limit;
  }
  return filled(heights, high, gap);
}

function filled(heights: readonly number[], limit: number, gap: number): Arranged {
  let column = 0;
  let y = 0;
  let height = 0;
  const places = heights.map((h) => {
    if (y > 0 && y + h > limit) {
      column++;
      y = 0;
    }
    const place = { column, y };
    height = Math.max(height, y + h);
    y += h + gap;
    return place;
  });
  return { places, columns: column + 1, height };
}
