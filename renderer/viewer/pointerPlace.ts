/** Where the pointer is over one viewer; kept outside React's state so that a moving mouse redraws two marks and a figure only. */
import { useSyncExternalStore } from 'react';
import type { Point } from '../../analysis/raster/homography.ts';

export class PointerPlace {
  private at: Point | null = null;
  private readonly listeners = new Set<() => void>();

  readonly subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  };

  readonly get = (): Point | null => this.at;

  set(at: Point | null): void {
    this.at = at;
    for (const listener of this.listeners) listener();
  }
}

/** Px of the scan; null: the pointer is elsewhere. */
export function usePointerPlace(pointer: PointerPlace): Point | null {
  return useSyncExternalStore(pointer.subscribe, pointer.get);
}
