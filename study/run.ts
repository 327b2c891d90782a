/**
 * `npm run study TOPIC [seeds] [first]`: figures over many seeds, written into docs/study/. Topics: accuracy, calibration, drift, dyes-of-writing, edges, elsewhere, faults,
 * film, locate, opacity, page-kinds, sheets (scanners and coverage), show-through, strip, teach, writing; without one, all. `first` begins where nobody has
 * looked yet (calibration and faults keep seeds of their own). Minutes to an hour; run before a claim about accuracy, never as part of the tests.
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

/** What is published: the pages of a topic, and over how many seeds when nothing else is said. */
interface Topic {
  readonly seeds: number;
  readonly pages: (seeds: number) => Promise<Readonly<Record<string, string>>>;
}

const TOPICS: Readonly<Record<string, Topic>> = {
  accuracy: {
    seeds: 40,
    pages: async (seeds) => ({
      'accuracy.md': accuracyPage(await sharedOut<Row>('accuracy-rows', seeds), firstSeed, seeds),
    }),
  },
  calibration: { seeds: 108, pages: async (seeds) => ({ 'calibration.md': calibrationStudy(seeds) }) },
  faults: { seeds: 104, pages: async (seeds) => ({ 'target-faults.md': targetFaultsStudy(seeds) }) },
  locate: { seeds: 216, pages: async (seeds) => ({ 'locate.md': locateStudy(seeds, firstSeed) }) },
  'page-kinds': {
    seeds: 12,
    pages: async (seeds) => ({
      'page-kinds.md': pageKindsPage(await sharedOut<PageKindRow>('page-kinds-rows', seeds), firstSeed, seeds),
    }),
  },
  edges: {
    seeds: 160,
    pages: async (seeds) => ({
      'edges.md': edgesPage(await sharedOut<StudyRow>('edges-rows', seeds), firstSeed, seeds),
    }),
  },
  strip: { seeds: 200, pages: async (seeds) => ({ 'strip.md': stripStudy(seeds, firstSeed) }) },
  'dyes-of-writing': {
    seeds: 60,
    pages: async (seeds) => ({ 'dyes-of-writing.md': dyesOfWritingPage(seeds, firstSeed) }),
  },
  drift: { seeds: 60, pages: async (seeds) => ({ 'drift.md': driftPage(firstSeed, seeds) }) },
  sheets: {
    seeds: 13,
    pages: async (seeds) => {
      const sheets = await sharedOut<readonly SheetSeen[]>('sheets-rows', seeds);
      return {
        'coverage.md': coveragePage({ sheets, firstSeed, worlds: 36 }),
        'scanners.md': scannersPage({ sheets, firstSeed, spectra: Math.ceil(seeds / 4) }),
      };
    },
  },
  film: { seeds: 60, pages: async (seeds) => ({ 'film.md': filmStudy(seeds, firstSeed) }) },
  writing: {
    seeds: 48,
    pages: async (seeds) => ({
      'writing.md': writingPage(await sharedOut<Figure>('writing-rows', seeds), firstSeed, seeds),
    }),
  },
  opacity: {
    seeds: 48,
    pages: async (seeds) => ({
      'opacity.md': opacityPage(await sharedOut<OpacityRow>('opacity-rows', seeds), firstSeed, seeds),
    }),
  },
  elsewhere: { seeds: 20, pages: async (seeds) => ({ 'elsewhere.md': elsewherePage(seeds, firstSeed) }) },
  'show-through': {
    seeds: 98,
    pages: async (seeds) => ({
      'show-through.md': showThroughPage(await sharedOut<BackRow>('show-through-rows', seeds), firstSeed, seeds),
    }),
  },
  teach: {
    seeds: 60,
    pages: async (seeds) => ({
      'teach.md': teachPage(await sharedOut<TeachRow>('teach-rows', seeds), firstSeed, seeds),
    }),
  },
};

const [topic = 'all', count, first] = process.argv.slice(2);
const firstSeed = Number(first ?? FIRST_UNSEEN_SEED);
const rowsOf = ROWS.get(topic);
const chosen = topic === 'all' ? Object.values(TOPICS) : Object.hasOwn(TOPICS, topic) ? [TOPICS[topic]] : [];

if (![count ?? '1', first ?? '1'].every((text) => /^[1-9]\d*$/.test(text))) {
  refuse(`"${[count, first].join(' ').trim()}"; expected how many seeds and, if you like, the first, as "4 90701".`);
} else if (rowsOf) {
  const [from, to] = [Number(count), Number(first)];
  const rows: unknown[] = [];
  for (let seed = from; seed <= to; seed++) rows.push(...(await rowsOf(seed)));
  process.stdout.write(JSON.stringify(rows));
} else if (chosen.length === 0) {
  refuse(`unknown topic "${topic}"; expected one of ${Object.keys(TOPICS).join(', ')}, or none for all (hours).`);
} else {
  await mkdir(docs, { recursive: true });
  for (const { seeds, pages } of chosen) {
    const made = await pages(Number(count ?? seeds));
    for (const [name, page] of Object.entries(made)) await write(name, page);
  }
}

function refuse(message: string): void {
  console.error(`study: ${message}`);
  process.exitCode = 2;
}

async function write(name: string, page: string): Promise<void> {
  await writeFile(join(docs, name), page.endsWith('\n') ? page : `${page}\n`);
  console.log(`docs/study/${name}`);
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
