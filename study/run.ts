/**
 * `npm run study TOPIC [seeds] [first]`: figures over many seeds, written into docs/study/. Topics: accuracy, calibration, drift, dyes-of-writing, edges, elsewhere, faults,
 * film, locate, opacity, page-kinds, sheets (scanners and coverage), show-through, strip, teach, writing; without one, all. `first` begins where nobody has
 * looked yet. Minutes to an hour; run before a claim about accuracy, never as part of the tests.
 */
import { execFile } from 'node:child_process';
import { mkdir, writeFile } from 'node:fs/promises';
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { accuracyRows, type Row } from './accuracy.ts';
import { accuracyPage } from './accuracyPage.ts';
import { calibrationStudy } from './calibration.ts';
import { coveragePage } from './coveragePage.ts';
import { driftPage } from './drift.ts';
import { dyesOfWritingPage } from './dyesOfWriting.ts';
import { edgesPage, edgeStudyRows, type StudyRow } from './edges/edgesStudy.ts';
import { elsewherePage } from './elsewhere.ts';
import { filmStudy } from './film.ts';
import { opacityPage, type OpacityRow, opacityRows } from './opacity.ts';
import { pageKindRows, pageKindsPage, type PageKindRow } from './pageKinds/page.ts';
import { scannersPage } from './scanners.ts';
import { type SheetSeen, sheetsOf } from './scannerSheets.ts';
import { locateStudy } from './locate.ts';
import { type BackRow, showThroughRows } from './showThrough.ts';
import { showThroughPage } from './showThroughPage.ts';
import { stripStudy } from './strip.ts';
import { targetFaultsStudy } from './targetFaults.ts';
import { teachPage, teachRows, type TeachRow } from './teach.ts';
import { writingPage } from './writing/page.ts';
import { type Figure, writingFigures } from './writing/trial.ts';

const docs = join(import.meta.dirname, '../docs/study');
/** Seeds that constants were chosen on are below this; what is published comes from above it. */
const FIRST_UNSEEN_SEED = 10_001;

const [topic = 'all', count, first] = process.argv.slice(2);
const firstSeed = Number(first ?? FIRST_UNSEEN_SEED);

/** What one process of several does: rows of its own seeds. */
const ROWS: ReadonlyMap<string, (seed: number) => Promise<readonly unknown[]>> = new Map([
  ['accuracy-rows', (seed: number): Promise<readonly unknown[]> => accuracyRows(seed, {})],
  ['teach-rows', teachRows],
  ['sheets-rows', async (seed: number): Promise<readonly unknown[]> => [await sheetsOf(seed)]],
  ['page-kinds-rows', pageKindRows],
  ['writing-rows', writingFigures],
  ['opacity-rows', (seed: number): Promise<readonly unknown[]> => Promise.resolve(opacityRows(seed))],
  ['show-through-rows', (seed: number): Promise<readonly unknown[]> => Promise.resolve(showThroughRows(seed))],
  ['edges-rows', (seed: number): Promise<readonly unknown[]> => Promise.resolve(edgeStudyRows(seed))],
]);

const rowsOf = ROWS.get(topic);
if (rowsOf) {
  const [from, to] = [Number(process.argv[3]), Number(process.argv[4])];
  const rows: unknown[] = [];
  for (let seed = from; seed <= to; seed++) rows.push(...(await rowsOf(seed)));
  process.stdout.write(JSON.stringify(rows));
} else {
  await mkdir(docs, { recursive: true });
  if (topic === 'accuracy' || topic === 'all') await write('accuracy.md', await accuracyStudy(Number(count ?? 40)));
  if (topic === 'calibration' || topic === 'all') await write('calibration.md', calibrationStudy(Number(count ?? 108)));
  if (topic === 'faults' || topic === 'all') await write('target-faults.md', targetFaultsStudy(Number(count ?? 104)));
  if (topic === 'locate' || topic === 'all') {
    await write('locate.md', locateStudy(Number(count ?? 216), firstSeed));
  }
  if (topic === 'page-kinds' || topic === 'all') {
    const seeds = Number(count ?? 12);
    const rows = await sharedOut<PageKindRow>('page-kinds-rows', seeds);
    await write('page-kinds.md', pageKindsPage(rows, firstSeed, seeds));
  }
  if (topic === 'edges' || topic === 'all') {
    const seeds = Number(count ?? 160);
    await write('edges.md', edgesPage(await sharedOut<StudyRow>('edges-rows', seeds), firstSeed, seeds));
  }
  if (topic === 'strip' || topic === 'all') await write('strip.md', stripStudy(Number(count ?? 200), firstSeed));
  if (topic === 'dyes-of-writing' || topic === 'all')
    await write('dyes-of-writing.md', dyesOfWritingPage(Number(count ?? 60), firstSeed));
  if (topic === 'drift' || topic === 'all') await write('drift.md', driftPage(firstSeed, Number(count ?? 60)));
  if (topic === 'sheets' || topic === 'all') {
    const seeds = Number(count ?? 13);
    const sheets = await sharedOut<readonly SheetSeen[]>('sheets-rows', seeds);
    await write('coverage.md', coveragePage({ sheets, firstSeed, worlds: 36 }));
    await write('scanners.md', scannersPage({ sheets, firstSeed, spectra: Math.ceil(seeds / 4) }));
  }
  if (topic === 'film' || topic === 'all') await write('film.md', filmStudy(Number(count ?? 60), firstSeed));
  if (topic === 'writing' || topic === 'all') await write('writing.md', await writingStudy(Number(count ?? 48)));
  if (topic === 'opacity' || topic === 'all') {
    const seeds = Number(count ?? 48);
    await write('opacity.md', opacityPage(await sharedOut<OpacityRow>('opacity-rows', seeds), firstSeed, seeds));
  }
  if (topic === 'elsewhere' || topic === 'all') {
    await write('elsewhere.md', elsewherePage(Number(count ?? 20), firstSeed));
  }
  if (topic === 'show-through' || topic === 'all') {
    const seeds = Number(count ?? 98);
    const rows = await sharedOut<BackRow>('show-through-rows', seeds);
    await write('show-through.md', showThroughPage(rows, firstSeed, seeds));
  }
  if (topic === 'teach' || topic === 'all') await write('teach.md', await teachStudy(Number(count ?? 60)));
}

async function write(name: string, page: string): Promise<void> {
  await writeFile(join(docs, name), page.endsWith('\n') ? page : `${page}\n`);
  console.log(`docs/study/${name}`);
}

async function accuracyStudy(seeds: number): Promise<string> {
  return accuracyPage(await sharedOut<Row>('accuracy-rows', seeds), firstSeed, seeds);
}

async function teachStudy(seeds: number): Promise<string> {
  return teachPage(await sharedOut<TeachRow>('teach-rows', seeds), firstSeed, seeds);
}

async function writingStudy(seeds: number): Promise<string> {
  return writingPage(await sharedOut<Figure>('writing-rows', seeds), firstSeed, seeds);
}

/** Over processes, since rendering and measuring takes some ten seconds a seed. */
async function sharedOut<T>(rows: string, seeds: number): Promise<T[]> {
  const parts = Math.min(seeds, availableParallelism());
  const each = Math.ceil(seeds / parts);
  const run = promisify(execFile);
  const found = await Promise.all(
    Array.from({ length: parts }, async (_, p): Promise<T[]> => {
      const from = firstSeed + p * each;
      const to = Math.min(firstSeed + seeds, from + each) - 1;
      const args = ['--import', 'tsx', join(import.meta.dirname, 'run.ts'), rows, String(from), String(to)];
      const { stdout } = await run(process.execPath, args, { maxBuffer: 1 << 30 });
      return JSON.parse(stdout);
    }),
  );
  return found.flat();
}
