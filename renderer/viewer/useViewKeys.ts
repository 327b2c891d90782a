/** The viewer's keys, for the one view that is active. */
import type { RefObject } from 'react';
import { useKeys } from '../look/useKeys.ts';
import type { DeepZoom } from './deepZoom.ts';
import { PAN_KEYS, ZOOM_KEYS } from './viewKeys.ts';
import type { ViewKey } from './viewKeys.ts';
import type { ViewLink } from './viewLink.ts';

export interface ViewKeysOptions {
  readonly active: boolean;
  readonly arrowsPan: boolean;
}

export function useViewKeys(
  zoom: RefObject<DeepZoom | null>,
  link: ViewLink | undefined,
  { active, arrowsPan }: ViewKeysOptions,
): void {
  const bind = ({ keys, does, run }: ViewKey) => ({
    keys,
    does,
    run: () => {
      if (zoom.current) run(zoom.current);
    },
  });
  useKeys(
    'Scan in view',
    active
      ? [
          ...ZOOM_KEYS.map(bind),
          bind({ keys: '0', does: 'the whole scan', run: (deep) => fitTogether(deep, link) }),
          ...(arrowsPan ? PAN_KEYS.map(bind) : []),
          { keys: 'h', does: 'hide all marks while held', hold: hideMarks },
        ]
      : [],
  );
}

/** Alone, a scan fills its viewer; linked ones share the scale that shows each whole. */
export function fitTogether(zoom: DeepZoom, link: ViewLink | undefined): void {
  if (link) link.fit();
  else zoom.fit();
}

/** Of all viewers in sight. */
function hideMarks(hidden: boolean): void {
  if (hidden) document.documentElement.dataset.marks = 'hidden';
  else delete document.documentElement.dataset.marks;
}
