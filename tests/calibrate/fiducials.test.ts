import { describe, expect, it } from 'vitest';
import { findFiducials } from '../../analysis/locate/fiducials.ts';
import type { TargetLayout } from '../../analysis/calibrate/calibration.ts';
import { drawCard, smallLayout, tinyLayout, type Drawing } from './drawnCard.ts';

function worstMissPx(drawing: Drawing, layout: TargetLayout = smallLayout): number {
  const scan = drawCard(layout, drawing);
  const found = findFiducials(scan, layout);
  if ('problem' in found) throw new Error(found.problem);
  expect(found.score).toBeGreaterThan(0.5);
  return Math.max(...found.pointsPx.map(([x, y], i) => Math.hypot(x - scan.pointsPx[i][0], y - scan.pointsPx[i][1])));
}

function problemOf(drawing: Drawing): string {
  const found = findFiducials(drawCard(smallLayout, drawing), smallLayout);
  return 'problem' in found ? found.problem : `found with score ${found.score}`;
}

/** Blots as big as a disc and bigger, letters' bowls, a row of dots: beside the card, in layout mm. */
const blobs = [
  [22, -9, 2],
  [30, -9, 2.6],
  [10, 36, 1.2],
  [13, 36, 0.5],
  [50, 10, 1],
  [-8, 13, 2],
  [22, 1.5, 0.8],
] as const;

describe('the four discs are found', () => {
  it.each([0, 17, 45, 88, 90, 133, 180, 201, 270, 315, 359])('turned by %i°', (turnDeg) => {
    expect(worstMissPx({ dpi: 150, turnDeg, noise: 0.01 })).toBeLessThan(0.1);
  });

  it.each([150, 200, 300, 600, 1200])('at %i dpi', (dpi) => {
    const drawing: Drawing = { dpi, turnDeg: 3.3, noise: 0.01, sizeMm: [30, 23] };
    expect(worstMissPx(drawing, tinyLayout)).toBeLessThan(0.1);
  });

  it('beside blots and dots of their size, on the card and off it', () => {
    expect(worstMissPx({ dpi: 200, turnDeg: 12, noise: 0.01, blobs })).toBeLessThan(0.1);
  });

  it.each([0.02, 0.5])('on a bed of lightness %f', (bed) => {
    expect(worstMissPx({ dpi: 150, turnDeg: 31, bed, noise: 0.01 })).toBeLessThan(0.1);
  });

  it('printed in pale grey and scanned with a soft lens', () => {
    expect(worstMissPx({ dpi: 300, turnDeg: -4, disc: 0.55, blurPx: 2, noise: 0.01 })).toBeLessThan(0.1);
  });
});

describe('what keeps them from being found is said', () => {
  it('an empty bed', () => expect(problemOf({ dpi: 150, centresMm: [[-90, -90]] })).toMatch(/^No disc of 2 mm/));

  it('two discs hidden', () => expect(problemOf({ dpi: 150, discs: [0, 2] })).toMatch(/^Only 2 discs/));

  it('no eye: the first disc is missing', () => {
    expect(problemOf({ dpi: 150, discs: [1, 2, 3], blobs: [[20, -9, 2]] })).toMatch(/first disc .* has an eye/);
  });

  it('a mirrored scan', () => {
    expect(problemOf({ dpi: 150, mirrored: true, turnDeg: 20 })).toMatch(/is mirrored/);
  });

  it('two cards in one scan', () => {
    const centresMm = [
      [30, 22],
      [30, 62],
    ] as const;
    expect(problemOf({ dpi: 150, sizeMm: [64, 84], centresMm })).toMatch(/^2 targets like "drawn card"/);
  });

  it('a layout without fiducials', () => {
    const { fiducial: _, ...bare } = smallLayout;
    const found = findFiducials(drawCard(smallLayout, { dpi: 150 }), bare);
    expect('problem' in found && found.problem).toMatch(/has no fiducials/);
  });
});
