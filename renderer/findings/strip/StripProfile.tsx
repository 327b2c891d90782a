/** Three absorbances as measured and as fitted along a strip, with its bands: in CSS px, on the scan. */
import { useMemo } from 'react';
import type { StripDetail } from '../../../electron/backend/api.ts';
import { cssLab } from '../../look/Swatch.tsx';
import { niceSteps } from './niceSteps.ts';
import type { StripOverlayProps } from './StripOverlay.tsx';
import { type ProfileSize, spreadLabels, stripPlace } from './stripPlace.ts';

/** Dashes tell the three apart, so that no colour need be added to the measured ones. */
const CURVES = [
  { words: 'long waves', dashes: 'none' },
  { words: 'middle', dashes: '7 3' },
  { words: 'short', dashes: '2 3' },
] as const;
const HEAD = 20;
const BAR = 12;
/** Under a lying strip's curves: a line of labels. */
const FOOT = 24;

export function StripProfile({ detail, strip, dpi, pxPerScreen, size, bandWords, chosenBand }: StripOverlayProps) {
  const place = stripPlace(strip, detail.boxPx, dpi, pxPerScreen, size);
  const { standing, cornerPx, length, screenPerMm } = place;
  const across = standing ? size.plot + size.labels : size.lying;
  const room = { size, plot: standing ? size.plot : size.lying - FOOT };
  const ground = standing ? { width: across, height: length } : { width: length, height: across };
  return (
    <g transform={`translate(${cornerPx.join(' ')}) scale(${pxPerScreen})`} className="findings-profile">
      <rect {...ground} className="profile-ground" />
      {/* Along the strip is x here; a standing one is turned so that its curves grow away from it. */}
      <g transform={standing ? 'matrix(0 1 1 0 0 0)' : ''}>
        <Plot {...{ strip, length, screenPerMm, chosenBand, room }} />
      </g>
      <Scale {...{ strip, standing, length, room }} />
      {standing ? (
        <StandingLabels {...{ strip, length, screenPerMm, bandWords, chosenBand, room }} />
      ) : (
        <LyingLabels {...{ strip, length, screenPerMm, bandWords, chosenBand, room }} />
      )}
    </g>
  );
}

function mostOf({ absorbance, fitted }: StripDetail): number {
  let most = 0.05;
  for (const curve of [...absorbance, ...fitted]) for (const a of curve) most = Math.max(most, a);
  return most * 1.05;
}

/** Px across: the bar and the curves take `plot`. */
interface Room {
  readonly size: ProfileSize;
  readonly plot: number;
}

/** Along × across, CSS px: a bar of the bands' own colours, then the curves. */
function Plot({
  strip,
  length,
  screenPerMm,
  chosenBand,
  room: { plot },
}: {
  readonly strip: StripDetail;
  readonly length: number;
  readonly screenPerMm: number;
  readonly chosenBand: number | null;
  readonly room: Room;
}) {
  const { curves, most } = useMemo(() => {
    const path = (values: readonly number[]): string =>
      values.map((a, i) => `${i === 0 ? 'M' : 'L'}${strip.placesMm[i].toFixed(3)} ${a.toFixed(4)}`).join('');
    return { curves: { measured: strip.absorbance.map(path), fitted: strip.fitted.map(path) }, most: mostOf(strip) };
  }, [strip]);
  const curveSpace = `translate(0 ${BAR}) scale(${screenPerMm} ${(plot - BAR) / most})`;
  return (
    <g>
      {strip.bands.map((band) => (
        <rect
          key={band.band}
          className="profile-band"
          x={Math.min(band.fromMm, band.toMm) * screenPerMm}
          width={Math.abs(band.toMm - band.fromMm) * screenPerMm}
          y={0}
          height={band.band === chosenBand ? plot : BAR}
          fill={cssLab(band.lab)}
          fillOpacity={band.band === chosenBand ? 0.55 : 1}
        />
      ))}
      {[strip.originMm, strip.frontMm].map(
        (mm, i) =>
          mm !== null && (
            <path key={i === 0 ? 'origin' : 'front'} className="profile-end" d={`M${mm * screenPerMm} 0v${plot}`} />
          ),
      )}
      <path className="profile-zero" d={`M0 ${BAR}H${length}`} />
      <g transform={curveSpace} fill="none">
        {curves.fitted.map((d, i) => (
          <path key={CURVES[i].words} d={d} className="profile-fitted" vectorEffect="non-scaling-stroke" />
        ))}
        {curves.measured.map((d, i) => (
          <path
            key={CURVES[i].words}
            d={d}
            className="profile-measured"
            vectorEffect="non-scaling-stroke"
            strokeDasharray={CURVES[i].dashes}
          />
        ))}
      </g>
    </g>
  );
}

interface ScaleProps {
  readonly strip: StripDetail;
  readonly standing: boolean;
  readonly length: number;
  readonly room: Room;
}

/** Round absorbances at the panel's end, and which dash is which curve at its head. */
function Scale({ strip, standing, length, room: { size, plot } }: ScaleProps) {
  const most = mostOf(strip);
  const steps = niceSteps(most, plot > 100 ? 4 : 1);
  const at = (a: number): number => BAR + (a / most) * (plot - BAR);
  if (!standing) {
    return (
      <g className="profile-words">
        {steps.map((a) => (
          <text key={a} x={3} y={at(a) - 3}>
            {a}
          </text>
        ))}
      </g>
    );
  }
  return (
    <g className="profile-words">
      {steps.map((a) => (
        <text key={a} x={at(a)} y={length - 4} textAnchor="middle">
          {a}
        </text>
      ))}
      {size.words && (
        <>
          <text x={plot + 10} y={length - 4}>
            absorbance
          </text>
          <text x={plot + 46} y={15}>
            R
            <tspan dy={3} fontSize={9}>
              F
            </tspan>
          </text>
        </>
      )}
    </g>
  );
}

interface LabelProps {
  readonly strip: StripDetail;
  readonly length: number;
  readonly screenPerMm: number;
  readonly bandWords: ReadonlyMap<number, string>;
  readonly chosenBand: number | null;
  readonly room: Room;
}

function StandingLabels({ strip, length, screenPerMm, bandWords, chosenBand, room: { size, plot } }: LabelProps) {
  const bands = strip.bands.toSorted((a, b) => a.centreMm - b.centreMm);
  const ends = [
    { mm: strip.originMm, words: 'origin' },
    { mm: strip.frontMm, words: 'front' },
  ].flatMap(({ mm, words }) =>
    mm === null || !size.words ? [] : [{ at: mm * screenPerMm, words, band: null, lab: null }],
  );
  const all = [
    ...bands.map((b) => ({
      at: b.centreMm * screenPerMm,
      words: bandWords.get(b.band) ?? '',
      band: b.band,
      lab: b.lab,
    })),
    ...ends,
  ].toSorted((a, b) => a.at - b.at);
  const places = spreadLabels(
    all.map(({ at }) => at),
    HEAD,
    HEAD / 2,
    length - HEAD,
  );
  const left = plot + 12;
  return (
    <g>
      {all.map(({ at, words, band, lab }, i) => (
        <g key={band ?? words} {...(band !== null && band === chosenBand && { 'data-chosen': true })}>
          <path className="profile-lead" d={`M${plot - 2} ${at}L${left - 4} ${places[i]}`} />
          {band === null ? (
            <text className="profile-end-words" x={left} y={places[i] + 4.5}>
              {words}
            </text>
          ) : (
            <>
              <text className="profile-number" x={left} y={places[i] + 5}>
                {band}
              </text>
              <rect
                className="profile-swatch"
                x={left + 14}
                y={places[i] - 7}
                width={14}
                height={14}
                fill={cssLab(lab)}
              />
              {size.words && (
                <text x={left + 34} y={places[i] + 5}>
                  {words}
                </text>
              )}
            </>
          )}
        </g>
      ))}
    </g>
  );
}

function LyingLabels({ strip, length, screenPerMm, bandWords, chosenBand, room: { plot } }: LabelProps) {
  const bands = strip.bands.toSorted((a, b) => a.centreMm - b.centreMm);
  const wanted = bands.map((b) => b.centreMm * screenPerMm);
  const wide = 150;
  const roomy = bands.length * wide <= length;
  const places = spreadLabels(wanted, roomy ? wide : 40, roomy ? wide / 2 : 20, length - (roomy ? wide / 2 : 20));
  return (
    <g>
      {bands.map(({ band, lab }, i) => {
        const x = places[i] - (roomy ? wide / 2 - 6 : 16);
        const y = plot + 16;
        return (
          <g key={band} {...(band === chosenBand && { 'data-chosen': true })}>
            <text className="profile-number" x={x} y={y}>
              {band}
            </text>
            <rect className="profile-swatch" x={x + 12} y={y - 12} width={14} height={14} fill={cssLab(lab)} />
            {roomy && (
              <text x={x + 31} y={y}>
                {bandWords.get(band) ?? ''}
              </text>
            )}
          </g>
        );
      })}
      {[
        { mm: strip.originMm, words: 'origin' },
        { mm: strip.frontMm, words: 'front' },
      ].map(
        ({ mm, words }) =>
          mm !== null && (
            <text key={words} className="profile-end-words" x={mm * screenPerMm + 4} y={plot - 4}>
              {words}
            </text>
          ),
      )}
    </g>
  );
}
