/** Scans without a target, measured: through their profiles, as they are shown, with an uncertainty that says so, and never mixed. */
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50, labToXyz, type LabD50, xyzToLab } from '../../analysis/colour/lab.ts';
import { LAB_RASTER_SCALE } from '../../analysis/colour/labRaster.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { coloursOf, standingOf } from '../../electron/answers/standing.ts';
import { findBarePaper } from '../../electron/jobs/findBarePaper.ts';
import { measureRegion } from '../../electron/jobs/measureRegion.ts';
import { measureWith } from '../../electron/jobs/measureSheet.ts';
import type { TaskRunner } from '../../electron/jobs/tasks.ts';
import { Library } from '../../electron/library/library.ts';
import { withProfile } from '../../electron/scans/littleCms.ts';
import { scanInfo } from '../../electron/scans/scanInfo.ts';
import { loadSheet } from '../../electron/sheet/sheet.ts';
import { View } from '../../electron/view/view.ts';
import { drawIcc } from '../host/drawIcc.ts';
import { drawTiff } from '../host/drawTiff.ts';
import { testFolder } from '../host/folder.ts';
import { drawTableIcc, likeAScanner } from '../view/drawTableIcc.ts';

const SIDE = 120;
const samples = noisyPaper();
const PROFILES = {
  none: null,
  space: drawIcc(),
  scanner: drawIcc('A scanner', undefined, 'scnr'),
  table: drawTableIcc(1.8, likeAScanner),
};
type Name = keyof typeof PROFILES;
const NAMES: readonly Name[] = ['none', 'space', 'scanner', 'table'];

const folder = testFolder();
const view = new View({ cacheFolder: join(folder.path, 'cache') });
const library = Library.open(join(folder.path, 'library'));
afterAll(async () => {
  await view.close();
  library.close();
});

let findings: readonly Quantity[] = [];
const files = Object.fromEntries(NAMES.map((name) => [name, folder.put(`${name}.tif`, scanWith(PROFILES[name]))]));

beforeAll(async () => {
  const sheet = {
    format: 'wetline-sheet/1',
    scans: NAMES.map((id) => ({ id, file: `${id}.tif`, paper: 'one' })),
    regions: NAMES.map((id) => ({ id: `bare-${id}`, scan: id, kind: 'paper', boxMm: [0, 0, 12, 12] })),
  };
  const loaded = await loadSheet(folder.put('sheet.json', JSON.stringify(sheet)));
  const refused = () => Promise.reject(new Error('no target, no picture'));
  const runner: TaskRunner = {
    calibrate: refused,
    paper: findBarePaper,
    region: measureRegion,
    film: refused,
    overlay: refused,
  };
  ({ findings } = await measureWith(runner, loaded, {}));
});

function noisyPaper(): Uint16Array {
  const random = seededRandom(5);
  return Uint16Array.from({ length: 3 * SIDE * SIDE }, (_, i) => [58000, 54000, 46000][i % 3] + 900 * (random() - 0.5));
}

function scanWith(icc: Buffer | null): Buffer {
  return drawTiff({ widthPx: SIDE, heightPx: SIDE, bits: 16, dpi: 254, samples, ...(icc && { icc }) });
}

function paper(name: Name): Quantity & { readonly lab: LabD50; readonly uLab: readonly number[] } {
  const found = findings.find((q) => q.quantity === 'paperColour' && q.subject.regions[0] === `bare-${name}`);
  if (!found || !Array.isArray(found.value) || !Array.isArray(found.u)) throw new Error(`no colour of ${name}`);
  const [L, a, b]: number[] = found.value;
  return { ...found, lab: labD50(L, a, b), uLab: found.u };
}

/** The mean of the light over all pixels, each by Little CMS. */
async function libraryMean(icc: Buffer): Promise<LabD50> {
  const labs = (await withProfile(icc, (toLab) => toLab(samples)))!;
  const sum = [0, 0, 0];
  for (let i = 0; i < labs.length; i += 3) {
    labToXyz(labD50(labs[i], labs[i + 1], labs[i + 2])).forEach((v, k) => (sum[k] += v));
  }
  const [X, Y, Z] = sum.map((v) => (3 * v) / labs.length);
  return xyzToLab([X, Y, Z]);
}

describe('paper without a target', () => {
  test.each([
    ['space', 0.01],
    ['scanner', 0.01],
    ['table', 1],
  ] as const)('through a profile is the library’s colour: %s', async (name, most) => {
    expect(deltaE2000(paper(name).lab, await libraryMean(PROFILES[name]))).toBeLessThan(most);
    expect(deltaE2000(paper(name).lab, paper('none').lab)).toBeGreaterThan(2);
  });

  test('a space that pictures are converted to is in more doubt than a scanner’s own profile', () => {
    expect(paper('scanner').lab).toEqual(paper('space').lab);
    expect(paper('space').uLab[0]).toBeGreaterThan(paper('scanner').uLab[0]);
  });

  test.each(NAMES)('%s: flagged, and what is shown is what is measured', async (name) => {
    expect(paper(name).flags).toContain('uncalibrated');
    const info = await scanInfo(files[name]);
    const by = name === 'none' ? 'assumed-srgb' : 'profile';
    const scan = { file: files[name], hash: name, info, dpi: 254, colours: { by, key: `k-${name}` } } as const;
    const { data } = await view.lab(scan, [0, 0, SIDE, SIDE], 1);
    const shown = labD50(data[0] / LAB_RASTER_SCALE, data[1] / LAB_RASTER_SCALE, data[2] / LAB_RASTER_SCALE);
    expect(deltaE2000(shown, paper(name).lab)).toBeLessThan(0.02);
  });
});

describe('kept results', () => {
  test('belong to one profile: another one in the same file’s place makes them stale', async () => {
    const { hash } = await library.addFileFrom(files.scanner);
    const ink = library.createWork({
      ink: { name: 'Curlew' },
      scans: [{ id: 'page', hash, name: 'page.tif', paper: 'one' }],
      regions: [{ id: 'bare', scan: 'page', kind: 'paper', boxMm: [0, 0, 12, 12] }],
    });
    const before = standingOf(library, ink);
    const file = library.file(hash)!;
    const names = [
      file.info!,
      { ...file.info!, iccHash: 'f'.repeat(64) },
      { ...file.info!, iccUnusable: true as const },
    ].map((info) => {
      const spied = vi.spyOn(library, 'file').mockReturnValue({ ...file, info });
      const standing = standingOf(library, ink);
      spied.mockRestore();
      const { key } = coloursOf(standing.scans.get('page')!, () => false);
      return { key, madeFrom: standing.madeFrom.get('bare') };
    });
    expect(names[0].madeFrom).toBe(before.madeFrom.get('bare'));
    expect(new Set(names.map(({ madeFrom }) => madeFrom)).size).toBe(3);
    expect(new Set(names.map(({ key }) => key)).size).toBe(3);
  });
});
