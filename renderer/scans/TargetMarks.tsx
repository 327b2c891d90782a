import { Fragment } from 'react';
import type { TargetGrid, TargetView } from '../../electron/backend/api.ts';
import { fixed } from '../../analysis/report/valueText.ts';
import type { Point } from '../../analysis/raster/homography.ts';
import { cssLab } from '../look/Swatch.tsx';
import type { ViewPlace } from '../viewer/viewPlace.ts';
import { ARROWS } from './arrows.ts';
import { Cased } from './Cased.tsx';
import { MARK_BUTTON } from './markButton.ts';
import { gridAt } from './targetCorners.ts';
import { POINT_NAMES } from './targetsOn.ts';
import type { FourPoints } from './targetsOn.ts';
import { worstPatches } from './worstPatches.ts';

export interface TargetMarksProps {
  /** Null: not calibrated (yet), or not as the points lie now. */
  readonly view: TargetView | null;
  /** What the points are of; null: not known yet. */
  readonly grid: TargetGrid | null;
  /** Whether a person says where the points lie: the reference's colours then show whether they are in the right order. */
  readonly isByHand: boolean;
  /** As they are shown now, px of the scan. */
  readonly points: FourPoints | null;
  readonly place: ViewPlace;
  /** Px of the scan that an arrow key moves a point by. */
  readonly stepPx: number;
  readonly onMovePoint: (index: number, byX: number, byY: number) => void;
}

/** CSS px. */
const LEAST_PATCH = 28;

/** A target's grid: patches, the worst of them with a cross and their ΔE00, and its four points. */
export function TargetMarks({ view, grid, isByHand, points, place, stepPx, onMovePoint }: TargetMarksProps) {
  const unit = place.pxPerScreen;
  const worst = view ? worstPatches(view.patches) : [];
  const patches = grid && points ? gridAt(grid, points) : null;
  // From afar the figures would hide the patches; the panel says them, too.
  const legible = worst.filter(({ cornersPx: [a, b] }) => Math.hypot(b[0] - a[0], b[1] - a[1]) > LEAST_PATCH * unit);
  return (
    <g className="target-marks">
      {patches?.map(({ id, cornersPx, middlePx, lab }) => (
        <Fragment key={id}>
          <polygon className="target-patch-casing" points={cornersPx.map((p) => p.join(',')).join(' ')} />
          <polygon className="target-patch" points={cornersPx.map((p) => p.join(',')).join(' ')} />
          {isByHand && lab && (
            <polygon
              className="target-colour"
              style={{ fill: cssLab(lab) }}
              points={middlePx.map((p) => p.join(',')).join(' ')}
            />
          )}
        </Fragment>
      ))}
      {worst.map(({ id, cornersPx }) => (
        <Cased key={id}>{(casing) => <path className={casing} d={crossed(cornersPx)} />}</Cased>
      ))}
      {legible.map(({ id, cornersPx: [a, , c], dE00LeftOut }) => (
        // Within its patch, where neither a neighbour's figure nor a point's number is.
        <text
          key={id}
          className="mark-words"
          textAnchor="middle"
          x={(a[0] + c[0]) / 2}
          y={(a[1] + c[1]) / 2 + 5 * unit}
          fontSize={13 * unit}
        >
          {fixed(dE00LeftOut, 1)}
        </text>
      ))}
      {points && <polygon className="target-frame" points={points.map((p) => p.join(',')).join(' ')} />}
      {points?.map(([x, y], index) => (
        <g
          key={POINT_NAMES[index]}
          className="target-point"
          {...MARK_BUTTON}
          aria-label={`Target point ${index + 1}, ${POINT_NAMES[index]}: arrows move it, with Shift or Alt farther`}
          onKeyDown={(event) => {
            const way = ARROWS[event.key];
            if (!way || event.ctrlKey) return;
            event.preventDefault();
            const far = event.altKey ? 100 : event.shiftKey ? 10 : 1;
            onMovePoint(index, way[0] * far * stepPx, way[1] * far * stepPx);
          }}
        >
          <Cased>
            {(casing) => (
              <path
                className={casing}
                d={`M${x - 12 * unit},${y}H${x + 12 * unit}M${x},${y - 12 * unit}V${y + 12 * unit}`}
              />
            )}
          </Cased>
          <Cased>{(casing) => <circle className={casing} cx={x} cy={y} r={7 * unit} />}</Cased>
          <text className="mark-words" x={x + 10 * unit} y={y - 8 * unit} fontSize={13 * unit}>
            {index + 1}
          </text>
        </g>
      ))}
    </g>
  );
}

/** The patch's outline and both diagonals. */
function crossed([a, b, c, d]: readonly Point[]): string {
  return `M${a.join(',')}L${b.join(',')}L${c.join(',')}L${d.join(',')}ZM${a.join(',')}L${c.join(',')}M${b.join(',')}L${d.join(',')}`;
}
