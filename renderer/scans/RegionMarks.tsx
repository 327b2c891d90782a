import type { KeyboardEvent } from 'react';
import { fixed } from '../../analysis/report/valueText.ts';
import type { SheetRegion } from '../../electron/backend/api.ts';
import { type Box, nameAtBox, nameWidth } from '../viewer/nameAtBox.ts';
import type { ViewPlace } from '../viewer/viewPlace.ts';
import { Cased } from './Cased.tsx';
import { MARK_BUTTON } from './markButton.ts';
import { HANDLES, handlePoint } from './regionGeometry.ts';
import { fieldsOf, kindWord } from './regionKinds.ts';
import { boxInPx } from './scanMeasures.ts';
import { stripLinePlace, stripRunsAcross } from './stripLines.ts';
import type { StripLine, StripRegion } from './stripLines.ts';

export interface RegionMarksProps {
  readonly regions: readonly SheetRegion[];
  readonly chosen: readonly string[];
  readonly pxPerMm: number;
  readonly place: ViewPlace;
  /** Reached by Tab. */
  readonly onFocus: (region: SheetRegion) => void;
  /** Enter on its box. */
  readonly onEnter: () => void;
  /** A chosen strip's origin or front was moved by an arrow, mm from its box's edge. */
  readonly onMoveLine: (strip: StripRegion, line: StripLine, mm: number) => void;
}

/** Boxes of regions over a scan: the chosen ones with handles and, for strips, their two lines. */
export function RegionMarks({ regions, chosen, pxPerMm, place, onFocus, onEnter, onMoveLine }: RegionMarksProps) {
  const boxes = regions.flatMap(({ boxMm }) => (boxMm ? [boxInPx(boxMm, pxPerMm)] : []));
  return regions.map((region) =>
    region.boxMm ? (
      <RegionMark
        key={region.id}
        region={region}
        chosen={chosen.includes(region.id)}
        handles={chosen.length === 1 && chosen[0] === region.id}
        pxPerMm={pxPerMm}
        place={place}
        boxes={boxes}
        onFocus={() => onFocus(region)}
        onEnter={onEnter}
        onMoveLine={onMoveLine}
      />
    ) : null,
  );
}

/** Where a name stands, CSS px from its box's corner. */
const ABOVE = { x: 2, y: -5 } as const;

interface RegionMarkProps {
  readonly region: SheetRegion;
  readonly chosen: boolean;
  readonly handles: boolean;
  readonly pxPerMm: number;
  readonly place: ViewPlace;
  /** Those of all regions. */
  readonly boxes: readonly Box[];
  readonly onFocus: () => void;
  readonly onEnter: () => void;
  readonly onMoveLine: RegionMarksProps['onMoveLine'];
}

function RegionMark({ region, chosen, handles, pxPerMm, place, boxes, onFocus, onEnter, onMoveLine }: RegionMarkProps) {
  if (!region.boxMm) return null;
  const { boxMm } = region;
  const [x, y, width, height] = boxInPx(boxMm, pxPerMm);
  const unit = place.pxPerScreen;
  const side = 9 * unit;
  return (
    <g className="region-mark" data-chosen={chosen}>
      <g
        {...MARK_BUTTON}
        data-region={region.id}
        aria-pressed={chosen}
        aria-label={regionLabel(region)}
        onFocus={onFocus}
        onKeyDown={(event) => {
          if (event.key !== 'Enter' || event.ctrlKey || event.metaKey || event.altKey) return;
          event.preventDefault();
          onEnter();
        }}
      >
        <Cased>{(casing) => <rect className={casing} x={x} y={y} width={width} height={height} />}</Cased>
      </g>
      {region.kind === 'strip' && (
        <StripMarks strip={region} pxPerMm={pxPerMm} unit={unit} chosen={chosen} onMoveLine={onMoveLine} />
      )}
      {(chosen || width > nameWidth(region.id, unit)) && (
        <g transform={`translate(${x} ${y}) scale(${unit})`}>
          <text
            className="mark-words region-name"
            {...nameAtBox([x, y, width, height], region.id, ABOVE, boxes, unit)}
            fontSize={chosen ? 15 : 13}
          >
            {region.id}
          </text>
        </g>
      )}
      {handles &&
        HANDLES.map((handle) => {
          const [hx, hy] = handlePoint(boxMm, handle);
          return (
            <rect
              key={handle}
              className="mark-handle"
              x={hx * pxPerMm - side / 2}
              y={hy * pxPerMm - side / 2}
              width={side}
              height={side}
            />
          );
        })}
    </g>
  );
}

interface StripMarksProps {
  readonly strip: StripRegion;
  readonly pxPerMm: number;
  readonly unit: number;
  readonly chosen: boolean;
  readonly onMoveLine: RegionMarksProps['onMoveLine'];
}

function StripMarks(props: StripMarksProps) {
  return (['origin', 'front'] as const).map((line) => <StripLineMark key={line} line={line} {...props} />);
}

/** What makes a line a slider for the keyboard and for screen readers: SVG has none of its own. */
const SLIDER = { role: 'slider', tabIndex: 0 } as const;
const STEP_MM = 0.1;
const LARGE_MM = 1;

function StripLineMark(props: StripMarksProps & { readonly line: StripLine }) {
  const { strip, line, pxPerMm, unit, chosen, onMoveLine } = props;
  const at = stripLinePlace(strip, line);
  if (at === null || !strip.boxMm) return null;
  const [x, y, width, height] = boxInPx(strip.boxMm, pxPerMm);
  const across = stripRunsAcross(strip);
  const [x1, y1] = across ? [x + at * pxPerMm, y] : [x, y + at * pxPerMm];
  const [x2, y2] = across ? [x1, y + height] : [x + width, y1];
  const press = (event: KeyboardEvent): void => {
    const way = { ArrowDown: 1, ArrowRight: 1, ArrowUp: -1, ArrowLeft: -1 }[event.key];
    if (way === undefined || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    onMoveLine(strip, line, at + way * (event.shiftKey ? LARGE_MM : STEP_MM));
  };
  const hands = chosen && {
    ...SLIDER,
    onKeyDown: press,
    'aria-label': line === 'origin' ? 'Origin' : 'Front',
    'aria-valuenow': at,
    'aria-valuemin': 0,
    'aria-valuemax': strip.boxMm[across ? 2 : 3],
    'aria-valuetext': `${fixed(at, 2)} mm from the box’s ${across ? 'left' : 'top'} edge`,
    'aria-orientation': across ? ('horizontal' as const) : ('vertical' as const),
  };
  return (
    <g {...hands}>
      <Cased>
        {(casing) => <line className={casing} data-dashed={line === 'front'} x1={x1} y1={y1} x2={x2} y2={y2} />}
      </Cased>
      {chosen && (
        <text className="mark-words" x={x2 + 5 * unit} y={y2 + 4 * unit} fontSize={13 * unit}>
          {line} {fixed(at, 2)} mm
        </text>
      )}
    </g>
  );
}

function regionLabel(region: SheetRegion): string {
  const { nib } = fieldsOf(region);
  return `${kindWord(region.kind)} “${region.id}”${nib === undefined ? '' : `, nib ${nib}`}`;
}
