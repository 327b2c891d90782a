/** An ink's findings through its fitted film, against exact truth and against the map; what keeps a number from it, and what then is said. */
import { beforeAll, describe, expect, test } from 'vitest';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50, type LabD50, labToXyz, xyzToLabWhite } from '../../analysis/colour/lab.ts';
import { type FilmMeasure, measureFilm } from '../../analysis/measure/film/measureFilm.ts';
import { whyNotBelieved } from '../../analysis/measure/film/rules.ts';
import { fitInk } from '../../analysis/measure/film/inkFilm.ts';
import { doseSeries } from '../../analysis/measure/film/series.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { WAVELENGTHS_NM } from '../../analysis/film/grid.ts';
import { filmWorld } from '../../study/filmWorlds.ts';
import { drawAbsorption, drawInk, drawPaper, type SimulatedInk } from '../../study/simulatedColours.ts';
import { type FilmBench, filmBench, findingOf, labOf, type Sample, within } from './filmBench.ts';

const GRADED = [0.12, 0.25, 0.45, 0.8, 1.2, 1.7, 2.2];
const papers = [drawPaper('white', seededRandom(5)), drawPaper('cream', seededRandom(6))];
const page = (paper: number, more: Partial<Sample> = {}): Sample[] => [
  { id: `ef${paper}`, paper, doses: [0.6, 0.75], ...more },
  { id: `b${paper}`, paper, doses: [1.3, 1.6], ...more },
  { id: `swab${paper}`, paper, doses: GRADED, kind: 'swab', ...more },
];
const bell = (at: number, sd: number): SimulatedInk => {
  const k = WAVELENGTHS_NM.map((nm) => 0.01 + Math.exp(-(((nm - at) / sd) ** 2) / 2));
  return drawInk(
    k.map((v) => v / Math.max(...k)),
    seededRandom(3),
  );
};
const blue = bell(600, 42);
const red = bell(500, 40);
const world = filmWorld(211);

const flagsOf = (measured: FilmMeasure, quantity: string, ...regions: string[]) =>
  findingOf(measured.findings, quantity, ...regions).flags;
const wordsOf = ({ missing }: FilmMeasure, region: string) =>
  missing.find(({ regions }) => regions.includes(region))?.words;

describe('on two papers with graded swabs', () => {
  const benches: { readonly bench: FilmBench; readonly measured: FilmMeasure }[] = [];
  beforeAll(() => {
    for (const seed of [211, 212, 213]) {
      const random = seededRandom(seed);
      const here = seed === 211 ? world : filmWorld(seed);
      for (const ink of [drawInk(drawAbsorption(random), random), drawInk(drawAbsorption(random), random)]) {
        const bench = filmBench(here, ink, papers, [...page(0), ...page(1)]);
        benches.push({ bench, measured: measureFilm(bench.input) });
      }
    }
  }, 240_000);

  const colours = () =>
    benches.flatMap(({ bench: { truth }, measured }) =>
      [...truth].map(([id, { colour }]) => {
        const found = findingOf(measured.findings, 'inkColour', id);
        const byMap = found.byMap?.value ?? found.value;
        return {
          film: deltaE2000(labOf(found.value), colour),
          map: deltaE2000(labOf(byMap), colour),
          within: within(found, colour),
          through: found.method === 'inkColour-film/15',
        };
      }),
    );
  const quantile = (values: readonly number[], q: number) =>
    values.toSorted((a, b) => a - b)[Math.min(values.length - 1, Math.floor(q * values.length))];

  test('colours come nearer than through the map, and truth lies within their ± 2u', () => {
    const all = colours();
    expect(all.filter(({ through }) => through).length).toBeGreaterThan(0.7 * all.length);
    const film = all.map((one) => one.film);
    const map = all.map((one) => one.map);
    expect(quantile(film, 0.5)).toBeLessThan(0.75 * quantile(map, 0.5));
    expect(quantile(film, 0.9)).toBeLessThan(2);
    expect(quantile(film, 0.9)).toBeLessThan(quantile(map, 0.9));
    expect(all.reduce((sum, one) => sum + one.within, 0) / all.length).toBeGreaterThan(0.9);
  });

  test('so do differences between two papers, between nibs and within one swab', () => {
    const errors = benches.flatMap(({ bench: { truth }, measured }) => {
      const of = (quantity: string, ids: string[], exact: number) => {
        const { value, u, byMap } = findingOf(measured.findings, quantity, ...ids);
        const map = Number(byMap ? byMap.value : value);
        return { film: Math.abs(Number(value) - exact), map: Math.abs(map - exact), u: Number(u) };
      };
      const [a, b] = [truth.get('b0')!, truth.get('b1')!];
      const swab = truth.get('swab0')!;
      return [
        of('toneShift', ['b0', 'b1'], deltaE2000(a.colour, b.colour)),
        of('toneShift.adapted', ['b0', 'b1'], deltaE2000(against(a), against(b))),
        of('nibShading', ['ef0', 'b0'], deltaE2000(truth.get('ef0')!.colour, a.colour)),
        of('swabVariation', ['swab0'], deltaE2000(swab.dark, swab.light)),
      ];
    });
    const sum = (of: (one: (typeof errors)[number]) => number) => errors.reduce((all, one) => all + of(one), 0);
    expect(sum(({ film }) => film)).toBeLessThan(0.8 * sum(({ map }) => map));
    expect(sum(({ film, u }) => (film <= 2 * u ? 1 : 0)) / errors.length).toBeGreaterThan(0.85);
    // Against its own paper the paper's doubt counts too: where the least doubt does not hide it, another one than that of the ink alone.
    const apart = benches.map(({ measured }) => {
      const [ink, own] = ['toneShift', 'toneShift.adapted'].map((quantity) =>
        Number(findingOf(measured.findings, quantity, 'swab0', 'swab1').uParts?.calibration),
      );
      return Math.abs(ink / own - 1);
    });
    expect(Math.max(...apart)).toBeGreaterThan(0.05);
  });

  test('the ink’s own findings: where it absorbs, its colours by dose on each paper, and how well it fits', () => {
    for (const { measured } of benches) {
      const [absorption] = measured.findings.filter(({ quantity }) => quantity === 'absorption');
      expect(absorption.curve?.x.values).toEqual([...WAVELENGTHS_NM]);
      expect(Math.max(...(absorption.curve?.y[0].values ?? []))).toBe(1);
      const curves = measured.findings.filter(({ quantity }) => quantity === 'doseCurve');
      expect(curves.map(({ subject }) => subject.regions.every((id) => id.endsWith('0')))).toEqual([true, false]);
      for (const { value, u, curve } of curves) {
        expect(Math.abs(Number(value) - 2.2 / 0.12)).toBeLessThan(3 * Number(u) + 2);
        const L = curve!.y[0].values;
        expect(L.every((v, i) => i === 0 || v < L[i - 1])).toBe(true);
      }
      expect(findingOf(measured.findings, 'fitQuality', ...absorption.subject.regions).verdict).toBe('fits');
    }
  });

  test('findings keep their order and their subjects, and no number loses its unit', () => {
    for (const { bench, measured } of benches) {
      const named = (list: readonly { quantity: string; subject: { regions: readonly string[] }; unit: string }[]) =>
        list.map(({ quantity, subject, unit }) => `${quantity} ${subject.regions.join()} ${unit}`);
      expect(named(measured.findings.slice(0, bench.input.findings.length))).toEqual(named(bench.input.findings));
    }
  });
});

describe('one ink on one or two sheets', () => {
  test('a swab’s dark and light lie at the ends of its doses', () => {
    const bench = filmBench(world, blue, papers, page(0));
    const measured = measureFilm(bench.input);
    const { dark, light } = bench.truth.get('swab0')!;
    const found = findingOf(measured.findings, 'swabVariation.dL', 'swab0');
    expect(found.method).toBe('swabVariation-film/13');
    expect(Math.abs(Number(found.value) - (light[0] - dark[0]))).toBeLessThan(2 * Number(found.u));
  });

  test('of a number told through the film the map’s is kept beside it, and no difference mixes the two', () => {
    const measured = measureFilm(filmBench(world, blue, papers, [...page(0), ...page(1)]).input);
    const told = measured.findings.filter(({ byMap }) => byMap !== undefined);
    expect(told.length).toBeGreaterThan(20);
    expect(measured.inks.map(({ without }) => without)).toEqual([[]]);
    for (const finding of told) {
      expect(finding.method).toMatch(/-film\/\d+$/);
      expect(finding.byMap!.method).not.toMatch(/-film/);
      expect(finding.flags).not.toContain('by-map');
    }
    const tone = findingOf(measured.findings, 'toneShift', 'b0', 'b1');
    const [a, b] = ['b0', 'b1'].map((id) => labOf(findingOf(measured.findings, 'inkColour', id).value));
    expect(tone.method).toBe('toneShift-film/16');
    expect(Number(tone.value)).toBeCloseTo(deltaE2000(a, b), 9);
    const [fromMap, toMap] = ['b0', 'b1'].map((id) =>
      labOf(findingOf(measured.findings, 'inkColour', id).byMap!.value),
    );
    expect(Number(tone.byMap!.value)).toBeCloseTo(deltaE2000(fromMap, toMap), 9);
  });

  test('narrow lines teach nothing, and are told along the curve', () => {
    const [ef, ...others] = page(0);
    const measured = measureFilm(filmBench(world, blue, papers, [{ ...ef, narrow: true }, ...others]).input);
    expect(measured.inks[0].regions).toEqual(['b0', 'swab0']);
    expect(findingOf(measured.findings, 'inkColour', 'ef0').method).toBe('inkColour-film/15');
  });

  test('without a graded swab that is what would help', () => {
    const nibs = [0.4, 0.8, 1.6, 2.4].map((dose, i): Sample => ({ id: `nib${i}`, paper: 0, doses: [dose] }));
    expect(measureFilm(filmBench(world, blue, papers, nibs).input).inks[0].advice).toMatch(/^A graded swab /);
    expect(measureFilm(filmBench(world, blue, papers, page(0)).input).inks[0].advice).toBeNull();
  });
});

describe('told by the map, and why', () => {
  test('two doses are too few', () => {
    const two = [0.4, 1.2].map((dose, i): Sample => ({ id: `nib${i}`, paper: 0, doses: [dose] }));
    const measured = measureFilm(filmBench(world, blue, papers, two).input);
    expect(measured.inks).toEqual([]);
    expect(flagsOf(measured, 'inkColour', 'nib0')).toEqual(['few-doses']);
    expect(findingOf(measured.findings, 'inkColour', 'nib0')).toMatchObject({ method: 'inkColour/11' });
    expect(wordsOf(measured, 'nib1')).toMatch(/graded swab/);
  });

  test('four doses that are all but one are one', () => {
    const alike = [1, 1.02, 1.04, 1.06].map((dose, i): Sample => ({ id: `nib${i}`, paper: 0, doses: [dose] }));
    expect(measureFilm(filmBench(world, blue, papers, alike).input).inks).toEqual([]);
  });

  test('thin ends of one swab are no doses to stand on', () => {
    const even: Sample = { id: 'even0', paper: 0, doses: [0.6, 1.2, 1.36, 1.6, 2.4], kind: 'swab' };
    const withEnds = (share: number) => {
      const { input } = filmBench(world, blue, papers, [even]);
      const [region] = input.regions;
      const bins = region.doses.bins.map((bin, i) => ({ ...bin, share: i % 4 === 0 ? share : (1 - 2 * share) / 3 }));
      return measureFilm({ ...input, regions: [{ ...region, doses: { ...region.doses, bins } }] });
    };
    expect(withEnds(0.2).inks).toHaveLength(1);
    expect(withEnds(0.05).inks).toEqual([]);
    expect(flagsOf(withEnds(0.05), 'inkColour', 'even0')).toEqual(['few-doses']);
  });

  test('a paper with fewer than three doses takes no part, and its pairs stay by the map', () => {
    const measured = measureFilm(filmBench(world, blue, papers, [...page(0), page(1)[1]]).input);
    expect(measured.inks.map(({ curves }) => curves.length)).toEqual([1]);
    expect(flagsOf(measured, 'inkColour', 'b1')).toEqual(['few-doses']);
    expect(findingOf(measured.findings, 'inkColour', 'b0').method).toBe('inkColour-film/15');
    expect(findingOf(measured.findings, 'toneShift', 'b0', 'b1')).toMatchObject({ method: 'toneShift/7' });
    expect(flagsOf(measured, 'toneShift', 'b0', 'b1')).toContain('few-doses');
  });

  test('pixels that hold bare paper beside ink are left out; the rest of their region teaches, and is told as if they were ink', () => {
    const even: Sample = { id: 'even0', paper: 0, doses: [1.35, 1.36, 1.37, 1.38], kind: 'swab' };
    const bench = filmBench(world, red, papers, [...page(0), even]);
    const sound = measureFilm(bench.input);
    const [paper] = bench.input.papers;
    const regions = bench.input.regions.map((region) => {
      if (region.ink.region !== 'even0') return region;
      const [first, ...rest] = region.doses.bins;
      const part = (c: 0 | 1 | 2) => 0.8 * first.signal[c] + 0.2 * paper.bare.signal[c];
      return {
        ...region,
        doses: { ...region.doses, bins: [{ ...first, signal: [part(0), part(1), part(2)] as const }, ...rest] },
      };
    });
    const measured = measureFilm({ ...bench.input, regions });
    expect(measured.inks[0].strangers).toEqual([]);
    expect(measured.inks[0].regions).toContain('even0');
    const [told, clean] = [measured, sound].map(({ findings }) =>
      labOf(findingOf(findings, 'inkColour', 'even0').value),
    );
    expect(deltaE2000(told, clean)).toBeLessThan(1);
    expect(flagsOf(measured, 'inkColour', 'even0')).toEqual([]);
  });

  test('where one sample’s pixels hold paper beside ink, another’s palest ones, which that pulled off the curve, are not left out with them', () => {
    const bench = filmBench(world, blue, papers, [
      { id: 'ef0', paper: 0, doses: [4, 4, 4, 4, 4, 4] },
      { id: 'b0', paper: 0, doses: [2.6, 3.2] },
      { id: 'swab0', paper: 0, doses: [0.6, 1.2, 1.8, 2.4, 3.6], kind: 'swab' },
    ]);
    const { input } = bench;
    const [paper] = input.papers;
    const beside = [0.1, 0.033, 0, 0, 0, 0];
    const regions = input.regions.map((region, i) => {
      const bins = region.doses.bins.map((bin, n) => {
        const part = (c: 0 | 1 | 2) => bin.signal[c] + beside[n] * (paper.bare.signal[c] - bin.signal[c]);
        return i === 0 ? { ...bin, signal: [part(0), part(1), part(2)] as const } : bin;
      });
      return { ...region, doses: { ...region.doses, bins } };
    });
    const { doses } = fitInk(doseSeries(input.papers, regions), input.papers, input.taught!.sensors);
    expect([0, 1, 2].map((i) => doses.filter(({ region }) => region === i).length)).toEqual([4, 2, 5]);
  });

  test('another ink among the samples is left out and named; the others are told as without it', () => {
    const samples = page(0);
    const foreign = samples.map((sample) => (sample.id === 'ef0' ? { ...sample, ink: red } : sample));
    const measured = measureFilm(filmBench(world, blue, papers, foreign).input);
    expect(flagsOf(measured, 'inkColour', 'ef0')).toEqual(['film-misfit']);
    expect(measured.inks[0].strangers).toEqual(['ef0']);
    expect(measured.inks[0].quality.misfits[0]).toMatchObject({
      region: 'ef0',
      words: expect.stringContaining('was left out: another ink'),
    });
    expect(wordsOf(measured, 'ef0')).toMatch(/another ink/);
    const { colour } = filmBench(world, blue, papers, samples).truth.get('swab0')!;
    const swab = findingOf(measured.findings, 'inkColour', 'swab0');
    expect(swab.method).toBe('inkColour-film/15');
    expect(deltaE2000(labOf(swab.value), colour)).toBeLessThan(1.5);
  });

  test('a pen that leaves the other samples’ path teaches nothing, however little of another ink it holds, and is not told along their curve', () => {
    const k = blue.k.map((v, l) => 0.95 * v + 0.05 * red.k[l]);
    const dirty = page(0).map((sample, i) => (i === 2 ? sample : { ...sample, ink: { ...blue, k }, narrow: i === 1 }));
    const { input } = filmBench(world, blue, papers, dirty);
    const path = (region: string) => ({
      ...findingOf(input.findings, 'shading', region),
      quantity: 'pathDistance' as const,
      flags: ['another-ink' as const],
    });
    const measured = measureFilm({ ...input, findings: [...input.findings, path('ef0'), path('b0')] });
    expect(measured.inks[0].regions).toEqual(['swab0']);
    expect(measured.inks[0].strangers).toEqual(['ef0']);
    expect(measured.inks[0].quality.misfits[0].words).toMatch(/^leaves the path/);
    for (const id of ['ef0', 'b0']) expect(flagsOf(measured, 'inkColour', id)).toEqual(['film-misfit']);
    const unaware = measureFilm(input);
    expect(unaware.inks[0].regions).toEqual(['ef0', 'swab0']);
  });

  test('another ink on each paper: no film fits both, each is fitted alone, and no pair goes through either', () => {
    const measured = measureFilm(filmBench(world, blue, papers, [...page(0), ...page(1, { ink: red })]).input);
    expect(measured.inks.map(({ regions }) => regions)).toEqual([
      ['ef0', 'b0', 'swab0'],
      ['ef1', 'b1', 'swab1'],
    ]);
    expect(findingOf(measured.findings, 'inkColour', 'b0').method).toBe('inkColour-film/15');
    expect(findingOf(measured.findings, 'inkColour', 'b1').method).toBe('inkColour-film/15');
    expect(findingOf(measured.findings, 'toneShift', 'b0', 'b1').method).toBe('toneShift/7');
    expect(measured.findings.filter(({ quantity }) => quantity === 'absorption')).toHaveLength(2);
  });

  test('samples of two inks by halves are no one film', () => {
    const mixed = [...page(0), ...page(0, { ink: red }).map((sample) => ({ ...sample, id: `other-${sample.id}` }))];
    const measured = measureFilm(filmBench(world, blue, papers, mixed).input);
    // Whether the search comes to rest on the way between two inks is chance; that the fit is refused is not.
    expect(flagsOf(measured, 'inkColour', 'swab0').join()).toMatch(/^film-(misfit|not-converged)$/);
    expect(flagsOf(measured, 'fitQuality', ...measured.inks[0].regions)).toContain('film-misfit');
    expect(measured.findings.every(({ byMap }) => byMap === undefined)).toBe(true);
  });

  test('two layers off the curve are told by the map; all else of their region goes through the film', () => {
    const bench = filmBench(world, blue, papers, page(0));
    const [stranger] = filmBench(world, red, papers, page(0)).input.regions;
    const { findings, regions } = bench.input;
    const sheen = regions.map((region, i) =>
      i === 0 ? { ...region, doses: { ...region.doses, double: stranger.doses.dark } } : region,
    );
    const layering = { ...findingOf(findings, 'shading', 'ef0'), quantity: 'layering', method: 'layering/6' } as const;
    const measured = measureFilm({ ...bench.input, regions: sheen, findings: [...findings, layering] });
    expect(findingOf(measured.findings, 'layering', 'ef0')).toMatchObject({ method: 'layering/6', flags: ['by-map'] });
    expect(findingOf(measured.findings, 'inkColour', 'ef0').method).toBe('inkColour-film/15');
  });

  test('what is clipped teaches nothing, and is told along the curve that others taught, with its flag; a clipped paper tells nothing', () => {
    const samples = page(0).map((sample) => (sample.id === 'b0' ? { ...sample, clippedShare: 0.2 } : sample));
    const bench = filmBench(world, blue, papers, samples);
    const measured = measureFilm(bench.input);
    expect(measured.inks[0].regions).toEqual(['ef0', 'swab0']);
    expect(flagsOf(measured, 'inkColour', 'b0')).toEqual(['clipped']);
    expect(findingOf(measured.findings, 'inkColour', 'b0').byMap).toBeDefined();
    const paperToo = bench.input.papers.map((paper) => ({ ...paper, clipped: true }));
    const nothing = measureFilm({ ...bench.input, papers: paperToo });
    expect(nothing.inks).toEqual([]);
    expect(flagsOf(nothing, 'inkColour', 'b0')).toEqual(['by-map']);
    expect(wordsOf(nothing, 'b0')).toMatch(/end of the scanner’s scale/);
  });

  test('what the target’s Lab alone taught is said to be so, with what would be better', () => {
    const measured = measureFilm(filmBench(world, blue, papers, page(0), 'lab').input);
    expect(measured.inks[0].taughtBy).toBe('lab');
    expect(measured.inks[0].advice).toMatch(/reference file with the target’s spectra/);
    expect(flagsOf(measured, 'absorption', ...measured.inks[0].regions)).toContain('lab-alone');
    const through = measured.findings.filter(({ byMap }) => byMap !== undefined);
    expect(through.length).toBeGreaterThan(0);
    expect(through.every(({ flags }) => flags.includes('lab-alone'))).toBe(true);
    // The map's own numbers were not taught by it.
    const mapped = measured.findings.filter(
      ({ byMap, curve, quantity }) => !byMap && !curve && quantity !== 'fitQuality',
    );
    expect(mapped.filter(({ flags }) => flags.includes('lab-alone'))).toEqual([]);
  });

  test('a target of too few patches teaches nothing', () => {
    const { input } = filmBench(world, blue, papers, page(0));
    const measured = measureFilm({ ...input, taught: null });
    expect(flagsOf(measured, 'inkColour', 'b0')).toEqual(['by-map']);
    expect(wordsOf(measured, 'b0')).toMatch(/too few patches/);
  });

  test('a search that did not settle, or that leaves too much, is not believed', () => {
    const { input } = filmBench(world, blue, papers, page(0));
    const film = fitInk(doseSeries(input.papers, input.regions), input.papers, input.taught!.sensors);
    expect(whyNotBelieved(film)).toBeNull();
    const judged = (change: Partial<typeof film.judgement>) => ({
      ...film,
      judgement: { ...film.judgement, ...change },
    });
    expect(whyNotBelieved(judged({ converged: false }))).toBe('not-converged');
    expect(whyNotBelieved(judged({ ratio: 9 }))).toBe('not-believed');
    expect(whyNotBelieved(judged({ targetDoubtful: true }))).toBe('target-doubtful');
  });
});

test('a brightened paper is named on what lies on it, and on that alone', () => {
  const bench = filmBench(world, blue, papers, [...page(0), ...page(1)]);
  const sheets = bench.input.papers.map((paper, p) =>
    p === 0 ? { ...paper, bare: { ...paper.bare, lab: bluer(paper.bare.lab) } } : paper,
  );
  const measured = measureFilm({ ...bench.input, papers: sheets });
  expect(flagsOf(measured, 'inkColour', 'b0')).toContain('maybe-brightened');
  expect(flagsOf(measured, 'inkColour', 'b1')).not.toContain('maybe-brightened');
});

/** With its own paper as the white. */
function against({ colour, paper }: { readonly colour: LabD50; readonly paper: LabD50 }): LabD50 {
  return labD50(...xyzToLabWhite(labToXyz(colour), labToXyz(paper)));
}

function bluer(lab: ReturnType<typeof labOf>) {
  return labOf([lab[0], lab[1], -3]);
}
