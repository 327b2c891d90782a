/** What the pages say can be held to: examples parse and run, names are those of the code, links lead somewhere. */
import { existsSync, readdirSync } from 'node:fs';
import { dirname, join, normalize } from 'node:path';
import { describe, expect, test } from 'vitest';
import { FIT_DEFAULTS } from '../../analysis/calibrate/fit.ts';
import { INK_DEFAULTS } from '../../analysis/locate/coarseInk.ts';
import { PAPER_DEFAULTS } from '../../analysis/locate/paperSurface.ts';
import { SAMPLE_DEFAULTS } from '../../analysis/measure/inkSample.ts';
import { BOOTSTRAP_DEFAULTS } from '../../analysis/measure/measuredColour.ts';
import { STRIP_DEFAULTS } from '../../analysis/measure/strip/strip.ts';
import { AMOUNT_WORDS, SHADING_LIMITS } from '../../analysis/measure/verdict.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import { main } from '../../electron/cli.ts';
import { HELP } from '../../electron/commands/usage.ts';
import { parseLayout } from '../../electron/sheet/layout.ts';
import { parseReference } from '../../electron/sheet/reference.ts';
import { parseSheet } from '../../electron/sheet/sheet.ts';
import { pages, ROOT, textOf, windowSources } from './projectFiles.ts';

interface Block {
  readonly page: string;
  readonly line: number;
  readonly language: string;
  readonly text: string;
}

const PAGES = pages();
const BLOCKS = PAGES.flatMap(blocksOf);

function blocksOf(page: string): Block[] {
  const text = textOf(page);
  return [...text.matchAll(/^ *```(\w*)\n([\s\S]*?)^ *```$/gm)].map((found) => ({
    page,
    line: text.slice(0, found.index).split('\n').length,
    language: found[1],
    text: found[2],
  }));
}

/** A page without its code blocks, whose '#' and brackets mean other things. */
function prose(page: string): string {
  return textOf(page).replaceAll(/^ *```[\s\S]*?^ *```$/gm, '');
}

function blocks(language: string): Block[] {
  return BLOCKS.filter((block) => block.language === language);
}

/** Members of a union of names, in the source of analysis/quantity.ts. */
function union(name: string): string[] {
  const [, members] = new RegExp(`export type ${name} =([^;]+);`).exec(textOf('analysis/quantity.ts')) ?? [];
  return [...(members ?? '').matchAll(/'([^']+)'/g)].map((found) => found[1]);
}

const QUANTITIES = union('QuantityName');
const FLAGS = union('Flag');
const UNITS = union('Unit');

/** Options that take a value. */
const VALUED = ['--out', '--csv', '--curves', '--overlays', '--before', '--size', '--layout', '--scan', '--printer'];

/** What is wrong with a JSON example, by its "format"; parsers throw their own line. */
function faultsOf(text: string, page: string): string[] {
  const value: { format?: string; findings?: readonly Partial<Quantity>[] } = JSON.parse(text);
  if (value.format === 'wetline-sheet/1') return parseSheet(text, page).regions.length > 0 ? [] : ['no regions'];
  if (value.format === 'wetline-target/1') return parseLayout(text, page).patches.length > 0 ? [] : ['no patches'];
  if (value.format !== undefined && value.format !== 'wetline-findings/1') return [`format ${value.format}`];
  return (value.findings ?? []).flatMap(({ quantity = '', unit = '', flags = [] }) => [
    ...(QUANTITIES.includes(quantity) ? [] : [quantity]),
    ...(UNITS.includes(unit) ? [] : [unit]),
    ...flags.filter((flag) => !FLAGS.includes(flag)),
  ]);
}

describe('examples', () => {
  test.each(blocks('json'))('$page, line $line: the JSON is what the program reads or writes', ({ page, text }) => {
    expect(faultsOf(text, page)).toEqual([]);
  });

  test('the reference is read', () => {
    const found = blocks('text').filter(({ text }) => text.startsWith('CGATS'));
    expect(found.length).toBeGreaterThan(0);
    for (const { page, text } of found) expect(parseReference(text, page).patches.size).toBeGreaterThan(0);
  });

  test('every wetline command is understood with all its options', async () => {
    const commands = [
      ...blocks('sh').flatMap(({ text }) => [...text.matchAll(/(?:^|[ &])wetline ([a-z]+[^\n&#]*)/gm)]),
      ...PAGES.flatMap((page) => [...prose(page).matchAll(/`(?:npx )?wetline ([a-z]+[^`]*)`/g)]),
    ].map((found) => found[1].trim().split(/\s+/));
    expect(commands.length).toBeGreaterThan(10);
    for (const [command, ...rest] of commands) {
      // Nothing is to be measured here: the same options with a file that is not there.
      const takesValue = (word: string | undefined): boolean => word !== undefined && VALUED.includes(word);
      const args = rest.map((word, i) =>
        word.startsWith('-') || (takesValue(rest[i - 1]) && rest[i - 1] !== '--out') ? word : 'no/such/file',
      );
      // The card needs no file to be made from, so its name is what must not be there.
      if (command === 'card' && !args.includes('--out')) args.push('--out', 'no/such/file');
      if (
        command !== 'help' &&
        command !== 'card' &&
        args.every((word, i) => word.startsWith('-') || takesValue(args[i - 1]))
      )
        args.unshift('no/such/file');
      if (takesValue(args.at(-1))) args.push('some.json');
      let said = '';
      const hear = (text: string) => void (said += text);
      const code = await main([command, ...args], { out: hear, err: hear, watched: false });
      expect(`${command} ${rest.join(' ')}: ${said}`).toMatch(/no such file|wetline help|its folder does not exist/);
      expect(code).toBe({ help: 0, check: 1 }[command] ?? 2);
    }
  });

  test('every npm script that is named exists, and the guide tells the daily ones', () => {
    const { scripts }: { scripts: Record<string, string> } = JSON.parse(textOf('package.json'));
    const named = PAGES.flatMap((page) => [...textOf(page).matchAll(/npm run ([\w-]+)/g)].map((found) => found[1]));
    expect(named.filter((name) => !(name in scripts))).toEqual([]);
    const guide = textOf('DEVELOPERS.md');
    for (const daily of ['npm test', 'npm run check', 'npm run bench', 'npm run study', 'npm run samples'])
      expect(guide).toContain(daily);
  });

  test('every option of the command line has its place in README.md, docs/ or the help', () => {
    const all = PAGES.map(textOf).join('\n');
    const options = new Set(HELP.match(/--[a-z]+/g));
    expect([...options].filter((option) => option !== '--version' && !all.includes(option))).toEqual([]);
  });

  test.each(blocks('ts'))('$page, line $line: what the code imports is there', async ({ text }) => {
    const imports = [...text.matchAll(/^import (?:\{ ([^}]+) \}|(\w+)) from '\.\/([^']+)';/gm)];
    expect(imports.length).toBeGreaterThan(0);
    for (const [, names, whole, file] of imports) {
      const module: Record<string, unknown> = await import(join(ROOT, file));
      for (const name of whole === undefined ? names.split(', ') : ['default']) expect(module).toHaveProperty(name);
    }
  });
});

describe('the page of the window', () => {
  test('has every key that a page binds', () => {
    const [, table] = /^## All keys\n([\s\S]*?)^## /m.exec(textOf('docs/window.md')) ?? [];
    const bound = windowSources().flatMap((file) => [...textOf(file).matchAll(/\bkeys: '([^']+)'/g)]);
    const keys = new Set(bound.flatMap(([, keys]) => keys.split(' / ')).map(spokenInDocs));
    expect(keys.size).toBeGreaterThan(30);
    expect([...keys].filter((key) => !table.includes(key))).toEqual([]);
  });
});

/** As the page writes it: 'n' is `N`, and keys with a name of their own stand as words. */
function spokenInDocs(key: string): string {
  if (key.startsWith('Arrow')) return 'arrows';
  return /^[A-Z][a-z]+$/.test(key) ? key : `\`${key.length === 1 ? key.toUpperCase() : key}\``;
}

describe('the handbook of measures', () => {
  const handbook = textOf('docs/measures.md');
  const headings = [...handbook.matchAll(/^### `([^`]+)`$/gm)].map((found) => found[1]);

  test('has every quantity once, and none besides', () => {
    expect(QUANTITIES.length).toBeGreaterThan(20);
    expect(headings.toSorted()).toEqual(QUANTITIES.toSorted());
  });

  test('gives every quantity a unit of the code', () => {
    const parts = handbook.split(/^### `/m).slice(1);
    const units = parts.map((part) => {
      const [, unit] = /^\S+`\n\nUnit ([^\s;]+?)[.;] /.exec(part.replaceAll('\\*', '*')) ?? [];
      return [part.split('`')[0], unit];
    });
    expect(units.filter(([, unit]) => unit === undefined || !UNITS.includes(unit))).toEqual([]);
  });

  test('has no unit that the page of file formats lacks', () => {
    const [, row] = /^\| `unit` +\| (.+?) +\|$/m.exec(textOf('docs/file-formats.md')) ?? [];
    const listed = [...(row ?? '').matchAll(/`"([^"]+)"`/g)].map((found) => found[1]);
    const used = [...handbook.replaceAll('\\*', '*').matchAll(/^Unit ([^\s;]+?)[.;] /gm)].map((found) => found[1]);
    expect(listed.toSorted()).toEqual([...new Set(used)].toSorted());
  });

  test('has every flag in its table, and none besides', () => {
    const rows = [...handbook.matchAll(/^\| `([a-z-]+)` +\|/gm)]
      .map((found) => found[1])
      .filter((r) => r !== 'repeatability');
    const flags = rows.filter((row) => !['calibration', 'placement'].includes(row));
    expect(flags.toSorted()).toEqual(FLAGS.toSorted());
  });

  test('names no flag that the code does not know', () => {
    const named = [...prose('docs/measures.md').matchAll(/`([a-z]+(?:-[a-z]+)+)`/g)].map((found) => found[1]);
    expect(named.filter((name) => !FLAGS.includes(name))).toEqual([]);
  });

  test.each<[string, readonly (string | number)[], RegExp]>([
    ['limits of words', SHADING_LIMITS, /below (\S+) +\| below (\S+) +\| below (\S+) +\| from 5 on/],
    ['words', AMOUNT_WORDS, /\| (none) +\| (faint) +\| (clear) +\| (strong) +\|/],
    ['judgement', FIT_DEFAULTS.judgementLimits, /at most (\d)\.0 `good`, at\s+most (\d)\.0 `usable`/],
    ['ridges', FIT_DEFAULTS.ridges, /ridge of\s+(\S+), (\S+) or (\S+)\.\s/],
    [
      'bootstrap',
      [BOOTSTRAP_DEFAULTS.blockMm, BOOTSTRAP_DEFAULTS.draws],
      /blocks of (\S+) mm \(colours and shading; (\d+) and/,
    ],
    ['strip draws', [STRIP_DEFAULTS.repeats], /of a strip \((\d+) draws\)/],
    [
      'lane and bins',
      [100 * STRIP_DEFAULTS.laneMiddle, STRIP_DEFAULTS.binMm],
      /middle (\S+) % is read in bins of\s+(\S+) mm/,
    ],
    ['origin', [STRIP_DEFAULTS.originReachMm], /within (\S+) mm of the origin line/],
    ['smoothing along strokes', [SAMPLE_DEFAULTS.alongMm], /σ (0\.15) mm/],
    ['smoothing of swabs', [SAMPLE_DEFAULTS.swabMm], /Gaussian of σ (\S+) mm/],
    ['ink', [INK_DEFAULTS.minAreaMm2], /larger than (\S+) mm²/],
    [
      'paper',
      [100 * PAPER_DEFAULTS.likeness, PAPER_DEFAULTS.calmness],
      /within (\S+) % in each channel and no more than (\S+) times/,
    ],
  ])('states the %s that the code uses', (_, used, stated) => {
    // Where a line of prose ends is nobody's business.
    const [, ...found] = stated.exec(handbook.replaceAll(/\s+/g, ' ')) ?? [];
    expect(found.map((text) => (/^[\d.]+$/.test(text) ? Number(text) : text))).toEqual(
      used.map((value) => (typeof value === 'number' ? Number(value.toPrecision(6)) : value)),
    );
  });
});

test('the handbook’s figures of what does not cancel are those of the code', () => {
  const code = textOf('analysis/calibrate/sharedDoubt.ts') + textOf('analysis/calibrate/uncertainty.ts');
  const numbers = (text: string, ...patterns: readonly RegExp[]): (string | undefined)[] =>
    patterns.flatMap((pattern) => pattern.exec(text)?.slice(1));
  const stated = numbers(
    textOf('docs/measures.md').replace(/\s+/g, ' '),
    /as (\S+) · ΔE00<sup>(\S+)<\/sup>, and between two papers as (\S+) · ΔE00<sup>(\S+)<\/sup>/,
    /part is (\S+) for it, (\S+) for one whose/,
    /and (\S+) where nothing tells\./,
    /; (\S+) of that where nothing tells .* and (\S+) with few dyes/,
    /left-out mean exceeds (\S+) ΔE00/,
    /plus (\S+) ΔE00 and a fifth/,
    /mean of (\S+) ΔE00 it is one scanner, from (\S+) on two/,
    /u of inks is (\S+), (\S+) and (\S+) ΔE00/,
    /and (\S+), (\S+) and (\S+) by a profile/,
  );
  const used = numbers(
    code,
    /ONE_PAPER = \{ scale: (\S+), power: (\S+) \}/,
    /TWO_PAPERS = \{ scale: (\S+), power: (\S+) \}/,
    /'few-dyes': \{ ink: (\S+),/,
    /varied: \{ ink: (\S+),/,
    /'cannot-tell': \{ ink: (\S+), .* difference: (\S+) \}/,
    /'few-dyes': .* difference: (\S+) \}/,
    /USUAL_LEFT_OUT = (\S+);/,
    /constant: (\S+),/,
    /ONE_SCANNER = (\S+);/,
    /TWO_SCANNERS = (\S+);/,
    /AS_SRGB = \{ ink: \[(\S+), (\S+), (\S+)\]/,
    /BY_PROFILE = \{ ink: \[(\S+), (\S+), (\S+)\]/,
  );
  expect(stated).toHaveLength(19);
  expect(stated).toEqual(used);
});

describe('links', () => {
  const anchorsOf = (page: string): Set<string> =>
    new Set([...prose(page).matchAll(/^#+ (.+)$/gm)].map((found) => slug(found[1])));

  test('lead to files and headings that are there', () => {
    const isDead = (page: string, link: string): boolean => {
      if (/^https?:/.test(link)) return false;
      const [path, anchor] = link.split('#');
      const file = path === '' ? page : normalize(join(dirname(page), path)).replaceAll('\\', '/');
      if (!existsSync(join(ROOT, file))) return true;
      return anchor !== undefined && !anchorsOf(file).has(anchor);
    };
    const links = PAGES.flatMap((page) =>
      [...prose(page).matchAll(/\]\(([^)\s]+)\)/g)].map((found) => ({ page, link: found[1] })),
    );
    expect(links.length).toBeGreaterThan(50);
    expect(links.filter(({ page, link }) => isDead(page, link))).toEqual([]);
  });

  test('files and folders that a page names are there', () => {
    // A file that the guide tells how to make.
    const toCome = ['analysis/measure/lineWidth.ts'];
    const place = /`((?:analysis|electron|renderer|bin|tests|study|bench|docs|sample-scans)\/[\w./-]*)`/g;
    const named = PAGES.flatMap((page) => [...prose(page).matchAll(place)].map((found) => found[1]));
    expect(named.length).toBeGreaterThan(30);
    expect(named.filter((name) => !existsSync(join(ROOT, name)) && !toCome.includes(name))).toEqual([]);
  });

  test('every published table has its source among the licences', () => {
    const tables = readdirSync(join(ROOT, 'tests/vectors')).filter((name) => /\.(csv|json)$/.test(name));
    const licences = textOf('docs/licences.md');
    expect(tables.filter((name) => !licences.includes(`\`${name}\``))).toEqual([]);
  });

  test('every decision is listed, and short', () => {
    const decisions = PAGES.filter((page) => /^docs\/decisions\/\d/.test(page));
    const list = textOf('docs/decisions/README.md');
    expect(decisions.length).toBeGreaterThan(0);
    expect(decisions.filter((page) => !list.includes(`(${page.split('/')[2]})`))).toEqual([]);
    expect(decisions.filter((page) => textOf(page).trimEnd().split('\n').length > 15)).toEqual([]);
  });
});

/** As GitHub makes anchors of headings. */
function slug(heading: string): string {
  return heading
    .toLowerCase()
    .replaceAll(/[^\p{L}\p{N} _-]/gu, '')
    .replaceAll(' ', '-');
}
