/** What the figures of a ring beside a line become as quantities, and the doubt of each (docs/measures.md, "Lines and edges"). */
import { describe, expect, test } from 'vitest';
import { labToXyz, labD50, xyzToLab } from '../../analysis/colour/lab.ts';
import { barePaperOf } from '../../analysis/measure/barePaper.ts';
import type { RingFit, RingReading } from '../../analysis/measure/edge/across.ts';
import { ringLab } from '../../analysis/measure/edge/edgeQuantities.ts';
import { triple } from '../../analysis/triple.ts';
import { ACROSS, HAIRY, PX_PER_MM, READING, RING, calibration, paper, part, setting, told } from './doubtedEdge.ts';

describe('halo', () => {
  const of = (ring: Partial<RingFit>, sigmaPx = 1) => ({ across: { ...ACROSS, sigmaPx, ring: { ...RING, ...ring } } });

  test('without one, 0.4 px of it may hide', () => {
    const halo = told('halo');
    expect([halo.value, halo.verdict]).toEqual([0, 'none']);
    expect(halo.u).toBeCloseTo(0.04, 9);
  });

  test('hairs leave a ring’s width in doubt by 1 µm for each a cm', () => {
    const ring = { ...of({}), feathering: HAIRY };
    expect(part(told('halo', ring), 'placement')).toBeCloseTo(Math.hypot(0.0014, 0.001), 9);
  });

  test('u: parts left out in turn, 0.014 px, what neighbours and one blur make of it', () => {
    const halo = told('halo', of({ parts: [2.9, 3, 3.1].map((widthPx) => ({ ...READING, widthPx })) }));
    expect(halo.value).toBeCloseTo(0.3, 9);
    expect(halo.verdict).toBe('present');
    expect(part(halo, 'repeatability')).toBeCloseTo(Math.sqrt((2 / 3) * 0.02) / PX_PER_MM, 9);
    const placement = (ring: Partial<RingFit>, sigmaPx = 1) =>
      part(told('halo', of(ring, sigmaPx)), 'placement') * PX_PER_MM;
    expect(placement({})).toBeCloseTo(0.014, 9);
    expect(placement({ oneBlur: { ...READING, widthPx: 3.2 } })).toBeCloseTo(Math.hypot(0.014, 0.2), 9);
    expect(placement({ crowded: { ...READING, widthPx: 3.4 } })).toBeCloseTo(Math.hypot(0.014, 0.2), 9);
    expect(placement({ isApart: false })).toBeCloseTo(Math.hypot(0.014, 0.15), 9);
    // Eight px are four of these sigma: three below seven.
    expect(placement({}, 2)).toBeCloseTo(Math.hypot(0.014, 0.036), 9);
  });

  test('its colour: 5 % of the step for each sigma over the width, 0.6 % for each sigma below seven, neighbours and one blur', () => {
    const dE = told('halo.dE', of({}));
    const step = Number(dE.value);
    const byBlur = Number(told('halo.dE', of({ ratio: [0.88, 0.8, 0.85] })).value) - step;
    expect(Math.abs(byBlur)).toBeGreaterThan(0.3);
    const placement = (ring: Partial<RingFit>, sigmaPx = 1) => part(told('halo.dE', of(ring, sigmaPx)), 'placement');
    const other: RingReading = { widthPx: 3, ratio: [0.88, 0.8, 0.85] };
    const own = (0.05 / 3) * step;
    expect(placement({})).toBeCloseTo(Math.hypot(0.03, own), 9);
    expect(placement({ oneBlur: other })).toBeCloseTo(Math.hypot(0.03, own, byBlur), 9);
    expect(placement({ crowded: other })).toBeCloseTo(Math.hypot(0.03, own, 0.5 * byBlur), 9);
    expect(placement({}, 2)).toBeCloseTo(Math.hypot(0.03, (0.1 / 3 + 0.018) * step), 9);
  });

  test('its hue is that of what it adds to the paper; of a nearly grey one nothing is told', () => {
    const paperLab = barePaperOf(paper, calibration).lab;
    /** Ratio that gives the paper’s Lab moved by so much. */
    const ratioOf = (dL: number, da: number, db: number) => {
      const target = labD50(paperLab[0] + dL, paperLab[1] + da, paperLab[2] + db);
      let ratio: RingReading['ratio'] = [1, 1, 1];
      for (let round = 0; round < 60; round++) {
        const now = labToXyz(ringLab(ratio, setting.input));
        const want = labToXyz(target);
        ratio = triple((c) => ratio[c] * (want[c] / now[c]) ** 0.5);
      }
      expect(xyzToLab(labToXyz(ringLab(ratio, setting.input)))[1]).toBeCloseTo(target[1], 2);
      return ratio;
    };
    const ring = (ratio: RingReading['ratio']) =>
      of({
        ratio,
        parts: [0, 1, 2].map(() => ({ widthPx: 3, ratio })),
        oneBlur: { widthPx: 3, ratio },
        crowded: { widthPx: 3, ratio },
      });
    const hue = told('halo.hue', ring(ratioOf(-10, 0, 40)));
    expect(Number(hue.value)).toBeCloseTo(90, 0);
    const grey = told('halo.hue', ring(ratioOf(-10, 0.1, 0.3)));
    expect(grey).toMatchObject({ value: null, u: null });
    expect(grey.flags).toContain('cannot-tell');
  });
});
