/** The keys of a viewer. */
import type { DeepZoom } from './deepZoom.ts';

const STEP = 60;
const FAR = 300;

export interface ViewKey {
  readonly keys: string;
  readonly does: string;
  readonly run: (zoom: DeepZoom) => void;
}

export const ZOOM_KEYS: readonly ViewKey[] = [
  { keys: '+', does: 'closer', run: (zoom) => zoom.zoomBy(1) },
  { keys: '-', does: 'farther away', run: (zoom) => zoom.zoomBy(-1) },
  { keys: '0', does: 'the whole scan', run: (zoom) => zoom.fit() },
];

export const PAN_KEYS: readonly ViewKey[] = [
  { keys: 'ArrowLeft', does: 'move the view left', run: (zoom) => zoom.panBy(-STEP, 0) },
  { keys: 'ArrowRight', does: 'move the view right', run: (zoom) => zoom.panBy(STEP, 0) },
  { keys: 'ArrowUp', does: 'move the view up', run: (zoom) => zoom.panBy(0, -STEP) },
  { keys: 'ArrowDown', does: 'move the view down', run: (zoom) => zoom.panBy(0, STEP) },
  { keys: 'Shift+ArrowLeft', does: 'move the view far left', run: (zoom) => zoom.panBy(-FAR, 0) },
  { keys: 'Shift+ArrowRight', does: 'move the view far right', run: (zoom) => zoom.panBy(FAR, 0) },
  { keys: 'Shift+ArrowUp', does: 'move the view far up', run: (zoom) => zoom.panBy(0, -FAR) },
  { keys: 'Shift+ArrowDown', does: 'move the view far down', run: (zoom) => zoom.panBy(0, FAR) },
];
