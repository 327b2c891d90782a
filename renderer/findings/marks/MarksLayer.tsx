/**
 * A region's marks as a picture that lies on the scan: painted for what is in view when the view has come to rest, at the screen's
 * own resolution, and carried along with the scan until then.
 */
import { useEffect, useLayoutEffect, useRef, useState } from 'react';
import type { LabValue } from '../../../analysis/quantity.ts';
import { shown as onScreen } from '../../../analysis/colour/shown.ts';
import { getMarks } from '../../api/client.ts';
import type { ViewPlace } from '../../viewer/viewPlace.ts';
import type { DotView, MarksRaster, ShownMarks } from './marksRaster.ts';
import { paintMarks } from './paintMarks.ts';

interface Props {
  readonly raster: MarksRaster;
  readonly place: ViewPlace;
  readonly shown: ShownMarks;
  readonly lineLab: LabValue;
}

const RESTED_MS = 60;

export function MarksLayer({ raster, place, shown, lineLab }: Props) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const [painted, setPainted] = useState<{ readonly view: DotView; readonly picture: HTMLCanvasElement } | null>(null);
  useEffect(() => {
    const abort = new AbortController();
    const timer = setTimeout(() => void paint(), RESTED_MS);
    const paint = async (): Promise<void> => {
      const ratio = window.devicePixelRatio;
      const view = dotView(raster, place, ratio);
      if (view === null) return;
      const picture = await paintMarks(raster, view, shown, onScreen(lineLab).rgb, ratio, abort.signal);
      if (picture) setPainted({ view, picture });
    };
    return () => {
      clearTimeout(timer);
      abort.abort();
    };
  }, [raster, place, shown, lineLab]);
  useLayoutEffect(() => {
    const context = canvas.current?.getContext('2d');
    if (!painted || !context) return;
    context.canvas.width = painted.picture.width;
    context.canvas.height = painted.picture.height;
    context.drawImage(painted.picture, 0, 0);
  }, [painted]);
  if (painted === null) return null;
  const { leftPx, topPx, pxPerDot, width, height } = painted.view;
  return (
    <foreignObject x={leftPx} y={topPx} width={width * pxPerDot} height={height * pxPerDot}>
      <canvas ref={canvas} className="findings-marks" aria-hidden="true" />
    </foreignObject>
  );
}

/** The part of the region's box that is in view; null: none. Whole dots of the screen, so that lines stay sharp. */
function dotView({ boxPx: [x, y, width, height] }: MarksRaster, place: ViewPlace, ratio: number): DotView | null {
  const pxPerDot = place.pxPerScreen / ratio;
  const [viewLeft, viewTop, viewWidth, viewHeight] = place.boxPx;
  const from = (startPx: number, viewPx: number): number => Math.max(0, Math.floor((startPx - viewPx) / pxPerDot));
  const to = (endPx: number, viewPx: number, sizePx: number): number =>
    Math.ceil((Math.min(endPx, viewPx + sizePx) - viewPx) / pxPerDot);
  const [left, top] = [from(x, viewLeft), from(y, viewTop)];
  const [across, down] = [to(x + width, viewLeft, viewWidth) - left, to(y + height, viewTop, viewHeight) - top];
  if (across <= 0 || down <= 0) return null;
  return { leftPx: viewLeft + left * pxPerDot, topPx: viewTop + top * pxPerDot, pxPerDot, width: across, height: down };
}

/** The raster of a region that has one; null until it is there. A new `version` (a new measurement) fetches anew. */
export function useMarks(
  ink: number,
  region: string | null,
  boxPx: MarksRaster['boxPx'] | null,
  version: string,
): MarksRaster | null {
  const [held, setHeld] = useState<{ readonly of: string; readonly raster: MarksRaster } | null>(null);
  const box = boxPx?.join(',') ?? '';
  const of = `${ink} ${region} ${box} ${version}`;
  useEffect(() => {
    if (region === null || box === '') return;
    const abort = new AbortController();
    const [x, y, width, height] = box.split(',').map(Number);
    getMarks(ink, region, abort.signal)
      .then((marks) => setHeld({ of, raster: { ...marks, boxPx: [x, y, width, height] } }))
      // Without marks the boxes and the reading still tell; the page's own requests say when nobody answers.
      .catch(() => undefined);
    return () => abort.abort();
  }, [ink, region, box, of]);
  return held?.of === of ? held.raster : null;
}
