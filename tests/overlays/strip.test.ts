import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import type { StripMeasure } from '../../analysis/measure/strip/measureStrip.ts';
import type { LabValue, Quantity } from '../../analysis/quantity.ts';
import type { OverlayRegion } from '../../electron/jobs/tasks.ts';
import { drawOverlay } from '../../electron/overlays/drawOverlay.ts';
import { notesOfBands } from '../../analysis/report/flagWords.ts';
import { says } from '../../electron/overlays/regionCard.ts';
import { stripDrawing } from '../../electron/overlays/stripDrawing.ts';
import { bandsOf } from '../../electron/overlays/stripCard.ts';
import { shown } from '../../analysis/colour/shown.ts';
import { testFolder } from '../host/folder.ts';
import { pageTask, quantity, writeScan } from './smallPage.ts';
import { noProfile } from '../strip/noProfile.ts';

const folder = testFolder();
/** Two bands; the second one, at 20 mm of 60, is blue. 100 px to the inch. */
const COLOURS: readonly LabValue[] = [
  [70, 40, 30],
  [50, -10, -40],
];
const APEX_MM = [40, 20];
const PX_PER_MM = 100 / 25.4;
const told = { value: 0, parts: { repeatability: 0, calibration: 0, placement: 0 } };

function strip(): StripMeasure {
  const positionMm = Float64Array.from({ length: 120 }, (_, i) => (i + 0.5) / 2);
  const curve = (apex: number, height: number) =>
    positionMm.map((mm) => height * Math.exp(-0.5 * ((mm - apex) / 3) ** 2));
  const sum = curve(40, 0.4).map((v, i) => v + curve(20, 0.5)[i]);
  return {
    id: 'run',
    travel: 'up',
    law: 'densities',
    quantities: APEX_MM.flatMap((_, i): Quantity[] => [
      quantity('bandPosition', [0.3, 0.7][i], '1', 0.002, { band: i + 1 }),
      quantity('bandColour', COLOURS[i], 'Lab', [0.5, 0.5, 0.5], { band: i + 1, flags: i === 1 ? ['overlapped'] : [] }),
      quantity('bandShare', [40, 52][i], '%', 1, { band: i + 1 }),
    ]).concat(quantity('originRetained', 8, '%', 1)),
    profile: {
      positionMm,
      absorbance: [sum, sum, sum],
      fitted: [sum, sum, sum],
      noise: [0.002, 0.002, 0.002],
      lab: Array.from(positionMm, (): LabValue => [95, 0, 1]),
    },
    bands: APEX_MM.map((apexMm, i) => ({
      number: i + 1,
      apexMm,
      spanMm: [apexMm - 3, apexMm + 3] as const,
      rF: told,
      centroid: told,
      widthMm: told,
      tail: told,
      baseMm: 12,
      resolution: null,
      heights: [0.4, 0.4, 0.4],
      uHeights: [0.01, 0.01, 0.01],
      colour: COLOURS[i],
      colourParts: { repeatability: [0, 0, 0], calibration: [0, 0, 0], placement: [0, 0, 0] },
      sharePercent: told,
      alone: [curve(apexMm, [0.4, 0.5][i]), curve(apexMm, 0.1), curve(apexMm, 0.2)],
      flags: [],
    })),
    originRetained: told,
    frontDistance: told,
    originMm: 52,
    frontMm: 6,
    flags: [],
  };
}

function region(boxPx: OverlayRegion['boxPx'], measured = strip()): OverlayRegion {
  return {
    id: 'run',
    kind: 'strip',
    nib: null,
    boxPx,
    result: { id: 'run', quantities: measured.quantities, ink: null, marks: null, spread: null, strip: measured },
  };
}

/** Middle of the rows (or columns) in which a colour fills 40 pixels or more: a band's field, not its small swatches. */
async function fieldMiddle(png: Buffer, colour: LabValue, along: 'x' | 'y'): Promise<number> {
  const { data, info } = await sharp(png).raw().toBuffer({ resolveWithObject: true });
  const [r, g, b] = shown(colour).rgb;
  const counts = new Map<number, number>();
  for (let i = 0; i < data.length; i += 3) {
    if (data[i] !== r || data[i + 1] !== g || data[i + 2] !== b) continue;
    const at = along === 'x' ? (i / 3) % info.width : Math.floor(i / 3 / info.width);
    counts.set(at, (counts.get(at) ?? 0) + 1);
  }
  const filled = [...counts].filter(([, count]) => count >= 40).map(([at]) => at);
  return (Math.min(...filled) + Math.max(...filled)) / 2;
}

describe('a strip’s profile', () => {
  test('lies beside a standing strip mm by mm, each band in its measured colour', async () => {
    const info = await writeScan(folder, 'standing.png', [150, 1000]);
    const png = await drawOverlay(pageTask(info, [region([40, 100, 80, 236])]));
    const [near, far] = [await fieldMiddle(png, COLOURS[0], 'y'), await fieldMiddle(png, COLOURS[1], 'y')];
    expect(Math.abs(near - far - 20 * PX_PER_MM)).toBeLessThan(1.5);
  });

  test('lies below a lying strip', async () => {
    const info = await writeScan(folder, 'lying.png', [1000, 150]);
    const png = await drawOverlay(pageTask(info, [region([100, 40, 236, 80])]));
    const [near, far] = [await fieldMiddle(png, COLOURS[0], 'x'), await fieldMiddle(png, COLOURS[1], 'x')];
    expect(Math.abs(near - far - 20 * PX_PER_MM)).toBeLessThan(1.5);
  });

  test('is told in points of the page, from the box', () => {
    const drawing = stripDrawing(region([40, 100, 80, 236]), 3, 100, 0.5)!;
    expect(drawing.standing).toBe(true);
    expect(drawing.from).toBe(50);
    expect(drawing.pointsPerMm).toBeCloseTo(50 / 25.4, 9);
    // The band alone in the channel where it is strongest, also where that is not the first.
    expect(Math.max(...Array.from(drawing.bands[1].alone))).toBeCloseTo(0.5, 2);
  });

  test('a strip of which nothing can be told is drawn without one', async () => {
    const info = await writeScan(folder, 'nothing.png', [150, 300]);
    const nothing: StripMeasure = {
      ...strip(),
      quantities: [quantity('bandPosition', null, '1', null, { flags: ['few-pixels'] })],
      profile: noProfile,
      bands: [],
      originMm: null,
      frontMm: null,
    };
    const lost = region([10, 10, 50, 200], nothing);
    expect(stripDrawing(lost, 1, 100, 1)).toBeNull();
    expect(says(lost)).toBe('No bands.');
    await expect(drawOverlay(pageTask(info, [lost]))).resolves.toBeInstanceOf(Buffer);
  });
});

describe('a strip’s words', () => {
  test('count the bands and say what stayed at the origin', () => {
    expect(says(region([0, 0, 10, 100]))).toBe('Two bands; 8 ± 2 % of the colour stayed at the origin.');
  });
  test('name the bands that a flag concerns', () => {
    expect(notesOfBands(strip().quantities)).toBe('Note: bands that overlap (band 2).');
  });
  test('bands come by number with place, share and colour', () => {
    const [first, second] = bandsOf(strip().quantities.toReversed());
    expect([first.band, first.position.value, second.share.value]).toEqual([1, 0.3, 52]);
    expect(second.colour).toEqual(COLOURS[1]);
    expect(first.ownName).not.toBe('');
  });
});
