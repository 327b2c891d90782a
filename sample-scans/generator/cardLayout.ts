/** Where things are on the invented card, mm; the origin is the middle of the first disc. */
import type { TargetLayout } from '../../analysis/calibrate/calibration.ts';

export const CARD = {
  widthMm: 130,
  heightMm: 85,
  /** From the card's top left corner to the first disc's middle. */
  marginMm: 6,
  radiusMm: 2.5,
  eyeMm: 1,
  columns: 12,
  rows: 8,
  patchMm: 7.2,
  pitchMm: 9.1,
  /** Top left of the first patch. */
  leftMm: 5.35,
  topMm: 1.05,
} as const;

export interface CardPlan {
  readonly layout: TargetLayout;
  /** Index of the patch in layout.patches for a cell of the grid. */
  readonly patchOfCell: readonly number[];
}

/** Greys G01–G24 (light to dark) in the first and last row; colours C01–C72 between, in the order given. */
export function cardPlan(colourOrder: readonly number[]): CardPlan {
  const spanX = CARD.widthMm - 2 * CARD.marginMm;
  const spanY = CARD.heightMm - 2 * CARD.marginMm;
  const ids: string[] = [];
  for (let cell = 0; cell < CARD.columns * CARD.rows; cell++) {
    const row = Math.floor(cell / CARD.columns);
    if (row === 0) ids.push(numbered('G', cell + 1));
    else if (row === CARD.rows - 1) ids.push(numbered('G', CARD.columns + 1 + (cell % CARD.columns)));
    else ids.push(numbered('C', colourOrder[cell - CARD.columns] + 1));
  }
  const sorted = ids.map((id, cell) => ({ id, cell })).sort((p, q) => (p.id < q.id ? -1 : 1));
  const patchOfCell: number[] = [];
  for (const [index, { cell }] of sorted.entries()) patchOfCell[cell] = index;
  return {
    patchOfCell,
    layout: {
      format: 'wetline-target/1',
      name: 'Marram test card, 24 greys and 72 colours',
      pointsMm: [
        [0, 0],
        [spanX, 0],
        [spanX, spanY],
        [0, spanY],
      ],
      fiducial: { shape: 'disc', radiusMm: CARD.radiusMm, eyeMm: CARD.eyeMm },
      patches: sorted.map(({ id, cell }) =>
        id.startsWith('G') ? { id, boxMm: boxOf(cell), grey: true } : { id, boxMm: boxOf(cell) },
      ),
    },
  };
}

function boxOf(cell: number): [number, number, number, number] {
  const column = cell % CARD.columns;
  const row = Math.floor(cell / CARD.columns);
  return [
    round(CARD.leftMm + column * CARD.pitchMm),
    round(CARD.topMm + row * CARD.pitchMm),
    CARD.patchMm,
    CARD.patchMm,
  ];
}

function numbered(letter: string, n: number): string {
  return `${letter}${String(n).padStart(2, '0')}`;
}

function round(mm: number): number {
  return Math.round(mm * 1000) / 1000;
}
