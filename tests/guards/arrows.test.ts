/** The folder arrows of docs/architecture.md: the linter refuses every import against them, and no other. */
import { beforeAll, expect, test } from 'vitest';
import { plantedTree } from './plantedTree.ts';

/** Each folder of analysis/ with those it may look at. */
const MAY_SEE: Readonly<Record<string, readonly string[]>> = {
  colour: [],
  raster: [],
  calibrate: ['colour', 'raster'],
  film: ['colour', 'calibrate'],
  locate: ['colour', 'raster'],
  measure: ['colour', 'raster', 'calibrate', 'film', 'locate'],
  compare: [],
  report: [],
};
const FOLDERS = Object.keys(MAY_SEE);
const OUTSIDE_ANALYSIS = ['electron', 'renderer', 'tests', 'sample-scans', 'bench', 'study'];
const NOT_FOR_ANALYSIS = ['node:fs', 'node:fs/promises', 'fs', 'sharp', 'piscina', 'zod', 'electron', 'react'];
const NOT_FOR_ELECTRON = ['react', 'react-dom', 'react/jsx-runtime'];

interface Planted {
  readonly file: string;
  readonly imported: string;
  readonly allowed: boolean;
}

const planted: Planted[] = [
  ...FOLDERS.flatMap((from) => [
    ...FOLDERS.filter((to) => to !== from).map((to) => ({
      file: `analysis/${from}/to-${to}.ts`,
      imported: `../${to}/thing.ts`,
      allowed: MAY_SEE[from].includes(to),
    })),
    ...OUTSIDE_ANALYSIS.map((to) => ({
      file: `analysis/${from}/to-${to}.ts`,
      imported: `../../${to}/thing.ts`,
      allowed: false,
    })),
    ...NOT_FOR_ANALYSIS.map((name) => ({
      file: `analysis/${from}/to-package-${name.replaceAll(/\W/g, '-')}.ts`,
      imported: name,
      allowed: false,
    })),
    { file: `analysis/${from}/to-itself.ts`, imported: './thing.ts', allowed: true },
    { file: `analysis/${from}/to-matrices.ts`, imported: 'ml-matrix', allowed: true },
    {
      file: `analysis/${from}/to-quantity.ts`,
      imported: '../quantity.ts',
      allowed: from !== 'colour' && from !== 'raster',
    },
  ]),
  { file: 'analysis/measure/strip/to-compare.ts', imported: '../../compare/thing.ts', allowed: false },
  { file: 'analysis/measure/strip/to-locate.ts', imported: '../../locate/thing.ts', allowed: true },
  { file: 'analysis/to-electron.ts', imported: '../electron/thing.ts', allowed: false },
  ...NOT_FOR_ELECTRON.map((name) => ({
    file: `electron/to-${name.replaceAll(/\W/g, '-')}.ts`,
    imported: name,
    allowed: false,
  })),
  ...['renderer', 'tests', 'sample-scans', 'bench', 'study'].map((to) => ({
    file: `electron/jobs/to-${to}.ts`,
    imported: `../../${to}/thing.ts`,
    allowed: false,
  })),
  { file: 'electron/jobs/to-analysis.ts', imported: '../../analysis/measure/thing.ts', allowed: true },
  { file: 'electron/jobs/to-files.ts', imported: 'node:fs', allowed: true },
  { file: 'tests/to-all.ts', imported: '../analysis/measure/thing.ts', allowed: true },
];

/** Every way to import: each must be seen by the guard. */
const WAYS = {
  value: (from: string) => `import { thing } from '${from}';\nexport const it = thing;\n`,
  type: (from: string) => `import type { thing } from '${from}';\nexport type It = thing;\n`,
  again: (from: string) => `export { thing } from '${from}';\n`,
  all: (from: string) => `export * from '${from}';\n`,
  late: (from: string) => `export const it = await import('${from}');\n`,
} as const;

const tree = plantedTree();
let refused: ReadonlySet<string>;

beforeAll(async () => {
  for (const { file, imported } of planted) {
    for (const [way, write] of Object.entries(WAYS)) tree.plant(inWay(file, way), write(imported));
  }
  const { out } = await tree.run('oxlint', '--format=unix');
  refused = new Set(out.split('\n').flatMap((line) => /^(\S+?):.*no-restricted-imports/.exec(line)?.[1] ?? []));
});

function inWay(file: string, way: string): string {
  return file.replace('.ts', `-${way}.ts`);
}

test.each(Object.keys(WAYS))('imports by %s: all against the arrows are refused, and no others', (way) => {
  const wrong = planted
    .filter(({ file, allowed }) => refused.has(inWay(file, way)) === allowed)
    .map(({ file, imported, allowed }) => `${file} → ${imported}: ${allowed ? 'refused' : 'let through'}`);
  expect(wrong).toEqual([]);
});
