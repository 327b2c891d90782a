import { describe, expect, it } from 'vitest';
import type { TargetLayout } from '../../analysis/calibrate/calibration.ts';
import type { TargetFound } from '../../analysis/locate/target/measureTarget.ts';
import { drawScene, drawTarget, type TargetDrawing } from '../calibrate/drawTarget.ts';
import { tinyLayout } from '../calibrate/drawnCard.ts';
import { knownTarget, oddDevice } from './knownTargets.ts';
import { locateDrawn, worstMissMm } from './locateDrawn.ts';

const { layout, known } = knownTarget('card');
const NOTHING = { patches: new Map() };

function located(
  drawing: Partial<TargetDrawing>,
  colours = oddDevice(known, 5),
): TargetFound & { readonly missMm: number } {
  const scan = drawTarget(layout, colours, { dpi: 150, noise: 0.01, ...drawing });
  const found = locateDrawn(scan, layout, known);
  if ('problem' in found) throw new Error(found.problem);
  return { ...found, missMm: worstMissMm(found, scan.pointsPx, scan.dpi) };
}

function refused(drawing: Partial<TargetDrawing>, expected = known): string {
  const scan = drawTarget(layout, oddDevice(known, 5), { dpi: 150, noise: 0.01, ...drawing });
  const found = locateDrawn(scan, layout, expected);
  return 'problem' in found ? `${found.code}: ${found.problem}` : `found with ${found.score}, ${found.words}`;
}

describe('a card is found by its four discs', () => {
  it.each([17, 180, 301])('turned by %i°', (turnDeg) => {
    const found = located({ turnDeg });
    expect(found.missMm).toBeLessThan(0.02);
    expect(found.score).toBeGreaterThan(0.8);
    expect(found).toMatchObject({ by: 'fiducials', words: 'by its four discs' });
  });

  it.each([150, 1200])('at %i dpi', (dpi) => {
    const scan = drawTarget(tinyLayout, new Map(), { dpi, turnDeg: 3.3, noise: 0.01, marginMm: 3 });
    const found = locateDrawn(scan, tinyLayout, NOTHING);
    if ('problem' in found) throw new Error(found.problem);
    expect(worstMissMm(found, scan.pointsPx, dpi)).toBeLessThan(0.02);
  });

  it.each([
    ['on a dark bed', { bed: 0.04 }],
    ['on a grey bed', { bed: 0.5, turnDeg: 31 }],
    ['with pale discs under a soft lens', { disc: 0.5, blurPx: 2 }],
    ['in uneven light with much noise', { gradient: 0.2, noise: 0.04, turnDeg: 64 }],
    ['stretched by a hundredth, a little in perspective', { stretch: 1.01, perspective: 0.01, turnDeg: 200 }],
  ] as const)('%s', (_, drawing) => {
    expect(located(drawing).missMm).toBeLessThan(0.05);
  });

  it('beside a page of writing, coins and painted swatches', () => {
    const { missMm, score } = located({
      sizeMm: [200, 240],
      centreMm: [98, 180],
      turnDeg: 4,
      beside: [
        { kind: 'page', boxMm: [5, 4, 110, 130], turnDeg: 2 },
        { kind: 'coins', boxMm: [5, 120, 190, 60] },
        { kind: 'swatches', boxMm: [120, 10, 75, 90] },
      ],
      seed: 3,
    });
    expect(missMm).toBeLessThan(0.02);
    expect(score).toBeGreaterThan(0.8);
  });
});

describe('a disc may be hidden', () => {
  it.each([0, 2, 3])('disc %i: the others and the patches suffice', (hidden) => {
    const found = located({
      discs: [0, 1, 2, 3].filter((k) => k !== hidden),
      turnDeg: 77 * hidden,
      perspective: 0.005,
    });
    expect(found.missMm).toBeLessThan(0.1);
    expect(found.score).toBeGreaterThan(0.5);
    expect(found.words).toMatch(/^by three of its four discs and its patches/);
  });

  it('half under a strip of paper: it is not taken for whole', () => {
    const [x, y] = layout.pointsMm[2];
    const found = located({ covered: [{ boxMm: [x - 6, y + 0.8, 12, 9], colour: 0.2 }], turnDeg: 10 });
    expect(found.missMm).toBeLessThan(0.1);
    expect(found.words).toMatch(/third disc is covered or not clean/);
  });

  it('two hidden: the patches alone tell, and it is said', () => {
    const found = located({ discs: [0, 2], turnDeg: 25 });
    expect(found.missMm).toBeLessThan(0.1);
    expect(found).toMatchObject({ by: 'grid' });
    expect(found.words).toMatch(/since its discs were not to be seen/);
  });
});

describe('what is not taken, in one line', () => {
  it('a mirrored scan', () => {
    expect(refused({ mirrored: true, turnDeg: 20 })).toMatch(
      /^target-mirrored: The target "Wetline card.* is mirrored in this scan/,
    );
  });

  it.each([1, 2])('a mirrored scan with disc %i hidden', (hidden) => {
    const discs = [0, 1, 2, 3].filter((k) => k !== hidden);
    expect(refused({ mirrored: true, discs, turnDeg: 190 })).toMatch(/^target-mirrored/);
  });

  it('two cards: where both lie', () => {
    const problem = refused({ sizeMm: [190, 210], centreMm: [92, 50], moreAtMm: [[96, 152]] });
    expect(problem).toMatch(/^targets-two: 2 targets .* 92, 50 mm and 96, 152 mm/);
  });

  it('three discs, but patches of other colours: where something lies', () => {
    // Lightness the other way round, and hues of others.
    const ids = [...known.patches.keys()];
    const other = { patches: new Map(ids.map((id, k) => [id, known.patches.get(ids[(k * 37 + 11) % ids.length])!])) };
    const problem = refused({ discs: [0, 1, 2], sizeMm: [200, 120], centreMm: [100, 60] }, other);
    expect(problem).toMatch(/^target-(unsure|not-found): /);
  });

  it('a blank page', () => {
    const found = locateDrawn(drawScene([120, 90], { dpi: 150, noise: 0.01 }), layout, known);
    expect(found).toMatchObject({ code: 'target-not-found', problem: expect.stringMatching(/^No disc of 2.5 mm/) });
  });

  it.each([11, 13])('pages of writing, coins and swatches only (seed %i)', (seed) => {
    const beside = [{ kind: 'page' }, { kind: 'coins' }, { kind: 'swatches', boxMm: [20, 20, 90, 60] }] as const;
    const found = locateDrawn(drawScene([150, 120], { dpi: 150, noise: 0.01, beside, seed }), layout, known);
    expect(found).toMatchObject({ code: 'target-not-found' });
  });
});

it('without known colours four discs suffice, three do not', () => {
  const bare: TargetLayout = layout;
  const scan = (discs: number[]) => drawTarget(bare, oddDevice(known, 2), { dpi: 150, discs });
  expect(locateDrawn(scan([0, 1, 2, 3]), bare, NOTHING)).toMatchObject({ by: 'fiducials' });
  expect(locateDrawn(scan([0, 1, 3]), bare, NOTHING)).toMatchObject({
    code: 'target-not-found',
    problem: expect.stringMatching(/do not lie as on the target .* 150 dpi is right\.$/),
  });
});
