/**
 * The engine asks for every tile of a view, at every change, whether it lies in view: by corners and edges, as turned boxes need it,
 * with some hundred small objects for each. Scans are not turned; 4 to 13 MB of garbage a page came of it.
 */
import OpenSeadragon from 'openseadragon';

/** As the engine has it: boxes that touch have something in common. */
const TOUCHES = 1e-10;

const { Rect } = OpenSeadragon;

/** The part that both have; null: none. */
function commonPart(p: OpenSeadragon.Rect, q: OpenSeadragon.Rect): OpenSeadragon.Rect | null {
  const left = Math.max(p.x, q.x);
  const top = Math.max(p.y, q.y);
  const width = Math.min(p.x + p.width, q.x + q.width) - left;
  const height = Math.min(p.y + p.height, q.y + q.height) - top;
  if (width < -TOUCHES || height < -TOUCHES) return null;
  return new Rect(left, top, Math.max(0, width), Math.max(0, height));
}

/** Once for the engine. */
export function askStraightBoxes(): void {
  const turned: unknown = Reflect.get(Rect.prototype, 'intersection');
  if (typeof turned !== 'function') throw new Error('the engine’s boxes have no common part; correct straightBoxes.ts');
  Object.assign(Rect.prototype, {
    intersection(this: OpenSeadragon.Rect, other: OpenSeadragon.Rect): unknown {
      const isStraight = this.degrees === 0 && other.degrees === 0;
      return isStraight ? commonPart(this, other) : Reflect.apply(turned, this, [other]);
    },
  });
}
