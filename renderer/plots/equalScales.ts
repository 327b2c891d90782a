/** Two axes with one scale: a unit across is as long as a unit up. */

export interface Extent {
  readonly low: number;
  readonly high: number;
}

export interface Frame {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

export interface EqualScales {
  readonly x: Extent;
  readonly y: Extent;
  /** px per unit, the same both ways. */
  readonly pxPerUnit: number;
  readonly toX: (value: number) => number;
  readonly toY: (value: number) => number;
}

/**
 * The smallest window of equal scales that holds both extents with some room around.
 * @param frame Edges of the plot's field in px.
 * @param leastSpan What is shown at least, units: a single point is no reason to zoom into its noise.
 */
export function equalScales(across: Extent, up: Extent, frame: Frame, leastSpan = 20): EqualScales {
  const widthPx = frame.right - frame.left;
  const heightPx = frame.bottom - frame.top;
  const room = 1.08;
  const spanX = Math.max(leastSpan, (across.high - across.low) * room);
  const spanY = Math.max(leastSpan, (up.high - up.low) * room);
  const pxPerUnit = Math.min(widthPx / spanX, heightPx / spanY);
  const x = around(across, widthPx / pxPerUnit);
  const y = around(up, heightPx / pxPerUnit);
  return {
    x,
    y,
    pxPerUnit,
    toX: (value) => frame.left + (value - x.low) * pxPerUnit,
    toY: (value) => frame.bottom - (value - y.low) * pxPerUnit,
  };
}

function around({ low, high }: Extent, span: number): Extent {
  const middle = (low + high) / 2;
  return { low: middle - span / 2, high: middle + span / 2 };
}

/** @throws nothing: no values give 0 to 0. */
export function extentOf(values: readonly number[]): Extent {
  if (values.length === 0) return { low: 0, high: 0 };
  return { low: Math.min(...values), high: Math.max(...values) };
}
