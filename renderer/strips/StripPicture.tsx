/** A strip laid straight, the liquid running to the right, with its bands, its ends and R_F along it. */
import { type CSSProperties, type PointerEvent, useRef, useState } from 'react';
import { fixed } from '../../analysis/report/valueText.ts';
import type { StripDetail } from '../../electron/backend/api.ts';
import { niceSteps } from '../findings/strip/niceSteps.ts';
import { spreadLabels } from '../findings/strip/stripPlace.ts';
import { cssLab } from '../look/Swatch.tsx';
import { Words } from '../reading/Words.tsx';
import type { BandFigures } from './bandFigures.ts';
import { FIELD_EDGES, laneColours } from './profileSvg.ts';
import type { RunAxis } from './runAxis.ts';
import { RunHandle } from './RunHandle.tsx';
import { endWords, placeOfRF, rFAt, roomOf, type StripEnd } from './stripEnds.ts';
import type { StripLine } from '../scans/stripLines.ts';
import { type ShownRun, usePanOrClick, useWheelZoom } from './useRunView.ts';

export interface StripPictureProps {
  readonly src: string;
  readonly name: string;
  readonly axis: RunAxis;
  /** Of the box across the run, mm. */
  readonly acrossMm: number;
  readonly travel: StripDetail['travel'];
  /** Null: not measured yet. */
  readonly detail: StripDetail | null;
  readonly bands: readonly BandFigures[];
  readonly ends: readonly StripEnd[];
  readonly chosen: readonly number[];
  readonly shown: ShownRun;
  readonly width: number;
  /** Where a new band would be, mm of the box; null: none is being added. */
  readonly adding: number | null;
  readonly onChoose: (band: number, more: boolean) => void;
  readonly onEndMove: (line: StripLine, mm: number) => void;
  readonly onEndDone: (line: StripLine, mm: number) => void;
  readonly onEndLetGo: () => void;
  readonly onEndFind: (line: StripLine) => void;
  readonly onAdding: (mm: number) => void;
  readonly onAdd: (mm: number) => void;
}

const LEAST_PICTURE = 96;
const MOST_PICTURE = 330;
/** Of labels, rem: with R_F and a name, and with R_F alone. */
const LABEL_REM = 11.5;
const NARROW_LABEL_REM = 8.5;

export function StripPicture(props: StripPictureProps) {
  const { src, name, axis, acrossMm, travel, detail, bands, ends, chosen, shown, width, adding } = props;
  const [failed, setFailed] = useState<string | null>(null);
  const frame = useRef<HTMLDivElement>(null);
  useWheelZoom(frame, shown);
  const fieldPx = width - FIELD_EDGES.left - FIELD_EDGES.right;
  const height = Math.min(MOST_PICTURE, Math.max(LEAST_PICTURE, (acrossMm * fieldPx) / axis.lengthMm));
  const bandAt = (mm: number): number | null =>
    bands
      .filter(({ fromMm, toMm }) => mm >= fromMm && mm <= toMm)
      .toSorted((a, b) => Math.abs(a.centreMm - mm) - Math.abs(b.centreMm - mm))[0]?.band ?? null;
  const hands = usePanOrClick(shown, (mm, event: PointerEvent) => {
    if (adding !== null) {
      props.onAdd(mm);
      return;
    }
    const band = bandAt(mm);
    if (band !== null) props.onChoose(band, event.shiftKey);
  });
  const start = shown.toX(axis.falls ? axis.lengthMm : 0);
  const inSight = (mm: number): boolean => {
    const x = shown.toX(mm);
    return x >= FIELD_EDGES.left - 1 && x <= width - FIELD_EDGES.right + 1;
  };
  return (
    <div
      className="strip-picture"
      style={cssVariables({ '--field-left': `${FIELD_EDGES.left}px`, '--field-right': `${FIELD_EDGES.right}px` })}
    >
      <RFScale ends={ends} shown={shown} inSight={inSight} />
      <div className="strip-frame" ref={frame} style={{ height }} data-adding={adding !== null} {...hands}>
        <div className="strip-field">
          {failed === src ? (
            <p className="strip-missing">The strip cannot be shown: its scan cannot be read just now.</p>
          ) : (
            <img
              src={src}
              alt={`${name} laid straight, the liquid running to the right`}
              draggable={false}
              style={{ left: start - FIELD_EDGES.left, width: axis.lengthMm * shown.pxPerMm }}
              onError={() => setFailed(src)}
            />
          )}
          {bands.map(({ band, fromMm, toMm }) => {
            const [a, b] = [shown.toX(fromMm), shown.toX(toMm)];
            return (
              <span
                key={band}
                className="strip-span"
                data-chosen={chosen.includes(band)}
                style={{ left: Math.min(a, b) - FIELD_EDGES.left, width: Math.abs(b - a) }}
              />
            );
          })}
        </div>
        {ends.map((end) =>
          end.mm === null || !inSight(end.mm) ? null : (
            <RunHandle
              key={end.line}
              name={end.line === 'origin' ? 'Origin' : 'Front'}
              flag={`${end.line} ${fixed(end.mm, 2)} mm, ${end.by}`}
              spoken={endWords(end, travel)}
              mm={end.mm}
              room={roomOf(end, ends, axis.lengthMm)}
              shown={shown}
              falls={axis.falls}
              kind={end.by === 'given' ? 'given' : 'found'}
              flagLeft={shown.toX(end.mm) > width - 190}
              onMove={(mm) => props.onEndMove(end.line, mm)}
              onDone={(mm) => props.onEndDone(end.line, mm)}
              onLetGo={props.onEndLetGo}
              onDelete={() => props.onEndFind(end.line)}
            />
          ),
        )}
        {adding !== null && (
          <RunHandle
            name="Place of the new band"
            flag={addingFlag(ends, adding)}
            spoken={`${addingFlag(ends, adding)}; Enter adds a band here`}
            mm={adding}
            room={[0, axis.lengthMm]}
            shown={shown}
            falls={axis.falls}
            kind="new"
            flagLeft={shown.toX(adding) > width - 190}
            onMove={props.onAdding}
            onDone={props.onAdding}
            onEnter={() => props.onAdd(adding)}
          />
        )}
      </div>
      {detail ? <LaneBar detail={detail} shown={shown} /> : <div className="strip-lane" />}
      <BandLabels {...{ bands, chosen, shown, width, inSight }} onChoose={props.onChoose} />
    </div>
  );
}

function addingFlag(ends: readonly StripEnd[], mm: number): string {
  const rF = rFAt(ends, mm);
  return rF === null ? `${fixed(mm, 1)} mm` : `new band, R_F ${fixed(rF, 3)}`;
}

interface ScaleProps {
  readonly ends: readonly StripEnd[];
  readonly shown: ShownRun;
  readonly inSight: (mm: number) => boolean;
}

/** R_F over the strip, where both ends are known. */
function RFScale({ ends, shown, inSight }: ScaleProps) {
  const places = niceSteps(1, shown.pxPerMm > 18 ? 20 : 5).flatMap((rF) => {
    const mm = placeOfRF(ends, rF);
    return mm === null || !inSight(mm) ? [] : [{ rF, x: shown.toX(mm) }];
  });
  return (
    <div className="strip-rf" aria-hidden="true">
      {placeOfRF(ends, 0) !== null && (
        <span className="strip-rf-name">
          R<sub>F</sub>
        </span>
      )}
      {places.map(({ rF, x }) => (
        <span key={rF} className="strip-rf-tick" style={{ left: x }}>
          {fixed(rF, shown.pxPerMm > 18 ? 2 : 1)}
        </span>
      ))}
    </div>
  );
}

/** The lane's measured colour at each place, as a bar without the paper around it. */
function LaneBar({ detail, shown }: { readonly detail: StripDetail; readonly shown: ShownRun }) {
  return (
    <div className="strip-lane" aria-hidden="true">
      {laneColours(detail).map(({ fromMm, toMm, lab }) => {
        const [a, b] = [shown.toX(fromMm), shown.toX(toMm)];
        const left = Math.min(a, b) - FIELD_EDGES.left;
        return <span key={fromMm} style={{ left, width: Math.abs(b - a) + 0.6, backgroundColor: cssLab(lab) }} />;
      })}
    </div>
  );
}

interface LabelProps {
  readonly bands: readonly BandFigures[];
  readonly chosen: readonly number[];
  readonly shown: ShownRun;
  readonly width: number;
  readonly inSight: (mm: number) => boolean;
  readonly onChoose: (band: number, more: boolean) => void;
}

/** One button a band under its place: number, colour, R_F, name. */
function BandLabels({ bands, chosen, shown, width, inSight, onChoose }: LabelProps) {
  const there = bands
    .filter(({ centreMm }) => inSight(centreMm))
    .map((band) => ({ band, x: shown.toX(band.centreMm) }))
    .toSorted((a, b) => a.x - b.x);
  const room = (width - FIELD_EDGES.left - FIELD_EDGES.right) / Math.max(1, there.length);
  const rem = Number.parseFloat(getComputedStyle(document.documentElement).fontSize);
  // On a very narrow window numbers and colours alone; the table under the profile has the rest.
  const isTight = room < NARROW_LABEL_REM * rem;
  const wide = isTight ? room : Math.min(LABEL_REM * rem, room);
  const places = spreadLabels(
    there.map(({ x }) => x),
    wide + 2,
    FIELD_EDGES.left + wide / 2,
    width - FIELD_EDGES.right - wide / 2,
  );
  return (
    <fieldset className="strip-labels" aria-label="Bands" data-tight={isTight}>
      <svg aria-hidden="true" width={width} height={14}>
        {there.map(({ band: { band }, x }, i) => (
          <path key={band} d={`M${x} 0V3L${places[i]} 11V14`} />
        ))}
      </svg>
      {there.map(({ band }, i) => (
        <button
          key={band.band}
          type="button"
          className="strip-label"
          style={{ left: places[i] - wide / 2, width: wide }}
          aria-pressed={chosen.includes(band.band)}
          onClick={(event) => onChoose(band.band, event.shiftKey)}
        >
          <span className="strip-label-head">
            <b>
              <span className="visually-hidden">Band </span>
              {band.band}
            </b>
            <span className="strip-swatch" style={{ backgroundColor: cssLab(band.lab) }} />
            {band.rFWords === '' ? (
              `${fixed(band.centreMm, 1)} mm`
            ) : (
              <span className="strip-label-place">
                <Words>{`R_F ${band.rFWords}`}</Words>
              </span>
            )}
          </span>
          <span className="strip-label-name">
            <Words>{band.name}</Words>
          </span>
        </button>
      ))}
    </fieldset>
  );
}

/** Custom properties are no part of React's own style type. */
function cssVariables(values: Readonly<Record<`--${string}`, string>>): CSSProperties {
  return values;
}
