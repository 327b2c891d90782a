/** Every other guard of `npm run check` bites: a violation is planted for each in a small tree under the project's settings. */
import { describe, expect, test } from 'vitest';
import { plantedTree } from './plantedTree.ts';
import { textOf } from './projectFiles.ts';

test('npm run check is made of types, lint, unused code and format, each by the tool that is tried here', () => {
  const { scripts }: { scripts: Record<string, string> } = JSON.parse(textOf('package.json'));
  expect(scripts.check.split(' && ')).toEqual([
    'npm run typecheck',
    'npm run lint',
    'npm run unused',
    'npm run format',
  ]);
  expect(scripts.typecheck).toBe(
    'tsc --noEmit && tsc --noEmit -p analysis && tsc --noEmit -p renderer && tsc --noEmit -p tests/window',
  );
  expect(scripts.lint).toBe('oxlint --type-aware --deny-warnings');
  expect(scripts.unused).toBe('knip');
  expect(scripts.format).toBe('prettier --check .');
});

describe('lint', () => {
  const tree = plantedTree();
  const plantings = {
    'analysis/raster/one.ts': [
      'import/no-cycle', // prettier-ignore
      "import { two } from './two.ts';\nexport const one = (): number => two();\n",
    ],
    'analysis/raster/two.ts': [
      'import/no-cycle',
      "import { one } from './one.ts';\nexport const two = (): number => one();\n",
    ],
    'analysis/colour/loose.ts': [
      'typescript/no-explicit-any',
      'export function loose(value: any): number {\n  return Number(value);\n}\n',
    ],
    'electron/floating.ts': [
      'typescript/no-floating-promises',
      "import { readFile } from 'node:fs/promises';\nexport function go(): void {\n  readFile('x');\n}\n",
    ],
    'electron/silenced.ts': [
      'typescript/ban-ts-comment',
      '// @ts-ignore\nexport const length: number = "four".length;\n',
    ],
    'tests/focused.test.ts': [
      'vitest/no-focused-tests',
      "import { expect, test } from 'vitest';\ntest.only('one', () => {\n  expect(1).toBe(1);\n});\n",
    ],
    'tests/skipped.test.ts': [
      'vitest/no-disabled-tests',
      "import { expect, test } from 'vitest';\ntest.skip('one', () => {\n  expect(1).toBe(1);\n});\n",
    ],
  } as const;

  test('a cycle, any, a floating promise, a silenced compiler, a focused and a skipped test', async () => {
    for (const [file, [, text]] of Object.entries(plantings)) tree.plant(file, text);
    tree.plant('analysis/colour/sound.ts', 'export const sound = 1;\n');
    const { code, out } = await tree.run('oxlint', '--type-aware', '--deny-warnings', '--format=unix');
    expect(code).not.toBe(0);
    const found = out.split('\n').flatMap((line) => {
      const [, file, rule] = /^([^:]+):.*\[\w+\/(.+)\]$/.exec(line) ?? [];
      return file === undefined ? [] : [`${file} ${rule}`];
    });
    for (const [file, [rule]] of Object.entries(plantings)) {
      const [plugin, name] = rule.split('/');
      expect(found, out).toContain(`${file} ${plugin}(${name})`);
    }
    expect(found.filter((line) => line.startsWith('analysis/colour/sound.ts'))).toEqual([]);
  });
});

describe('types', () => {
  test('analysis/ knows neither window nor process; elsewhere process is known', async () => {
    const tree = plantedTree();
    const globals = ['document', 'window', 'process', 'Buffer', 'fetch', 'performance', 'setTimeout', 'console'];
    globals.forEach((name) => tree.plant(`analysis/colour/${name}.ts`, `export const it: unknown = ${name};\n`));
    tree.plant('analysis/colour/files.ts', "export const files: unknown = import('node:fs');\n");
    tree.plant('electron/host.ts', 'export const it: unknown = process;\n');
    const inner = await tree.run('tsc', '--noEmit', '-p', 'analysis');
    expect(inner.code).not.toBe(0);
    const told = new Set(inner.out.split('\n').flatMap((line) => /(\w+)\.ts\(\d+,\d+\): error/.exec(line)?.[1] ?? []));
    expect([...told].toSorted()).toEqual([...globals, 'files'].toSorted());
    const outer = await tree.run('tsc', '--noEmit');
    expect(outer.out).not.toContain('electron/host.ts');
  });

  test('strictness: null, unused names, explicit undefined for an optional key, and what Node could not strip', async () => {
    const tree = plantedTree();
    tree.plant('electron/nullable.ts', 'export const length = (text: string | null): number => text.length;\n');
    tree.plant('electron/unused.ts', 'export function f(): void {\n  const left = 1;\n}\n');
    tree.plant('electron/wiped.ts', 'export const used: { readonly fall?: number } = { fall: undefined };\n');
    tree.plant('electron/enumeration.ts', 'export enum Way {\n  Up,\n}\n');
    tree.plant('electron/sound.ts', 'export const sound = 1;\n');
    const { code, out } = await tree.run('tsc', '--noEmit');
    expect(code).not.toBe(0);
    for (const file of ['nullable', 'unused', 'wiped', 'enumeration']) expect(out).toContain(`electron/${file}.ts(`);
    expect(out).not.toContain('electron/sound.ts');
  });
});

test('unused: a file and an export that nobody uses, and a package that nobody imports', async () => {
  const tree = plantedTree();
  tree.plant('bin/wetline.mjs', "await import('../electron/cli.ts');\n");
  tree.plant('electron/cli.ts', "import { used } from './things.ts';\nexport const main = used;\n");
  tree.plant('electron/things.ts', 'export const used = 1;\nexport const idle = 2;\n');
  tree.plant('electron/forgotten.ts', 'export const forgotten = 1;\n');
  tree.plant('electron/jobs/worker.ts', "import 'sharp';\nexport default 1;\n");
  const { code, out } = await tree.run('knip', '--reporter', 'json');
  expect(code).not.toBe(0);
  const found: { issues: readonly Record<string, unknown>[] } = JSON.parse(out.slice(out.indexOf('{')));
  const text = JSON.stringify(found);
  expect(text).toContain('"idle"');
  expect(text).toContain('electron/forgotten.ts');
  expect(text).toContain('"zod"');
  for (const sound of ['"used"', '"sharp"']) expect(text).not.toContain(sound);
});

test('format: a file that prettier would write otherwise', async () => {
  const tree = plantedTree();
  tree.plant('electron/crooked.ts', 'export const crooked = {a:1}\n');
  tree.plant('electron/straight.ts', 'export const straight = { a: 1 };\n');
  const { code, out } = await tree.run('prettier', '--check', 'electron');
  expect(code).not.toBe(0);
  expect(out).toContain('electron/crooked.ts');
  expect(out).not.toContain('electron/straight.ts');
});
