/** The middle of a dark disc to a small part of a pixel. */
import { greyAt, type GreyRaster } from '../greyRaster.ts';

const RAYS = 96;
/** Crossings further from the circle than this many median departures are dirt or writing that touches. */
const OUTLIER = 3;

export interface DiscCentre {
  readonly x: number;
  readonly y: number;
  readonly radiusPx: number;
  /** Root mean square distance of the crossings from the circle, px. */
  readonly scatterPx: number;
}

/**
 * Half-way crossings of the rim along rays, then a circle through them. Blur, coding and uneven light move all crossings
 * outwards or inwards alike, which changes the radius and not the middle. Null when fewer than half of the rays cross.
 */
export function discCentre(scan: GreyRaster, xPx: number, yPx: number, radiusPx: number): DiscCentre | null {
  let centre: DiscCentre = { x: xPx, y: yPx, radiusPx, scatterPx: 0 };
  for (let round = 0; round < 3; round++) {
    const points = crossings(scan, centre.x, centre.y, radiusPx);
    if (points.length < RAYS / 2) return null;
    centre = circleThrough(points);
    const distances = points.map((p) => Math.abs(Math.hypot(p[0] - centre.x, p[1] - centre.y) - centre.radiusPx));
    const typical = [...distances].sort((a, b) => a - b)[distances.length >> 1];
    const kept = points.filter((_, i) => distances[i] <= OUTLIER * typical + 0.05);
    if (kept.length < RAYS / 2) return null;
    centre = circleThrough(kept);
  }
  return Math.hypot(centre.x - xPx, centre.y - yPx) < 0.5 * radiusPx ? centre : null;
}

function crossings(scan: GreyRaster, x: number, y: number, radiusPx: number): [number, number][] {
  const reach = Math.max(0.3 * radiusPx, 2);
  const step = Math.min(0.5, radiusPx / 40);
  const out: [number, number][] = [];
  for (let k = 0; k < RAYS; k++) {
    const angle = (2 * Math.PI * k) / RAYS;
    const cos = Math.cos(angle);
    const sin = Math.sin(angle);
    const at = (radius: number): number => greyAt(scan, x + radius * cos, y + radius * sin);
    const dark = (at(radiusPx - reach) + at(radiusPx - reach + step)) / 2;
    const light = (at(radiusPx + reach) + at(radiusPx + reach - step)) / 2;
    if (light - dark < 0.08) continue;
    const half = (dark + light) / 2;
    let before = at(radiusPx - reach);
    for (let radius = radiusPx - reach + step; radius <= radiusPx + reach; radius += step) {
      const value = at(radius);
      if (before < half && value >= half) {
        const exact = radius - step + (step * (half - before)) / (value - before);
        out.push([x + exact * cos, y + exact * sin]);
        break;
      }
      before = value;
    }
  }
  return out;
}

/** Least squares of x² + y² = 2ax + 2by + c (Kåsa 1976, IEEE Trans. Instrum. Meas. 25(1), 8–14), about the points' mean. */
function circleThrough(points: readonly (readonly [number, number])[]): DiscCentre {
  const n = points.length;
  const mx = points.reduce((sum, p) => sum + p[0], 0) / n;
  const my = points.reduce((sum, p) => sum + p[1], 0) / n;
  let xx = 0;
  let xy = 0;
  let yy = 0;
  let xz = 0;
  let yz = 0;
  let z = 0;
  for (const [px, py] of points) {
    const x = px - mx;
    const y = py - my;
    const square = x * x + y * y;
    xx += x * x;
    xy += x * y;
    yy += y * y;
    xz += x * square;
    yz += y * square;
    z += square;
  }
  const determinant = xx * yy - xy * xy;
  const a = (xz * yy - yz * xy) / (2 * determinant);
  const b = (yz * xx - xz * xy) / (2 * determinant);
  const radiusPx = Math.sqrt(z / n + a * a + b * b);
  const scatter = points.reduce((sum, [px, py]) => sum + (Math.hypot(px - mx - a, py - my - b) - radiusPx) ** 2, 0);
  return { x: mx + a, y: my + b, radiusPx, scatterPx: Math.sqrt(scatter / n) };
}
