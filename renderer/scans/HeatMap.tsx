import { useEffect, useRef, useState } from 'react';
import type { LabValue } from '../../analysis/quantity.ts';
import type { ViewPlace } from '../viewer/viewPlace.ts';
import { HEAT_LIMITS, VEILS, veilTone } from './heatClasses.ts';
import type { LabThread } from './labThread.ts';
import type { BoxPx, LabView } from './labView.ts';

export interface HeatMapProps {
  readonly place: ViewPlace;
  readonly view: LabView | null;
  /** That has the view. */
  readonly thread: LabThread;
  readonly reference: LabValue | null;
}

/** The map of differences over the tiles: worked out in a thread of its own, drawn by handing the picture over. */
export function HeatMap({ place, view, thread, reference }: HeatMapProps) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const [box, setBox] = useState<BoxPx | null>(null);
  useEffect(() => {
    thread.showHeat(({ picture, box: of, tookMs }) => {
      performance.measure('heat map', { start: performance.now() - tookMs, duration: tookMs });
      const element = canvas.current;
      if (!element) return;
      element.width = picture.width;
      element.height = picture.height;
      element.getContext('bitmaprenderer')?.transferFromImageBitmap(picture);
      setBox(of);
    });
    return () => thread.showHeat(null);
  }, [thread]);
  useEffect(() => {
    if (reference && view) thread.draw(reference);
  }, [thread, reference, view]);
  const [left, top] = box ? place.toScreen([box.x, box.y]) : [0, 0];
  return (
    <canvas
      ref={canvas}
      className="heat-map"
      aria-hidden="true"
      hidden={box === null || reference === null}
      style={
        box
          ? {
              transform: `translate(${left}px, ${top}px)`,
              width: box.width * place.screenPerPx,
              height: box.height * place.screenPerPx,
            }
          : {}
      }
    />
  );
}

const CLASS_WORDS = [
  `below ${HEAT_LIMITS[0]}`,
  ...HEAT_LIMITS.slice(1).map((limit, i) => `${HEAT_LIMITS[i]} to ${limit}`),
  `${HEAT_LIMITS[HEAT_LIMITS.length - 1]} or more`,
];

/** What the veils mean, in numbers. */
export function HeatLegend({ reference }: { readonly reference: LabValue }) {
  const tone = veilTone(reference[0]);
  return (
    <div className="heat-legend">
      <p>ΔE00 from the pinned colour</p>
      <dl>
        {VEILS.map((veil, i) => (
          <div key={veil}>
            <dt aria-hidden="true">
              <span
                style={{ background: tone === 'dark' ? `rgb(12 12 12 / ${veil})` : `rgb(243 243 243 / ${veil})` }}
              />
            </dt>
            <dd>{CLASS_WORDS[i]}</dd>
          </div>
        ))}
      </dl>
    </div>
  );
}
