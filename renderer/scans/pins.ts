/** Colours pinned on an ink's scans: kept as long as the tab is, apart for each ink. */
import type { Probe } from '../../electron/backend/probeAnswer.ts';
import type { LabValue } from '../../analysis/quantity.ts';
import type { Point } from '../../analysis/raster/homography.ts';
import { Kept, useKept, useKeptFact } from '../api/kept.ts';
import { watchWorks } from '../api/store.ts';
import { keepPins, keptPins } from './keptPins.ts';
import { type Renaming, renamesBetween } from './renamesBetween.ts';

export interface Pin {
  readonly id: number;
  readonly scan: string;
  /** Px of the scan. */
  readonly xPx: number;
  readonly yPx: number;
  /** The exact reading; null while it is on its way. */
  readonly probe: Probe | null;
  /** What the last reading was asked with: place, radius and the colours' key. */
  readonly asked: string;
  /** From the raster of the view: what is shown until the exact one comes. */
  readonly glimpse: LabValue | null;
  readonly problem: string | null;
}

export interface PinBoard {
  readonly pins: readonly Pin[];
  /** The pin that all differences are against. */
  readonly reference: number | null;
  /** The pin that is being dragged: its exact reading waits until it is let go. */
  readonly held: number | null;
  readonly radiusMm: number;
}

export const EMPTY_BOARD: PinBoard = { pins: [], reference: null, held: null, radiusMm: 0.5 };

export function pinColour(pin: Pin): LabValue | null {
  return pin.probe?.lab ?? pin.glimpse;
}

export function referencePin(board: PinBoard): Pin | null {
  return board.pins.find((pin) => pin.id === board.reference) ?? null;
}

/** The first pin becomes the reference. */
export function withPin(board: PinBoard, pin: Omit<Pin, 'id' | 'probe' | 'problem' | 'asked'>): PinBoard {
  const id = 1 + Math.max(0, ...board.pins.map((p) => p.id));
  return {
    ...board,
    pins: [...board.pins, { ...pin, id, probe: null, problem: null, asked: '' }],
    reference: board.reference ?? id,
  };
}

export function withPinChanged(board: PinBoard, id: number, change: Partial<Omit<Pin, 'id'>>): PinBoard {
  return { ...board, pins: board.pins.map((pin) => (pin.id === id ? { ...pin, ...change } : pin)) };
}

/** Elsewhere: what was read there no longer holds. */
export function withPinMoved(board: PinBoard, id: number, at: Point, glimpse: LabValue | null): PinBoard {
  const pins = board.pins.map((pin) => {
    if (pin.id !== id) return pin;
    return {
      ...pin,
      xPx: at[0],
      yPx: at[1],
      probe: null,
      problem: null,
      asked: '',
      glimpse: glimpse ?? pinColour(pin),
    };
  });
  return { ...board, pins };
}

/** The last pin before it, or the first left, takes over as reference. */
export function withoutPin(board: PinBoard, id: number): PinBoard {
  const pins = board.pins.filter((pin) => pin.id !== id);
  const next = pins.findLast((pin) => pin.id < id) ?? pins.at(0);
  return { ...board, pins, reference: board.reference === id ? (next?.id ?? null) : board.reference };
}

/** The nearest pin within reach of a place, px of the scan. */
export function pinAt(board: PinBoard, scan: string, at: Point, reachPx: number): Pin | null {
  const away = (pin: Pin): number => Math.hypot(pin.xPx - at[0], pin.yPx - at[1]);
  const near = board.pins.filter((pin) => pin.scan === scan && away(pin) <= reachPx);
  return near.toSorted((p, q) => away(p) - away(q)).at(0) ?? null;
}

const boards = new Kept<number, PinBoard>(EMPTY_BOARD);
for (const { ink, pins, ...board } of keptPins()) {
  const unread = pins.map((pin) => ({ ...pin, probe: null, asked: '', glimpse: null, problem: null }));
  boards.put(ink, { ...EMPTY_BOARD, ...board, pins: unread });
}
watchWorks((before, after) => {
  const renames = renamesBetween(before, after).filter(({ what }) => what === 'scan');
  if (renames.length > 0) changePins(after.ink.id, (board) => withScansRenamed(board, renames));
});

/** The same board when none of its pins lies on these. */
export function withScansRenamed(board: PinBoard, renames: readonly Pick<Renaming, 'from' | 'to'>[]): PinBoard {
  const now = (scan: string): string => renames.find(({ from }) => from === scan)?.to ?? scan;
  if (board.pins.every(({ scan }) => now(scan) === scan)) return board;
  return { ...board, pins: board.pins.map((pin) => ({ ...pin, scan: now(pin.scan) })) };
}

export function changePins(ink: number, change: (board: PinBoard) => PinBoard): void {
  const board = change(boards.get(ink));
  boards.put(ink, board);
  // Of a drag where it ends.
  if (board.held === null) keepPins(ink, board);
}

export function usePinBoard(ink: number): PinBoard {
  return useKept(boards, ink);
}

/** One plain value of the board: a part of the page that needs no more is not drawn anew while a pin is dragged. */
export function usePinFact<T extends string | number | boolean | null>(ink: number, fact: (board: PinBoard) => T): T {
  return useKeptFact(boards, ink, fact);
}

/** The pinned colour that all differences are against; moves while its pin is dragged. */
export function referenceColour(board: PinBoard): LabValue | null {
  const pin = referencePin(board);
  return pin && pinColour(pin);
}
