/** Draws the ink's absorption over a strip of the spectrum. */
import * as Plot from '@observablehq/plot';
import type { Surface } from '../plots/paint.ts';
import { AXIS, DARK, FIELD, GRID, LIGHT, X_LABEL, ground, tick } from '../plots/plotGround.ts';
import { type AbsorptionAt, type AbsorptionData, peakText } from './absorptionData.ts';
import { wavelengthColour } from './wavelengthColour.ts';

/** Height of the spectrum strip, as a part of the axis. */
const STRIP = 0.045;
const STEP_NM = 5;

export function absorptionSvg(data: AbsorptionData, surface: Surface): SVGSVGElement | HTMLElement {
  const { curve, fromNm, toNm } = data;
  const most = Math.max(1.06, ...curve.map(({ high }) => high)) * 1.06;
  const bottom = -most * STRIP;
  const strip = Array.from({ length: Math.ceil((toNm - fromNm) / STEP_NM) }, (_, i) => fromNm + i * STEP_NM);
  return Plot.plot({
    ...ground(surface),
    x: {
      domain: [fromNm, toNm],
      label: 'wavelength, nm',
      labelAnchor: 'center',
      labelOffset: X_LABEL,
      labelArrow: 'none',
      tickFormat: tick(0),
      ticks: surface.width < 420 ? 4 : 7,
    },
    y: {
      domain: [bottom, most],
      label: 'absorption k, strongest = 1',
      labelAnchor: 'center',
      labelArrow: 'none',
      tickFormat: tick(1),
      ticks: [0, 0.25, 0.5, 0.75, 1].filter((_, i) => i % 2 === 0),
    },
    marks: [
      Plot.frame({ fill: FIELD, stroke: 'none' }),
      Plot.gridX({ stroke: GRID, strokeOpacity: 1, ticks: 7 }),
      Plot.ruleY([0.5, 1], { stroke: GRID }),
      // Half a unit wider than its step: no seams between neighbours.
      Plot.rect(strip, {
        x1: (nm: number) => nm,
        x2: (nm: number) => Math.min(toNm, nm + STEP_NM + 0.5),
        y1: bottom,
        y2: 0,
        fill: (nm: number) => surface.paint(wavelengthColour(nm + STEP_NM / 2)),
      }),
      Plot.areaY(curve, { x: 'nm', y1: 'low', y2: 'high', fill: DARK, fillOpacity: 0.16, curve: 'monotone-x' }),
      Plot.line(curve, { x: 'nm', y: 'k', stroke: LIGHT, strokeWidth: 3.5, curve: 'monotone-x' }),
      Plot.line(curve, { x: 'nm', y: 'k', stroke: DARK, strokeWidth: 1.75, curve: 'monotone-x' }),
      Plot.ruleY([0], { stroke: AXIS }),
      ...peakMark(data),
    ],
  });
}

function peakMark({ peak, curve, fromNm, toNm }: AbsorptionData): Plot.Markish[] {
  if (peak === null) return [];
  const [{ k }] = curve.toSorted(
    (a: AbsorptionAt, b: AbsorptionAt) => Math.abs(a.nm - peak.nm) - Math.abs(b.nm - peak.nm),
  );
  // Beside the line on the side that has room.
  const right = peak.nm < (fromNm + toNm) / 2;
  return [
    Plot.ruleX([peak.nm], { y1: 0, y2: k, stroke: DARK, strokeWidth: 1, strokeDasharray: '2 3' }),
    Plot.text([peak], {
      x: 'nm',
      y: 0,
      dx: right ? 6 : -6,
      dy: -12,
      text: peakText,
      textAnchor: right ? 'start' : 'end',
      fill: DARK,
      stroke: FIELD,
      strokeWidth: 4,
    }),
  ];
}
