/** Millimetres along the top and the left edge of a view, and a scale bar in its corner. */
import { type PointerPlace, usePointerPlace } from './pointerPlace.ts';
import { rulerMarks, scaleBarMm } from './rulerSteps.ts';
import type { ViewPlace } from './viewPlace.ts';

export const RULER_WIDTH = 22;
const SHORT = RULER_WIDTH - 5;
const LONG = RULER_WIDTH - 10;

export interface RulersProps {
  readonly place: ViewPlace;
  readonly pxPerMm: number;
  readonly pointer: PointerPlace;
}

export function Rulers({ place, pxPerMm, pointer }: RulersProps) {
  const screenPerMm = pxPerMm * place.screenPerPx;
  const [left, top, width, height] = place.boxPx.map((px) => px / pxPerMm);
  // In px, as the marks are (ScanViewer.tsx); one more than the rounded size, which would show what is behind.
  const across = place.size.width + 1;
  const down = place.size.height + 1;
  return (
    <>
      <svg className="viewer-ruler viewer-ruler-top" width={across} height={RULER_WIDTH} aria-hidden="true">
        {rulerMarks(left, left + width, screenPerMm).map(({ mm, label }) => (
          <g key={mm} transform={`translate(${(mm - left) * screenPerMm} 0)`}>
            <line y1={label === null ? SHORT : LONG} y2={RULER_WIDTH} />
            {label !== null && (
              <text x={3} y={RULER_WIDTH - 9}>
                {label}
              </text>
            )}
          </g>
        ))}
        <PointerMark place={place} pointer={pointer} along={0} />
      </svg>
      <svg className="viewer-ruler viewer-ruler-left" width={RULER_WIDTH} height={down} aria-hidden="true">
        {rulerMarks(top, top + height, screenPerMm).map(({ mm, label }) => (
          <g key={mm} transform={`translate(0 ${(mm - top) * screenPerMm})`}>
            <line x1={label === null ? SHORT : LONG} x2={RULER_WIDTH} />
            {label !== null && <text transform={`translate(${RULER_WIDTH - 9} -3) rotate(-90)`}>{label}</text>}
          </g>
        ))}
        <PointerMark place={place} pointer={pointer} along={1} />
      </svg>
      <span className="viewer-ruler-corner" aria-hidden="true">
        mm
      </span>
    </>
  );
}

interface PointerMarkProps {
  readonly place: ViewPlace;
  readonly pointer: PointerPlace;
  readonly along: 0 | 1;
}

function PointerMark({ place, pointer, along }: PointerMarkProps) {
  const at = usePointerPlace(pointer);
  if (!at) return null;
  const where = place.toScreen(at)[along];
  return along === 0 ? (
    <line className="viewer-ruler-pointer" x1={where} x2={where} y1={0} y2={RULER_WIDTH} />
  ) : (
    <line className="viewer-ruler-pointer" y1={where} y2={where} x1={0} x2={RULER_WIDTH} />
  );
}

export function ScaleBar({ screenPerMm }: { readonly screenPerMm: number }) {
  const mm = scaleBarMm(screenPerMm, 120);
  return (
    <span className="viewer-scale-bar">
      <span style={{ width: mm * screenPerMm }} />
      {mm} mm
    </span>
  );
}

/** The pointer's place in mm, of one width whatever it says. */
export function PointerFigure({
  pointer,
  pxPerMm,
}: {
  readonly pointer: PointerPlace;
  readonly pxPerMm: number | null;
}) {
  const at = usePointerPlace(pointer);
  const text =
    at && (pxPerMm === null ? at.map((px) => px.toFixed(0)) : at.map((px) => (px / pxPerMm).toFixed(2))).join(', ');
  return (
    <span className="viewer-pointer-figure">{text === null ? '' : `${text} ${pxPerMm === null ? 'px' : 'mm'}`}</span>
  );
}
