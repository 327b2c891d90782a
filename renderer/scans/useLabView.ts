/** The Lab raster of what is in view, fetched anew a moment after the view has come to rest. */
import { useEffect, useState } from 'react';
import type { WorkScan } from '../../electron/backend/api.ts';
import type { ViewPlace } from '../viewer/viewPlace.ts';
import { LabThread } from './labThread.ts';
import { labRequest } from './labView.ts';
import type { LabRequest, LabView } from './labView.ts';

const SETTLED_MS = 120;
const NONE: LabRequest = { box: { x: 0, y: 0, width: 0, height: 0 }, columns: 0 };

export interface LabInView {
  /** Null while none is wanted or none has come. The last one stays until the next is there; it knows where it lies. */
  readonly view: LabView | null;
  readonly thread: LabThread;
}

export function useLabView(ink: number, scan: WorkScan, place: ViewPlace | null, wanted: boolean): LabInView {
  const [thread] = useState(() => new LabThread());
  const [held, setHeld] = useState<{ readonly key: string; readonly view: LabView } | null>(null);
  const { id, widthPx, heightPx } = scan;
  const { key } = scan.colours;
  const request = wanted && place ? labRequest(place, { width: widthPx, height: heightPx }) : null;
  const { columns, box } = request ?? NONE;
  const { x, y, width, height } = box;
  useEffect(() => (wanted ? () => thread.end() : undefined), [thread, wanted]);
  useEffect(() => {
    if (columns === 0) return;
    const asked = { x, y, width, height };
    let callOff = (): void => {};
    const timer = setTimeout(() => {
      callOff = thread.view({ ink, scan: id, key }, { box: asked, columns }, (raster) =>
        // Null: the next view asks again; the tiles say what is wrong with the scan.
        setHeld(raster && { key, view: { ...raster, box: asked } }),
      );
    }, SETTLED_MS);
    return () => {
      clearTimeout(timer);
      callOff();
    };
  }, [thread, ink, id, key, x, y, width, height, columns]);
  return { view: wanted && held?.key === key ? held.view : null, thread };
}
