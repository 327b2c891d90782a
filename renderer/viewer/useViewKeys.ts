/** The viewer's keys, for the one view that is active. */
import { useEffect } from 'react';
import type { RefObject } from 'react';
import type { DeepZoom } from './deepZoom.ts';
import { PAN_KEYS, ZOOM_KEYS } from './viewKeys.ts';

export function useViewKeys(zoom: RefObject<DeepZoom | null>, active: boolean, arrowsPan: boolean): void {
  useEffect(() => {
    if (!active) return;
    const down = (event: KeyboardEvent): void => {
      const name = event.shiftKey && event.key.startsWith('Arrow') ? `Shift+${event.key}` : event.key;
      const bound = [...ZOOM_KEYS, ...(arrowsPan ? PAN_KEYS : [])].find(({ keys }) => keys === name);
      if (bound && zoom.current && !event.defaultPrevented) bound.run(zoom.current);
    };
    addEventListener('keydown', down);
    return () => removeEventListener('keydown', down);
  }, [zoom, active, arrowsPan]);
}
