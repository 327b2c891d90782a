/** What the bench times. Each stage runs in a process of its own, so that its peak memory is its own. */
import { differenceCiede2000 } from 'culori';
import sharp from 'sharp';
import { compileCalibration } from '../analysis/calibrate/apply.ts';
import { nominalCalibration } from '../analysis/calibrate/nominal.ts';
import { pageLab } from '../analysis/calibrate/pageLab.ts';
import { labD50 } from '../analysis/colour/lab.ts';
import { deltaE2000Array } from '../analysis/colour/labArrays.ts';
import type { DeviceRaster } from '../analysis/raster/raster.ts';
import { readScan } from '../electron/scans/readScan.ts';

/** Seconds by name, of the best of some runs; ratios are made from one stage's own figures. */
export type Timings = Record<string, number>;

/** Runs in turn; for ratios more, and in seconds of the processor, since a busy machine bends those least. */
const RUNS = 3;
const RATIO_RUNS = 6;
const REFERENCE = labD50(30, 12, -38);
/** culori works on an object a pixel: every 64th pixel is enough to know its pace. */
const CULORI_STRIDE = 64;

export const STAGES: Readonly<Record<string, (page: string) => Promise<Timings>>> = {
  async decode(page) {
    return best({ decode: async () => void (await readScan(page, null, 600)) });
  },

  async lab(page) {
    const raster = await readScan(page, null, 600);
    const calibration = compileCalibration(nominalCalibration);
    const lab = new Float32Array(raster.data.length);
    return best({ lab: () => pageLab(raster, calibration, lab) });
  },

  async deltaE(page) {
    const lab = labOf(await readScan(page, null, 600));
    const map = new Float32Array(lab.length / 3);
    return best({ deltaE: () => deltaE2000Array(lab, REFERENCE, map) });
  },

  /** One run, cold: what a person waits for. */
  async wholePage(page) {
    const from = performance.now();
    const lab = labOf(await readScan(page, null, 600));
    deltaE2000Array(lab, REFERENCE, new Float32Array(lab.length / 3));
    return { wholePage: (performance.now() - from) / 1000 };
  },

  /** One thread each. Ours writes into a page that is there already, as the strips of a page do; sharp makes a new one. */
  async againstSharp(page) {
    sharp.concurrency(1);
    const raster = await readScan(page, null, 600);
    const calibration = compileCalibration(nominalCalibration);
    const lab = new Float32Array(raster.data.length);
    const raw = { width: raster.widthPx, height: raster.heightPx, channels: 3 } as const;
    return compare({
      ours: () => pageLab(raster, calibration, lab),
      theirs: async () =>
        void (await sharp(raster.data, { raw }).toColourspace('lab').raw({ depth: 'float' }).toBuffer()),
    });
  },

  async againstCulori(page) {
    const lab = labOf(await readScan(page, null, 600));
    const map = new Float32Array(lab.length / 3);
    // In its lab65 mode culori takes the numbers as they are; in others it would first convert the white.
    const difference = differenceCiede2000();
    const reference = { mode: 'lab65', l: REFERENCE[0], a: REFERENCE[1], b: REFERENCE[2] } as const;
    const timings = await compare({
      ours: () => deltaE2000Array(lab, REFERENCE, map),
      theirs: () => {
        for (let n = 0; n < map.length; n += CULORI_STRIDE) {
          map[n] = difference({ mode: 'lab65', l: lab[3 * n], a: lab[3 * n + 1], b: lab[3 * n + 2] }, reference);
        }
      },
    });
    return { ours: timings.ours, theirs: timings.theirs * CULORI_STRIDE };
  },
};

function labOf(raster: DeviceRaster): Float32Array {
  const lab = new Float32Array(raster.data.length);
  pageLab(raster, compileCalibration(nominalCalibration), lab);
  return lab;
}

/** Wall-clock seconds of one work's best run. */
async function best(work: Record<string, Work>): Promise<Timings> {
  return fastest(work, RUNS, () => performance.now() / 1000);
}

/** Processor seconds of two works, run in turn, so that a busy moment of the machine meets them alike. */
async function compare(works: { ours: Work; theirs: Work }): Promise<Timings> {
  return fastest(works, RATIO_RUNS, () => {
    const { user, system } = process.cpuUsage();
    return (user + system) / 1e6;
  });
}

type Work = () => void | Promise<void>;

async function fastest(works: Record<string, Work>, runs: number, seconds: () => number): Promise<Timings> {
  const timings: Timings = {};
  for (let run = 0; run < runs; run++) {
    for (const [name, work] of Object.entries(works)) {
      globalThis.gc?.();
      const from = seconds();
      await work();
      timings[name] = Math.min(timings[name] ?? Infinity, seconds() - from);
    }
  }
  return timings;
}
