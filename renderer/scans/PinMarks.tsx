import type { ViewPlace } from '../viewer/viewPlace.ts';
import type { Pin, PinBoard } from './pins.ts';
import { ARROWS } from './arrows.ts';
import { Cased } from './Cased.tsx';
import { MARK_BUTTON } from './markButton.ts';

export interface PinMarksProps {
  readonly board: PinBoard;
  readonly scan: string;
  readonly radiusPx: number;
  readonly place: ViewPlace;
  readonly onMove: (pin: Pin, xPx: number, yPx: number) => void;
  /** Mm that an arrow key moves, as px of the scan. */
  readonly stepPx: number;
}

/** Pinned colours: a ring as large as what is averaged, with its number; the reference has two rings. */
export function PinMarks({ board, scan, radiusPx, place, onMove, stepPx }: PinMarksProps) {
  const unit = place.pxPerScreen;
  // Never too small to be seen and caught.
  const ring = Math.max(radiusPx, 6 * unit);
  return board.pins
    .filter((pin) => pin.scan === scan)
    .map((pin) => (
      <g
        key={pin.id}
        className="pin-mark"
        {...MARK_BUTTON}
        aria-label={`Pinned colour ${pin.id}${pin.id === board.reference ? ', the reference' : ''}: arrows move it`}
        onKeyDown={(event) => {
          const way = ARROWS[event.key];
          if (!way || event.ctrlKey || event.altKey) return;
          event.preventDefault();
          const far = event.shiftKey ? 10 : 1;
          onMove(pin, pin.xPx + way[0] * far * stepPx, pin.yPx + way[1] * far * stepPx);
        }}
      >
        <Cased>{(casing) => <circle className={casing} cx={pin.xPx} cy={pin.yPx} r={ring} />}</Cased>
        {pin.id === board.reference && (
          <Cased>{(casing) => <circle className={casing} cx={pin.xPx} cy={pin.yPx} r={ring + 5 * unit} />}</Cased>
        )}
        <text className="mark-words" x={pin.xPx + ring + 8 * unit} y={pin.yPx + 5 * unit} fontSize={13 * unit}>
          {pin.id}
        </text>
      </g>
    ));
}
