/** The Lab raster of what is in view, fetched anew a moment after the view has come to rest. */
import { useEffect, useState } from 'react';
import type { WorkScan } from '../../electron/backend/api.ts';
import { getLab, isAbort } from '../api/client.ts';
import type { ViewPlace } from '../viewer/viewPlace.ts';
import { labRequest } from './labView.ts';
import type { LabRequest, LabView } from './labView.ts';

const SETTLED_MS = 120;
const NONE: LabRequest = { box: { x: 0, y: 0, width: 0, height: 0 }, columns: 0 };

/** Null while none is wanted or none has come. The last one stays until the next is there; it knows where it lies. */
export function useLabView(ink: number, scan: WorkScan, place: ViewPlace | null, wanted: boolean): LabView | null {
  const [held, setHeld] = useState<{ readonly key: string; readonly view: LabView } | null>(null);
  const { id, widthPx, heightPx } = scan;
  const { key } = scan.colours;
  const request = wanted && place ? labRequest(place, { width: widthPx, height: heightPx }) : null;
  const { columns, box } = request ?? NONE;
  const { x, y, width, height } = box;
  useEffect(() => {
    if (columns === 0) return;
    const stop = new AbortController();
    const asked = { x, y, width, height };
    const timer = setTimeout(() => {
      getLab(ink, id, key, asked, columns, stop.signal).then(
        (raster) => setHeld({ key, view: { ...raster, box: asked } }),
        (error: unknown) => {
          // The next view asks again; the tiles say what is wrong with the scan.
          if (!isAbort(error)) setHeld(null);
        },
      );
    }, SETTLED_MS);
    return () => {
      clearTimeout(timer);
      stop.abort();
    };
  }, [ink, id, key, x, y, width, height, columns]);
  return wanted && held?.key === key ? held.view : null;
}
