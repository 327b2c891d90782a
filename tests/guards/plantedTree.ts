/** A small tree under the project's own settings, to plant violations in: each guard must be seen to bite. */
import { execFile } from 'node:child_process';
import { copyFileSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll } from 'vitest';
import { ROOT } from './projectFiles.ts';

export interface Ran {
  readonly code: number;
  readonly out: string;
}

export interface PlantedTree {
  /** @param file Relative to the tree, as it would be to the project. */
  plant(file: string, text: string): void;
  /** A tool of node_modules/.bin, started as `npm run check` starts it, in this tree. */
  run(tool: string, ...args: readonly string[]): Promise<Ran>;
}

const SETTINGS = [
  'package.json',
  'tsconfig.json',
  'analysis/tsconfig.json',
  '.oxlintrc.json',
  'knip.json',
  '.prettierrc.json',
  '.prettierignore',
];

export function plantedTree(): PlantedTree {
  const path = mkdtempSync(join(tmpdir(), 'wetline-guards-'));
  afterAll(() => rmSync(path, { recursive: true, force: true }));
  for (const file of SETTINGS) {
    mkdirSync(dirname(join(path, file)), { recursive: true });
    copyFileSync(join(ROOT, file), join(path, file));
  }
  symlinkSync(join(ROOT, 'node_modules'), join(path, 'node_modules'), 'dir');
  return {
    plant(file, text) {
      mkdirSync(dirname(join(path, file)), { recursive: true });
      writeFileSync(join(path, file), text);
    },
    run(tool, ...args) {
      const script = join(ROOT, 'node_modules', '.bin', tool);
      return new Promise((resolve, reject) => {
        execFile(process.execPath, [script, ...args], { cwd: path, maxBuffer: 2 ** 24 }, (error, out, err) => {
          if (error && typeof error.code !== 'number') reject(error);
          else resolve({ code: Number(error?.code ?? 0), out: out + err });
        });
      });
    },
  };
}
