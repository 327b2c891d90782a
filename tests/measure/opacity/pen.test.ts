/** A pen’s colour on other papers from a fitted film and from grounds, on a bench without pixels; docs/study/opacity.md has many more. */
import { beforeAll, describe, expect, test } from 'vitest';
import { deltaE2000 } from '../../../analysis/colour/deltaE.ts';
import { penFindings } from '../../../analysis/measure/opacity/opacityFindings.ts';
import { foretoldOn, layerNumbers, leftOutOf, penLayer } from '../../../analysis/measure/opacity/pen.ts';
import { inkLabOn, opacityBench, type OpacityBench, trueContrast } from '../../../study/opacityBench.ts';

let bench: OpacityBench;
beforeAll(() => {
  bench = opacityBench(31);
});

describe('a pen on four papers', () => {
  test('the film foretells each from the others, near to the truth and within what it says of itself', () => {
    const [{ told, truth }] = bench.pens;
    const leftOut = leftOutOf(told, bench.film.inks);
    expect(leftOut.map(({ paper }) => paper)).toEqual(['white', 'cream', 'coloured', 'grey']);
    const errors = leftOut.map(({ region, foretold }) => deltaE2000(foretold.lab, truth.get(region)!.lab));
    expect(Math.max(...errors)).toBeLessThan(4);
    const within = leftOut.flatMap(({ region, foretold }) =>
      [0, 1, 2].map((c) => Math.abs(foretold.lab[c] - truth.get(region)!.lab[c]) <= 3 * foretold.u[c]),
    );
    expect(within.filter((is) => is).length).toBeGreaterThanOrEqual(11);
  });

  test('so do R0 and T of three channels, less surely', () => {
    const [{ mapped, told, truth }] = bench.pens;
    const [byFilm, byGrounds] = [leftOutOf(told, bench.film.inks), leftOutOf(mapped, [])];
    const size = ({ foretold: { u } }: (typeof byFilm)[number]): number => Math.hypot(...u);
    expect(byGrounds).toHaveLength(4);
    byGrounds.forEach((one, i) => {
      expect(size(one)).toBeGreaterThan(size(byFilm[i]));
      expect(deltaE2000(one.foretold.lab, truth.get(one.region)!.lab)).toBeLessThan(9);
    });
  });

  test('what black would show through it is the truth’s', () => {
    const [, { told, truth }] = bench.pens;
    const { contrast, channels } = layerNumbers(penLayer(told, bench.film.inks))!;
    const exact = [...truth.values()].map(({ doses }) => trueContrast(bench.ink, doses));
    const mean = exact.reduce((a, b) => a + b, 0) / exact.length;
    expect(Math.abs(contrast.value - mean)).toBeLessThan(Math.max(0.02, 2.5 * contrast.u));
    for (const { r0, t } of channels) expect(r0.value + t.value).toBeLessThan(1);
  });

  test('findings: the layer, every paper that it did not write on, and what each would have been off by', () => {
    const [{ told, truth }] = bench.pens;
    const three = { ...told, samples: told.samples.filter(({ paper }) => paper !== 'grey') };
    const found = penFindings(three, bench.papersByMap, bench.film.inks);
    const of = (name: string) => found.filter(({ quantity }) => quantity === name);
    expect(of('film')).toHaveLength(1);
    expect(of('film')[0].curve?.y.map(({ name }) => name)).toEqual(['R0', 'T']);
    expect(of('predictedColour').map(({ subject }) => subject.on)).toEqual(['grey']);
    expect(of('predictedColour')[0].flags).not.toContain('not-checked');
    const [foretold] = of('hiding.predicted');
    expect(foretold.subject).toEqual({ regions: ['B-white', 'B-cream', 'B-coloured'], on: 'grey' });
    // At the same doses on both papers.
    const { doses } = truth.get('B-white')!;
    const [white, grey] = ['white', 'grey'].map((name) => bench.papers[bench.paperNames.indexOf(name)]);
    const change = (some: readonly number[]): number =>
      deltaE2000(inkLabOn(bench.ink, some, white), inkLabOn(bench.ink, some, grey));
    const exact = 1 - change(doses) / change([0]);
    expect(Math.abs(Number(foretold.value) - exact)).toBeLessThan(2.5 * Number(foretold.u));
    expect(Number(foretold.u)).toBeLessThan(0.075);
    expect(of('predictedColour.error').map(({ subject }) => subject.regions.join())).toEqual([
      'B-white',
      'B-cream',
      'B-coloured',
    ]);
  });

  test('two papers are no check, and one without a fit tells nothing', () => {
    const [{ mapped }] = bench.pens;
    const [white, cream, , grey] = mapped.samples;
    const two = penFindings({ samples: [white, grey], bars: [] }, bench.papersByMap, []);
    expect(two.find(({ quantity }) => quantity === 'predictedColour')?.flags).toEqual(['by-grounds', 'not-checked']);
    expect(penFindings({ samples: [white], bars: [] }, bench.papersByMap, [])).toEqual([]);
    expect(penLayer({ samples: [white], bars: [] }, [])).toEqual({ by: 'none', why: 'one-ground' });
    const alike = { samples: [white, { ...cream, paperLab: white.paperLab, lab: white.lab }], bars: [] };
    expect(foretoldOn(penLayer(alike, []), [50, 0, 0])).toBeNull();
    expect(penFindings(alike, bench.papersByMap, [])).toMatchObject([
      { quantity: 'film', value: null, flags: ['grounds-alike'] },
    ]);
  });
});
