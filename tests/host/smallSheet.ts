/** A sound little sheet with its files, to be spoilt one thing at a time. */
import { drawPng } from './drawPng.ts';
import type { TestFolder } from './folder.ts';

/** 40 × 30 mm at 254 dpi: 10 pixels a millimetre. */
const SCAN = { widthPx: 400, heightPx: 300, pixelsPerMetre: [10_000, 10_000] } as const;

export const LAYOUT = {
  format: 'wetline-target/1',
  name: 'four squares',
  pointsMm: [
    [0, 0],
    [20, 0],
    [20, 10],
    [0, 10],
  ],
  patches: ['A1', 'A2', 'A3', 'A4'].map((id, i) => ({ id, boxMm: [1 + 4 * i, 2, 3, 3], grey: i < 2 })),
};

export const REFERENCE = `CGATS.17
NUMBER_OF_FIELDS 4
BEGIN_DATA_FORMAT
SAMPLE_ID LAB_L LAB_A LAB_B
END_DATA_FORMAT
NUMBER_OF_SETS 4
BEGIN_DATA
A1 95.0 -0.4 1.2
A2 50.0 0.1 -0.3
A3 42.5 55.0 30.1
A4 30.2 -20.5 -33.0
END_DATA
`;

/** A fresh copy each time, so that a test may change any part of it. */
export function soundSheet() {
  return {
    format: 'wetline-sheet/1',
    ink: { name: 'Harbour Night', maker: 'Quill & Tide' },
    target: { scan: 'target.png', layout: 'layout.json', reference: 'reference.txt' },
    scans: [
      { id: 'white', file: 'white.png', paper: 'bright white 90 g/m²' },
      { id: 'strip', file: 'strip.png' },
    ],
    regions: [
      { id: 'bare', scan: 'white', kind: 'paper', boxMm: [0, 0, 10, 10] },
      { id: 'ef', scan: 'white', kind: 'strokes', boxMm: [0, 10, 40, 20], nib: 'EF', nibWidthMm: 0.35 },
      { id: 'run', scan: 'strip', kind: 'strip', boxMm: [10, 0, 20, 30], run: 'fresh', originMm: 25, frontMm: 3 },
    ] as Record<string, unknown>[],
  };
}

/** Writes the scans, the layout and the reference. */
export function putFiles(folder: TestFolder): void {
  const samples = Uint8Array.from({ length: 3 * 400 * 300 }, (_, i) => 226 + (i % 10));
  for (const name of ['white.png', 'strip.png', 'target.png']) folder.put(name, drawPng({ ...SCAN, samples }));
  folder.put('layout.json', JSON.stringify(LAYOUT));
  folder.put('reference.txt', REFERENCE);
}

/** @param dpi 0: the file states none. */
export function plainScan(dpi: number): Buffer {
  const samples = new Uint8Array(3 * 400 * 300).fill(230);
  const perMetre = Math.round(dpi / 0.0254);
  return drawPng({ widthPx: 400, heightPx: 300, samples, ...(dpi > 0 && { pixelsPerMetre: [perMetre, perMetre] }) });
}
