/** Where the film tells less: papers enough to leave one out, and inks too grey for a hue. */
import { expect, test } from 'vitest';
import { measureFilm } from '../../analysis/measure/film/measureFilm.ts';
import { WAVELENGTHS_NM } from '../../analysis/film/grid.ts';
import { chroma } from '../../analysis/colour/lab.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { filmWorld } from '../../study/filmWorlds.ts';
import { drawInk, drawPaper } from '../../study/simulatedColours.ts';
import { filmBench, findingOf, labOf, type Sample } from './filmBench.ts';

const GRADED = [0.12, 0.25, 0.45, 0.8, 1.2, 1.7, 2.2];
const world = filmWorld(211);
const papers = (['white', 'cream', 'white'] as const).map((kind, i) => drawPaper(kind, seededRandom(5 + i)));
const swab = (paper: number): Sample => ({ id: `swab${paper}`, paper, doses: GRADED, kind: 'swab' });
/** Of all wavelengths alike, and above that a bell at 600 nm. */
const inkOf = (coloured: number) =>
  drawInk(
    WAVELENGTHS_NM.map((nm) => 1 - coloured + coloured * Math.exp(-(((nm - 600) / 42) ** 2) / 2)),
    seededRandom(3),
  );

// Of two papers none is (filmMeasure.test.ts): one paper tells nothing of another.
test('of three papers each is foretold from the other two', () => {
  const samples = papers.map((_, paper): Sample => ({ ...swab(paper), doses: [0.2, 0.5, 1, 2] }));
  const [ink] = measureFilm(filmBench(world, inkOf(0.9), papers, samples).input).inks;
  expect(ink.without.map(({ regions }) => regions)).toEqual([['swab0'], ['swab1'], ['swab2']]);
});

test('a hue from dark to light is told of a coloured ink, not of a grey one', () => {
  const hueOf = (coloured: number) => {
    const { findings } = measureFilm(
      filmBench(world, inkOf(coloured), papers, [swab(0), { id: 'pen', paper: 0, doses: [0.9, 1.3] }]).input,
    );
    const { method, value } = findingOf(findings, 'inkColour', 'pen');
    expect(method).toMatch(/-film/);
    return { chroma: chroma(labOf(value)), hue: findingOf(findings, 'shading.dHue', 'pen') };
  };
  const grey = hueOf(0.03);
  expect(grey.chroma).toBeLessThan(2);
  expect(grey.hue).toMatchObject({ value: null, u: null, flags: expect.arrayContaining(['cannot-tell']) });
  const faint = hueOf(0.2);
  expect(faint.chroma).toBeGreaterThan(2);
  expect(typeof faint.hue.value).toBe('number');
});
