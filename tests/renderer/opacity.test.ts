/** The ink on other papers: which ground and pen the address names, what is said of each, and the arrows of a change of paper. */
import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import { REVERSE_MARKS } from '../../analysis/measure/showThrough/reverseInput.ts';
import { foretoldQuery } from '../../renderer/api/client.ts';
import { explaining, isOfReverse } from '../../renderer/findings/scan/overlays.ts';
import { ghostPicture } from '../../renderer/opacity/ghostPicture.ts';
import {
  groundIn,
  groundLab,
  groundQuery,
  labIn,
  penIn,
  predictionFor,
  sampleOn,
} from '../../renderer/opacity/ground.ts';
import { careWords, errorWords, hidingThere, leftOutWords, opacityOf } from '../../renderer/opacity/opacityWords.ts';
import { toneArrows, tonePairs, toneSummary, toneTable } from '../../renderer/opacity/toneData.ts';
import { toneSvg } from '../../renderer/opacity/toneSvg.ts';
import { whatToWrite } from '../../renderer/opacity/whatToWrite.ts';
import { filePaint, type Surface } from '../../renderer/plots/paint.ts';
import { standaloneSvg } from '../../renderer/plots/standaloneSvg.ts';
import { plotFor } from '../../renderer/reading/plotFor.ts';
import { opacityAnswer, predictionOn } from './opacitySample.ts';
import { plotsDocument } from './plotsDocument.ts';
import { traced, work } from './plotsSample.ts';

const [swab, medium, broad] = opacityAnswer.pens;

describe('the address', () => {
  test('names a paper or a colour, and says it again as it was read', () => {
    for (const ground of [{ paper: 'grey board' }, { picked: [80, -20.5, 10] }] as const) {
      expect(groundIn(groundQuery(ground), opacityAnswer)).toEqual(ground);
    }
  });

  test('without either it begins where something is foretold', () => {
    expect(groundIn({}, opacityAnswer)).toEqual({ paper: 'ivory laid' });
    expect(groundIn({ on: 'a paper that has gone' }, opacityAnswer)).toEqual({ paper: 'ivory laid' });
    expect(groundIn({}, { ...opacityAnswer, pens: [broad] })).toEqual({ paper: 'bright white, smooth' });
    expect(groundIn({}, { ...opacityAnswer, papers: [] })).toBeNull();
  });

  test.each(['', '50', '50,,2', '50,1', '101,0,0', '50,200,0', 'a,b,c', undefined])('“%s” is no colour', (text) => {
    expect(labIn(text)).toBeNull();
  });

  test('the pen that is shown first is one whose writing can be shown', () => {
    expect(penIn({}, opacityAnswer)).toBe(medium);
    expect(penIn({ pen: swab.key }, opacityAnswer)).toBe(swab);
    expect(penIn({}, { ...opacityAnswer, pens: [broad] })).toBe(broad);
    expect(penIn({}, { ...opacityAnswer, pens: [] })).toBeNull();
  });

  test('a request names pen and ground as the backend takes them', () => {
    expect(foretoldQuery({ pen: medium.key, on: 'grey board', from: 'm-white' })).toBe(
      'pen=%5B%22strokes%22%2C%22M%22%5D&paper=grey+board&from=m-white',
    );
    expect(foretoldQuery({ pen: 'x', on: [80, -20, 10] })).toBe('pen=x&L=80&a=-20&b=10');
  });
});

describe('what is said', () => {
  test('of a paper that was written on what was measured, of another what is foretold', () => {
    expect(sampleOn(medium, 'yellow, dyed')?.region).toBe('m-yellow');
    expect(predictionFor(medium, 'yellow, dyed')).toBeNull();
    expect(sampleOn(medium, 'grey board')).toBeNull();
    expect(predictionFor(medium, 'grey board')?.name).toBe('dark blue');
    expect(groundLab({ paper: 'grey board' }, opacityAnswer)?.[0]).toBeCloseTo(79, 0);
  });

  test('the error that was found stands beside every foretold colour, or that none could be', () => {
    expect(errorWords(1.24)).toContain('off by 1.2 ΔE00 in the median');
    expect(errorWords(null)).toContain('Not checked');
    expect(leftOutWords(medium.check, 'bright white, smooth')).toContain('1.3 ± 1.2 ΔE00 off');
    expect(leftOutWords(medium.check, 'grey board')).toBeNull();
    const foretold = { ...predictionOn('grey board', 'x', 'y', 1), flags: ['by-grounds', 'not-checked'] as const };
    expect(careWords(foretold)).toBe('By two numbers a channel, not by the film fit.');
    expect(careWords({ flags: ['not-checked'] })).toBe('');
  });

  test('how much an ink hides comes in the trade’s word with its figure, or why it cannot be told', () => {
    expect(opacityOf(medium).map(({ title, word, figure }) => [title, word, figure])).toEqual([
      ['hiding, bright white against yellow', 'translucent', '0.560 ± 0.060'],
      ['contrast ratio, foretold', '', '0.398 ± 0.080'],
    ]);
    const [pair] = medium.pairs;
    // The cause alone: crossings that were left out take no figure away.
    const alike = { ...pair.hiding!, value: null, u: null, flags: ['crossings-left-out', 'grounds-alike'] as const };
    expect(opacityOf({ ...medium, pairs: [{ ...pair, hiding: alike }] })[0].figure).toBe(
      'cannot be told: the papers under the ink are too alike',
    );
    expect(opacityOf(broad)).toEqual([]);
  });
});

describe('how much an ink would hide where it was not written', () => {
  test('is told against the palest paper that was, in a word with its figure, or why it cannot be', () => {
    const there = predictionFor(medium, 'grey board')!;
    expect(hidingThere(medium, 'grey board', there)).toMatchObject({
      title: 'hiding foretold, bright white against grey board',
      word: 'translucent',
      figure: '0.620 ± 0.060',
    });
    const unsure = { ...there, hiding: { ...there.hiding!, value: null, u: null, flags: ['cannot-tell'] as const } };
    expect(hidingThere(medium, 'grey board', unsure)?.figure).toBe(
      'cannot be told: the two papers differ too little for it',
    );
  });

  test('and nothing is said where nothing is foretold', () => {
    expect(hidingThere(medium, 'yellow', predictionFor(medium, 'yellow, dyed'))).toBeNull();
    expect(hidingThere(medium, 'grey board', { ...predictionFor(medium, 'grey board')!, hiding: null })).toBeNull();
  });
});

describe('a change of paper', () => {
  const pairs = tonePairs(work, { findings: traced });
  const [pair] = pairs;
  const surface: Surface = { width: 600, height: 516, paint: filePaint, document: plotsDocument() };

  test('moves the paper and each sample that lies on both', () => {
    expect(pairs).toHaveLength(1);
    expect(pair.papers.map(({ name }) => name)).toEqual(['bright white, smooth', 'yellow, dyed']);
    const arrows = toneArrows(pair, 'absolute');
    expect(arrows.map(({ kind, label }) => `${kind} ${label}`)).toEqual([
      'paper paper',
      'ink extra-fine',
      'ink medium',
      'ink broad',
      'ink swab-even',
      'ink swab-graded',
    ]);
    for (const { from, to, shift } of pair.samples) {
      const told = Number(shift?.finding.value);
      expect(Math.abs(deltaE2000(labD50(...from.lab), labD50(...to.lab)) - told)).toBeLessThan(0.05);
    }
  });

  test('to an eye used to each page no paper moves, and arrows are as long as the adapted shift', () => {
    const arrows = toneArrows(pair, 'adapted');
    expect(arrows.every(({ kind }) => kind === 'ink')).toBe(true);
    for (const { key, from, to } of arrows) {
      const told = Number(pair.samples.find((one) => one.key === key)?.adapted?.finding.value);
      expect(Math.abs(deltaE2000(labD50(...from), labD50(...to)) - told)).toBeLessThan(0.6);
    }
  });

  test('one finding’s regions alone make one arrow beside the papers’ own', () => {
    const [only] = tonePairs(work, { findings: traced }, ['m-white', 'm-yellow']);
    expect(toneArrows(only, 'absolute')).toHaveLength(2);
    expect(tonePairs(work, { findings: traced }, ['m-yellow', 'm-white'])).toEqual([]);
  });

  test('is told in words and numbers for those who cannot see it', () => {
    expect(toneSummary(pair, 'absolute')).toMatch(
      /from “bright white, smooth” to “yellow, dyed”, as seen side by side: extra-fine by \d/,
    );
    const { columns, rows } = toneTable(pair, 'absolute');
    expect(rows.every((row) => row.length === columns.length)).toBe(true);
    expect(columns.slice(4, 7)).toEqual(['± 2u, L* from', '± 2u, a* from', '± 2u, b* from']);
    const figures = rows.map((row) => row.slice(1));
    expect(figures.slice(1).every((row) => row.every((figure) => /^−?\d+\.\d$/.test(figure)))).toBe(true);
    // Against its own paper each colour takes the paper's doubt along.
    const seenOnPaper = toneTable(pair, 'adapted').rows;
    expect(Number(seenOnPaper[0][5])).toBeGreaterThan(Number(rows[1][5]));
  });

  test.each(['absolute', 'adapted'] as const)(
    'is drawn %s as a file that stands alone, papers and pens named',
    async (seen) => {
      const drawn = toneSvg(toneArrows(pair, seen), ['bright white', 'yellow'], seen, surface).outerHTML;
      const svg = standaloneSvg(drawn, {
        ...surface,
        title: 'x',
        description: 'y',
        fontFaces: '',
        background: '#ffffff',
      });
      expect(svg).not.toMatch(/undefined|NaN|Infinity|lab\(/);
      expect(svg).toContain('>broad<');
      expect(svg.includes('>yellow<')).toBe(seen === 'absolute');
      const { info } = await sharp(Buffer.from(svg)).raw().toBuffer({ resolveWithObject: true });
      expect([info.width, info.height]).toEqual([600, 516]);
    },
  );

  test('is the plot of its findings and of hiding', () => {
    expect((['toneShift', 'toneShift.adapted', 'hiding'] as const).map((name) => plotFor(name))).toEqual([
      'tone',
      'tone',
      'tone',
    ]);
    expect(plotFor('toneShift.dL')).toBe('lightness');
    expect(plotFor('contrastRatio')).toBe('none');
  });
});

describe('the back of a page', () => {
  test('what explains ghosting is its map with the dots left out of it, of bleed-through the dots; the front comes on demand', () => {
    expect(explaining('ghosting')).toMatchObject({
      ghost: true,
      bleed: true,
      front: false,
      counted: false,
      boxes: true,
    });
    expect(explaining('bleedThrough.dots')).toMatchObject({ ghost: false, bleed: true, front: false, dark: false });
    expect(explaining('shading')).toMatchObject({ ghost: false, bleed: false, front: false, counted: true });
    expect([isOfReverse('bleedThrough.next'), isOfReverse('shading')]).toEqual([true, false]);
  });

  test('the ghost is veiled the more, the more shows through, and nothing else is', () => {
    const { bare, behindCore, behindInk } = REVERSE_MARKS;
    const [columns, rows] = [40, 20];
    const row = Array.from({ length: columns }, (_, x) => (x % 10 < 6 ? bare : x % 10 === 7 ? behindCore : behindInk));
    const data = Uint8Array.from({ length: columns * rows }, (_, i) => row[i % columns]);
    const lab = Int16Array.from({ length: 3 * columns * rows }, (_, i) => {
      const x = Math.floor(i / 3) % columns;
      return i % 3 > 0 ? 0 : x % 10 === 7 ? 9400 - (x < 20 ? 100 : 600) : 9400;
    });
    const picture = ghostPicture(
      { data, columns, rows, boxPx: [0, 0, columns, rows] },
      { data: lab, columns, rows },
      2,
      [9, 8, 7],
    );
    const at = (x: number) => [...picture.subarray(4 * (10 * columns + x), 4 * (10 * columns + x) + 4)];
    expect(at(7).slice(0, 3)).toEqual([9, 8, 7]);
    expect(at(37)[3]).toBeGreaterThan(at(7)[3]);
    expect([at(3)[3], at(8)[3]]).toEqual([0, 0]);
  });
});

describe('nothing is foretold', () => {
  const inkRegions = work.regions.filter(({ region }) => region.kind === 'strokes' || region.kind === 'swab');
  const on = (scan: string) => ({ ...work, regions: inkRegions.filter(({ region }) => region.scan === scan) });
  const failing = (scan: string) => ({
    problems: inkRegions
      .filter(({ region }) => region.scan === scan)
      .map(({ region }) => ({ region: region.id, message: 'its pages are not there' })),
  });

  test('on one paper: to write on a second one', () => {
    expect(whatToWrite(on('white'), { problems: [] })).toMatchObject({
      sentence: expect.stringMatching(/^Write the ink on a second paper/),
      at: 'scans',
    });
    expect(whatToWrite(on('white'), failing('white')).at).toBe('scans');
  });

  test('on two, of which one could not be measured: which, and where it is said why', () => {
    const paper = work.scans.find(({ id }) => id === 'yellow')?.paper ?? '';
    const next = whatToWrite(work, failing('yellow'));
    expect(next.at).toBe('findings');
    expect(next.sentence).toContain(`samples on “${paper}” could not be measured`);
    expect(whatToWrite(work, { problems: [] }).at).toBe('scans');
  });
});
