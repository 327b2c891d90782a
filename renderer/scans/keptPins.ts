/** Where colours were pinned, where it outlives a reload of the window: they are read anew there. */
import { keepInTab, readKept } from '../api/keptInTab.ts';
import type { Pin, PinBoard } from './pins.ts';

type Place = Pick<Pin, 'id' | 'scan' | 'xPx' | 'yPx'>;
interface KeptBoard extends Pick<PinBoard, 'reference' | 'radiusMm'> {
  readonly ink: number;
  readonly pins: readonly Place[];
}

const STORE = 'wetline.pins';

let kept = readKept(STORE, isBoard);

export function keptPins(): readonly KeptBoard[] {
  return kept;
}

export function keepPins(ink: number, { pins, reference, radiusMm }: PinBoard): void {
  const places = pins.map(({ id, scan, xPx, yPx }) => ({ id, scan, xPx, yPx }));
  const board: KeptBoard = { ink, pins: places, reference, radiusMm };
  if (JSON.stringify(kept.find((one) => one.ink === ink)) === JSON.stringify(board)) return;
  const others = kept.filter((one) => one.ink !== ink);
  kept = places.length === 0 ? others : [...others, board];
  keepInTab(STORE, kept);
}

function isBoard(one: Partial<KeptBoard> | null): one is KeptBoard {
  const { ink, pins, reference, radiusMm } = one ?? {};
  const isWhole = Number.isInteger(ink) && Array.isArray(pins) && pins.every(isPlace) && Number.isFinite(radiusMm);
  return isWhole && (reference === null || Number.isInteger(reference));
}

function isPlace(one: Partial<Place> | null): one is Place {
  const { id, scan, xPx, yPx } = one ?? {};
  return Number.isInteger(id) && typeof scan === 'string' && Number.isFinite(xPx) && Number.isFinite(yPx);
}
