/** Reads every pin exactly, from the scan's own file: when it is set, moved or let go, and when the colours have changed. */
import { useEffect } from 'react';
import type { WorkScan } from '../../electron/backend/api.ts';
import { getProbe, problemOf } from '../api/client.ts';
import { saysNothing } from '../api/resource.ts';
import { changePins, withPinChanged } from './pins.ts';
import type { Pin, PinBoard } from './pins.ts';
import { pxPerMmOf } from './scanMeasures.ts';

/** Between one try and the next while nothing answers, ms. */
const AGAIN_MS = 2000;

/** Where a scan has no resolution. */
const RADIUS_PX = 6;

export function pinRadiusPx(radiusMm: number, scan: WorkScan): number {
  const pxPerMm = pxPerMmOf(scan);
  return pxPerMm === null ? RADIUS_PX : radiusMm * pxPerMm;
}

export function usePinReadings(ink: number, scans: readonly WorkScan[], board: PinBoard): void {
  useEffect(() => {
    for (const pin of board.pins) {
      const scan = scans.find(({ id }) => id === pin.scan);
      if (scan && scan.problem === null && pin.id !== board.held) ask(ink, scan, pin, board.radiusMm);
    }
  }, [ink, scans, board]);
}

function ask(ink: number, scan: WorkScan, pin: Pin, radiusMm: number): void {
  const at = { x: pin.xPx, y: pin.yPx, radius: pinRadiusPx(radiusMm, scan) };
  const asked = JSON.stringify([scan.hash, scan.colours.key, at]);
  if (pin.asked === asked) return;
  changePins(ink, (board) => withPinChanged(board, pin.id, { asked }));
  const settle = (change: Partial<Omit<Pin, 'id'>>): void =>
    changePins(ink, (board) => {
      const current = board.pins.find(({ id }) => id === pin.id);
      return current?.asked === asked ? withPinChanged(board, pin.id, change) : board;
    });
  getProbe(ink, scan.id, at).then(
    (probe) => settle({ probe, problem: null }),
    (error: unknown) => {
      settle({ probe: null, problem: problemOf(error).message });
      // Asked again by whoever has the page open then.
      if (saysNothing(error)) setTimeout(() => settle({ asked: '' }), AGAIN_MS);
    },
  );
}
