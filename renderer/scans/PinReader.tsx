import type { WorkScan } from '../../electron/backend/api.ts';
import { usePinBoard } from './pins.ts';
import { usePinReadings } from './usePinReadings.ts';

/** Keeps every pin's exact reading up to date; draws nothing, so that a dragged pin redraws no more than must move. */
export function PinReader({ ink, scans }: { readonly ink: number; readonly scans: readonly WorkScan[] }) {
  usePinReadings(ink, scans, usePinBoard(ink));
  return null;
}
