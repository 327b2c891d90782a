/** Ink on kinds of page, held against the exact masks of rendered pages; many seeds and all kinds in docs/study/page-kinds.md. */
import { describe, expect, test } from 'vitest';
import { components } from '../../analysis/raster/components.ts';
import { PAGE_KINDS } from '../../study/pageKinds/kinds.ts';
import { intersectionOverUnion, measurePageKind } from '../../study/pageKinds/measure.ts';
import { PAGE_SIZE_MM, type RenderedPage, renderPageKind, type SizeMm } from '../../study/pageKinds/render.ts';

/** Half of what the study renders: two lines of writing, four rules. */
const SMALL: SizeMm = [36, 24];

function rendered(name: string, seed: number, sizeMm: SizeMm = SMALL): RenderedPage {
  const kind = PAGE_KINDS.find((k) => k.name === name);
  if (!kind) throw new Error(`No kind of page "${name}"; there are ${PAGE_KINDS.map((k) => k.name).join(', ')}.`);
  return renderPageKind(kind, seed, 300, sizeMm);
}

describe('ink is found at 300 dpi', () => {
  // Twice as coarse as where the goals stand: a fifth of a pixel all around a line of 5 px costs 0.08.
  test.each([
    ['squared', 5, 0.95],
    ['own-colour-ruled', 4, 0.95],
    ['own-colour-dotted', 22, 0.95],
    ['yellow-on-grey', 22, 0.95],
    ['creased-yellow', 22, 0.93],
    ['shadowed', 22, 0.95],
  ])('on %s paper (seed %i)', (name, seed, least) => {
    const page = rendered(name, seed, name === 'own-colour-ruled' ? PAGE_SIZE_MM : SMALL);
    const { found } = measurePageKind(page);
    expect(intersectionOverUnion(found!.ink.mask, page.truth)).toBeGreaterThan(least);
    // No stroke is cut where it crosses print: as many pieces as there are, but for dust.
    const pieces = (mask: RenderedPage['truth']) => components(mask).filter((c) => c.area > 20).length;
    expect(pieces(found!.ink.mask)).toBe(pieces(page.truth));
  });

  test.each([
    ['pencilled', 5],
    // A near-grey ink beside a black label, which only its line and its finer strokes tell.
    ['printed-label', 12],
    // A word that hangs on to the writing, a single word as good as free of it, and two words beside a nearly black ink.
    ['printed-label', 307],
    ['printed-label', 313],
    ['printed-label', 323],
  ])('beside a label (%s), which is left out and told', (name, seed) => {
    const page = rendered(name, seed, PAGE_SIZE_MM);
    const { ink } = measurePageKind(page).found!;
    expect(ink.otherMarksPx).toBeGreaterThan(300);
    expect(intersectionOverUnion(ink.mask, page.truth)).toBeGreaterThan(0.95);
  });
});

test('of a small region a crease that covers twice what is written is no ink', () => {
  // An olive yellow that takes two fifths as much red as blue: no channel is clear of it.
  const page = rendered('creased-yellow', 103, [30, 20]);
  expect(intersectionOverUnion(measurePageKind(page).found!.ink.mask, page.truth)).toBeGreaterThan(0.95);
});

test.each([
  ['ruled-blank', 4],
  ['squared-blank', 22],
  ['dotted-blank', 21],
])('no ink on a %s page', (name, seed) => {
  const { found, paper } = measurePageKind(rendered(name, seed));
  expect(paper).not.toBeNull();
  expect(found).toBeNull();
});

test('pages of one seed are the same to the last bit, those of another are not', () => {
  const [a, b, c] = [7, 7, 8].map((seed) => rendered('ruled-blank', seed, [9, 7]).raster.data);
  expect(a).toEqual(b);
  expect(a.some((v, i) => v !== c[i])).toBe(true);
});
