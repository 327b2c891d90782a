/** A strip's size and directions, and how its lane and marks are painted on the paper that is there already. */
import type { Lane } from './lane.ts';
import { dye } from './laneColour.ts';
import type { LaneTable, StripMarks } from './laneColour.ts';
import type { Travel } from './options.ts';
import { turn } from './scene.ts';
import type { Band, Placement } from './scene.ts';

/** The strip of paper, and how much of the lid is seen around it. */
export const STRIP = { lengthMm: 104, breadthMm: 21, roundMm: 4 } as const;

export function paintLane(
  band: Band,
  place: Placement,
  travel: Travel,
  lane: Lane,
  colours: LaneTable | null,
  marks: StripMarks,
): void {
  const { data, widthPx, pxPerMm } = band;
  const { cos, sin } = turn(place);
  const half = STRIP.breadthMm / 2;
  for (let row = 0; row < band.rows; row++) {
    const dy = (band.firstRow + row + 0.5) / pxPerMm - place.centreMm[1];
    for (let x = 0, i = 3 * row * widthPx; x < widthPx; x++, i += 3) {
      const dx = (x + 0.5) / pxPerMm - place.centreMm[0];
      const [along, aside] = onStrip(travel, cos * dx + sin * dy, -sin * dx + cos * dy);
      if (Math.abs(aside) > half || along < 0 || along > STRIP.lengthMm) continue;
      const pencil = 1 - lane.pencil(along, aside);
      const tide = Math.exp(
        -0.5 * ((along - lane.frontAt - lane.tide(aside)) / (along > lane.frontAt ? 0.25 : 0.7)) ** 2,
      );
      for (let c = 0; c < 3; c++) data[i + c] *= pencil * (1 - tide * (1 - marks.tide[c]));
      if (!colours) continue;
      const { height, fill } = lane.at(along, aside);
      if (fill > 0.002) dye(data, i, colours, height, fill);
    }
  }
}

/** From mm about the strip's middle (x right, y down) to mm along the travel and aside of the strip's middle line. */
function onStrip(travel: Travel, x: number, y: number): [along: number, aside: number] {
  const half = STRIP.lengthMm / 2;
  if (travel === 'up') return [half - y, x];
  if (travel === 'down') return [half + y, -x];
  if (travel === 'right') return [half + x, y];
  return [half - x, -y];
}

/** The point on the strip's middle line, in the strip's own mm. */
export function stripPoint(travel: Travel, along: number): readonly [number, number] {
  const middle = STRIP.breadthMm / 2;
  if (travel === 'up') return [middle, STRIP.lengthMm - along];
  if (travel === 'down') return [middle, along];
  if (travel === 'right') return [along, middle];
  return [STRIP.lengthMm - along, middle];
}
