/** Sheen on ink of hardly more than one dose, where it grows with the dose: a path through all colours would follow it. */
import { describe, expect, test } from 'vitest';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { type Xyz, xyzToLab } from '../../analysis/colour/lab.ts';
import { measureSheen, type SheenPlace } from '../../analysis/measure/sheen.ts';
import { pathBesideSheen } from '../../analysis/measure/sheenPath.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { triple } from '../../analysis/triple.ts';
import { doseTable, entryOf, xyzAt } from '../../sample-scans/generator/doseTable.ts';
import { drawInk } from '../../sample-scans/generator/ink.ts';
import { drawPaper } from '../../sample-scans/generator/paper.ts';
import { drawScanner } from '../../sample-scans/generator/scanner.ts';
import { drawSheen } from '../../sample-scans/generator/sheen.ts';

const N = 3000;
const PLACE: SheenPlace = { indices: Int32Array.from({ length: N }, (_, k) => k), widthPx: 60, stepPx: 1, blurPx: 0 };
const BLOCKS = { of: Int32Array.from({ length: N }, (_, k) => k % 40), count: 40 };

/** Doses even over 1 to 1.5. @param amount Reflectance of a whole layer; the densest four tenths have some, the denser the more, in patches. @param least The thinnest layer's share of a whole one, and how much more there may be. */
function swab(seed: number, kind: string, amount: number, [least, more] = [0, 1.2]) {
  const random = seededRandom(seed);
  const ink = drawInk(seed, { kind });
  const scanner = drawScanner(seed);
  const table = doseTable(ink, drawPaper(seed, 'brightWhite', 'white').reflectance, scanner);
  const metal = drawSheen(seed, ink, scanner, amount).xyz;
  const film = Array.from({ length: 300 }, (_, k) => xyzToLab(xyzAt(table, entryOf(table, 0.5 + k / 150))));
  const xyz = new Float32Array(3 * N);
  let off = 0;
  let looked = 0;
  for (let k = 0; k < N; k++) {
    const rank = random();
    const layer = Math.min(1, Math.max(0, (rank - 0.6) / 0.2)) * Math.min(1, least + more * random());
    const under = xyzAt(table, entryOf(table, 1 + 0.5 * rank));
    const seen: Xyz = triple((c) => under[c] + layer * metal[c]);
    const grain = 1 + 0.006 * (random() + random() - 1);
    xyz.set(
      seen.map((v) => v * grain),
      3 * k,
    );
    if (k % 5 !== 0) continue;
    looked++;
    const lab = xyzToLab(seen);
    if (film.every((f) => deltaE2000(f, lab) > 3)) off++;
  }
  return { xyz, paper: xyzAt(table, 0), truth: (100 * off) / looked };
}

const told = ({ xyz, paper }: ReturnType<typeof swab>) =>
  measureSheen({ xyz, paper, place: PLACE }, BLOCKS, { regions: ['r'] }, [], 1).quantity;

describe.each(['rust', 'burgundy', 'dusk blue', 'blue-black'])('%s', (kind) => {
  test('sheen of the densest is told as much as it is', () => {
    const made = swab(31, kind, 0.1);
    const { value, u } = told(made);
    expect(made.truth).toBeGreaterThan(8);
    expect(Number(value)).toBeGreaterThan(0.7 * made.truth);
    expect(Math.abs(Number(value) - made.truth)).toBeLessThan(2 * Number(u));
  });

  test('there is none without it, and little doubt', () => {
    const { value, u } = told(swab(31, kind, 0));
    expect(value).toBeLessThan(0.05);
    expect(u).toBeLessThan(1);
  });

  test('hardly a colour lies where sheen cannot be', () => {
    const { xyz, paper } = swab(31, kind, 0.1);
    expect(pathBesideSheen(xyz, paper)?.wrongSide).toBeLessThan(0.005);
  });
});

test.each([
  ['bends the path through all colours to itself', 31, 'rust', 0.1],
  ['makes the densest look no denser than the rest', 32, 'brown', 0.1],
  ['lets all paths follow it but one that hardly bends', 19, 'rust', 0.12],
] as const)('sheen that lies nearly everywhere where ink is dense and %s is found', (_, seed, kind, amount) => {
  const made = swab(seed, kind, amount, [0.4, 0.8]);
  const { value } = told(made);
  expect(made.truth).toBeGreaterThan(20);
  expect(Number(value)).toBeGreaterThan(0.8 * made.truth);
  expect(Number(value)).toBeLessThan(made.truth);
});

test('what lies a little off on sheen’s side is in doubt, for it may bend the path', () => {
  const faint = swab(31, 'rust', 0.02);
  const { value, u } = told(faint);
  expect(Math.abs(Number(value) - faint.truth)).toBeLessThan(2 * Number(u));
  expect(Number(u)).toBeGreaterThan(2 * Number(told(swab(31, 'rust', 0)).u));
});

test('where a path through all colours turns to where sheen leads, some may hide', () => {
  const [made, none] = [swab(8, 'rust', 0.12), swab(8, 'rust', 0)];
  expect(pathBesideSheen(none.xyz, none.paper)?.turned).toBe(0);
  expect(pathBesideSheen(made.xyz, made.paper)?.turned).toBe(1);
  const { value, u } = told(made);
  expect(Math.abs(Number(value) - made.truth)).toBeLessThan(Number(u));
  // Without that doubt 6.7.
  expect(u).toBeGreaterThan(7);
});

test('nothing is told of a scan whose colours were thinned out', () => {
  const { xyz, paper } = swab(31, 'rust', 0.1);
  const found = measureSheen({ xyz, paper, place: PLACE }, BLOCKS, { regions: ['r'] }, ['lossy'], 1);
  expect(found.quantity).toMatchObject({ value: null, u: null, flags: ['lossy', 'lower-bound', 'cannot-tell'] });
  expect([found.pixels.length, found.near]).toEqual([0, null]);
});
