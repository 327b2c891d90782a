/** Rules of the house that no tool knows: looked for in the text of every source file. */
import { basename } from 'node:path';
import { describe, expect, test } from 'vitest';
import { sources, textOf } from './projectFiles.ts';

interface Rule {
  readonly says: string;
  readonly files: readonly string[];
  /** True when a file breaks it. */
  readonly broken: (text: string, file: string) => boolean;
  /** Texts (and names) that break it, and some that come near and do not. */
  readonly breaks: readonly (readonly [text: string, file?: string])[];
  readonly keeps: readonly (readonly [text: string, file?: string])[];
}

/** Guards are exempt where they must write what they forbid. */
const EXEMPT = 'tests/guards/';
const everywhere = sources().filter((file) => !file.startsWith(EXEMPT));
const MOST_LINES = 400;

const RULES: readonly Rule[] = [
  {
    says: 'analysis/ has no clock and no chance of its own: the same pixels give the same numbers',
    files: sources(['analysis']),
    broken: (text) => /\bDate\.(now|parse|UTC)\b|\bnew Date\b|\bMath\.random\b|\bperformance\.|\bcrypto\./.test(text),
    breaks: [['Date.now()'], ['new Date(2020)'], ['new Date'], ['Math.random() * 2'], ['performance.now()']],
    keeps: [['const dated = 1;'], ['seededRandom(seed)'], ['mathRandom()']],
  },
  {
    says: 'tests and the sample’s generator draw from seeds too',
    files: sources(['tests', 'sample-scans', 'study']).filter((file) => !file.startsWith(EXEMPT)),
    broken: (text) => /\bMath\.random\b/.test(text),
    breaks: [['const x = Math.random();']],
    keeps: [['const x = random.uniform();']],
  },
  {
    says: 'a file is named for what it does',
    files: everywhere,
    broken: (_, file) =>
      /^(utils?|helpers?|common|misc)$/i.test(basename(file).split('.')[0]) ||
      /(^|\/)(utils?|helpers?|common|misc)\//i.test(file),
    breaks: [
      ['', 'analysis/utils.ts'],
      ['', 'tests/helpers.test.ts'],
      ['', 'electron/common/a.ts'],
      ['', 'study/misc.ts'],
    ],
    keeps: [
      ['', 'analysis/measure/commonInk.ts'],
      ['', 'electron/files/writeWhole.ts'],
    ],
  },
  {
    says: 'no test is focused, skipped or left to do',
    files: sources(['tests']).filter((file) => !file.startsWith(EXEMPT)),
    broken: (text) => /\b(test|it|describe|bench)(\.\w+)*\.(only|skip|skipIf|runIf|todo|fails)\b|\bxit\(/.test(text),
    breaks: [['test.only('], ['describe.skip('], ['test.concurrent.skip('], ['it.todo('], ['test.skipIf(x)(']],
    keeps: [['test.concurrent('], ['test.each(rows)('], ['this.skip(/x/)']],
  },
  {
    says: 'the compiler is not silenced',
    files: everywhere,
    broken: (text) => /@ts-(ignore|expect-error|nocheck)/.test(text),
    breaks: [['// @ts-ignore'], ['/* @ts-nocheck */']],
    keeps: [['// notes'], ['import ts']],
  },
  {
    says: `no file is longer than ${MOST_LINES} lines`,
    files: everywhere,
    broken: (text) => text.split('\n').length - 1 > MOST_LINES,
    breaks: [['x\n'.repeat(MOST_LINES + 1)]],
    keeps: [['x\n'.repeat(MOST_LINES)]],
  },
];

describe.each(RULES)('$says', ({ files, broken, breaks, keeps }) => {
  test('holds', () => {
    expect(files.length).toBeGreaterThan(0);
    expect(files.filter((file) => broken(textOf(file), file))).toEqual([]);
  });

  test('bites', () => {
    expect(breaks.filter(([text, file = 'a.ts']) => !broken(text, file))).toEqual([]);
    expect(keeps.filter(([text, file = 'a.ts']) => broken(text, file))).toEqual([]);
  });
});
