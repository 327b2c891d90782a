/** The keys of a viewer. */
import type { DeepZoom } from './deepZoom.ts';

/** CSS px. */
const STEP = 60;
const FAR = 300;

export interface ViewKey {
  readonly keys: string;
  readonly does: string;
  readonly run: (zoom: DeepZoom) => void;
}

export const ZOOM_KEYS: readonly ViewKey[] = [
  { keys: '+ / =', does: 'closer', run: (zoom) => zoom.zoomBy(1) },
  { keys: '-', does: 'farther away', run: (zoom) => zoom.zoomBy(-1) },
];

const WAYS = [
  { arrow: 'ArrowLeft', x: -1, y: 0 },
  { arrow: 'ArrowRight', x: 1, y: 0 },
  { arrow: 'ArrowUp', x: 0, y: -1 },
  { arrow: 'ArrowDown', x: 0, y: 1 },
];

export const PAN_KEYS: readonly ViewKey[] = WAYS.flatMap(({ arrow, x, y }) => [
  { keys: arrow, does: 'look further that way', run: (zoom: DeepZoom) => zoom.panBy(x * STEP, y * STEP) },
  { keys: `Shift+${arrow}`, does: 'look much further that way', run: (zoom: DeepZoom) => zoom.panBy(x * FAR, y * FAR) },
]);
