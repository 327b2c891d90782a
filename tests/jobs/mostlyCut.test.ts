/** A box that holds pieces of strokes alone says that it is too small; one that cuts a few strokes at its border does not. */
import { expect, test } from 'vitest';
import { srgbEncode } from '../../analysis/colour/srgb.ts';
import { findBarePaper } from '../../electron/jobs/findBarePaper.ts';
import { measureRegion } from '../../electron/jobs/measureRegion.ts';
import { measureWith } from '../../electron/jobs/measureSheet.ts';
import { loadSheet } from '../../electron/sheet/sheet.ts';
import { drawTiff } from '../host/drawTiff.ts';
import { testFolder } from '../host/folder.ts';
import { draw } from '../measure/drawInk.ts';

const folder = testFolder();

test('pieces of strokes are too little to tell a sample by', async () => {
  const dpi = 200;
  const { data, widthPx, heightPx } = draw({
    widthMm: 24,
    heightMm: 20,
    dpi,
    paper: [0.85, 0.84, 0.8],
    absorption: [1.6, 1.1, 0.5],
    noise: 0.004,
    lines: [3, 6, 9].map((y) => ({ fromMm: [3, y], toMm: [21, y + 1], widthMm: 1.2, dose: (t) => 0.6 + 0.3 * t })),
  });
  const samples = Array.from(data, (v) => Math.round(65535 * srgbEncode(Math.min(1, Math.max(0, v)))));
  folder.put('page.tif', drawTiff({ widthPx, heightPx, bits: 16, dpi, samples }));
  const box = (id: string, boxMm: readonly number[]) => ({ id, scan: 'page', kind: 'strokes', nib: id, boxMm });
  const sheet = {
    format: 'wetline-sheet/1',
    scans: [{ id: 'page', file: 'page.tif', paper: 'white' }],
    regions: [
      { id: 'bare', scan: 'page', kind: 'paper', boxMm: [2, 13, 20, 6] },
      box('whole', [1, 1, 22, 11]),
      box('right half', [12, 1, 11, 11]),
      box('piece', [10, 2, 2.4, 2.4]),
      box('slit', [4, 6.1, 16, 0.8]),
    ],
  };
  const refused = () => Promise.reject(new Error('no target, no film, no picture'));
  const runner = { calibrate: refused, paper: findBarePaper, region: measureRegion, film: refused, overlay: refused };
  const { findings } = await measureWith(runner, await loadSheet(folder.put('sheet.json', JSON.stringify(sheet))), {});
  const flagsOf = (id: string) => findings.find((q) => q.quantity === 'shading' && q.subject.regions[0] === id)?.flags;
  expect(flagsOf('whole')).not.toContain('few-pixels');
  expect(flagsOf('right half')).not.toContain('few-pixels');
  expect(flagsOf('piece')).toContain('few-pixels');
  expect(flagsOf('slit')).toContain('few-pixels');
});
