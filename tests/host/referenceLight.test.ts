/** References stated for another light, with their own deviations, or as one of several tables. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50, labToXyz, xyzToLab, xyzToLabWhite, type Xyz } from '../../analysis/colour/lab.ts';
import { WHITES } from '../../electron/sheet/measurementConditions.ts';
import { parseReference } from '../../electron/sheet/reference.ts';
import { readVectors } from '../vectors/readVectors.ts';

const read = (text: string) => parseReference(text, 'r.txt');
const table = (header: string, fields: string, rows: readonly string[]) =>
  [header, 'BEGIN_DATA_FORMAT', fields, 'END_DATA_FORMAT', 'BEGIN_DATA', ...rows, 'END_DATA', ''].join('\n');

// Source: CIE 15 and ICC.1:2010 Annex E, as computed with the whites of ASTM E308 in the table's own notes.
interface Constants {
  readonly adapted_examples: readonly { readonly xyz_D65: Xyz; readonly xyz_D50_E308: Xyz }[];
}
const constants: Constants = JSON.parse(
  readFileSync(new URL('../vectors/colour_constants.json', import.meta.url), 'utf8'),
);
const whites = readVectors('cie_white_points.csv', { rows: 8, sha256: '553093423d4b' });

describe('values under another light are adapted to D50', () => {
  const examples = constants.adapted_examples;
  test('XYZ under D65 as the published examples say', () => {
    const rows = examples.map(({ xyz_D65 }, i) => `P${i} ${xyz_D65.join(' ')}`);
    const { patches, notes } = read(table('ILLUMINANT "D65"', 'SAMPLE_ID XYZ_X XYZ_Y XYZ_Z', rows));
    expect(examples.length).toBe(4);
    examples.forEach(({ xyz_D50_E308 }, i) => {
      const found = labToXyz(patches.get(`P${i}`)!.lab);
      found.forEach((v, k) => expect(Math.abs(v - xyz_D50_E308[k])).toBeLessThan(1e-6));
    });
    expect(notes).toEqual(['adapted from illuminant D65 to D50 (linear Bradford)']);
  });

  test('Lab under D65 likewise', () => {
    const d65 = WHITES.get('D65')!;
    const rows = examples.map(({ xyz_D65 }, i) => `P${i} ${xyzToLabWhite(xyz_D65, d65).join(' ')}`);
    const { patches } = read(table('WEIGHTING_FUNCTION "ILLUMINANT, D65"', 'SAMPLE_ID LAB_L LAB_A LAB_B', rows));
    examples.forEach(({ xyz_D50_E308 }, i) => {
      expect(deltaE2000(patches.get(`P${i}`)!.lab, xyzToLab(xyz_D50_E308))).toBeLessThan(1e-4);
    });
  });

  test.each(whites.filter((w) => w.text('observer') === '2deg').map((w) => [w.text('illuminant'), w] as const))(
    'the white of %s, CIE 15:2018, becomes that of D50',
    (name, row) => {
      const white = row.numbers('X_astm_e308', 'Y_astm_e308', 'Z_astm_e308');
      const text = table(`ILLUMINANT "${name}"`, 'SAMPLE_ID XYZ_X XYZ_Y XYZ_Z', [`W ${white.join(' ')}`]);
      const [L, a, b] = read(text).patches.get('W')!.lab;
      expect(L).toBeCloseTo(100, 6);
      expect(Math.hypot(a, b)).toBeLessThan(1e-3);
    },
  );

  test('where a later table says nothing, the light of the one before counts', () => {
    const lamp = table('ILLUMINANT "D65"', 'SAMPLE_ID RGB_R', ['A1 5']);
    expect(read(lamp + table('', 'SAMPLE_ID LAB_L LAB_A LAB_B', ['A1 50 0 0'])).notes).toHaveLength(1);
    expect(read(lamp + table('ILLUMINANT D50', 'SAMPLE_ID LAB_L LAB_A LAB_B', ['A1 50 0 0'])).notes).toBeUndefined();
  });
});

describe('several tables', () => {
  const device = table('CGATS.17', 'SAMPLE_ID RGB_R RGB_G RGB_B', ['A1 1 2 3']);
  const lab = table('', 'SAMPLE_ID LAB_L LAB_A LAB_B', ['A1 50 1 2']);
  test.each([
    ['before', device + lab],
    ['after', lab + device],
  ])('one with other fields %s it does not disturb', (_, text) => {
    expect([...read(text).patches.get('A1')!.lab]).toEqual([50, 1, 2]);
  });
  test('each is held to its own counts, by line', () => {
    const counts = 'NUMBER_OF_SETS 2';
    expect(() => read(lab + table(counts, 'SAMPLE_ID RGB_R', ['A1 1']))).toThrow('line 8: NUMBER_OF_SETS says 2');
  });
  test('two with colours are refused with both lines', () => {
    expect(() => read(lab + lab)).toThrow('line 9: a second table with colours; the first begins on line 2');
  });
});

describe('how sure the values are', () => {
  test.each(['STDEV_L STDEV_A STDEV_B', 'lab_stdev_l lab_stdev_a lab_stdev_b'])('%s', (fields) => {
    const { patches } = read(table('', `SAMPLE_ID LAB_L LAB_A LAB_B ${fields}`, ['A1 50 1 2 0.3 0.4 0.5']));
    expect(patches.get('A1')).toEqual({ lab: labD50(50, 1, 2), u: [0.3, 0.4, 0.5] });
  });
  test('other deviations and figures of the trade do not count', () => {
    const { patches } = read(table('', 'SAMPLE_ID STDEV_DE MEAN_DE LAB_L LAB_A LAB_B', ['A1 - n/a 50 1 2']));
    expect(patches.get('A1')).toEqual({ lab: labD50(50, 1, 2) });
  });
  test('a negative one is refused', () => {
    expect(() => read(table('', 'SAMPLE_ID LAB_L LAB_A LAB_B STDEV_L STDEV_A STDEV_B', ['A1 50 1 2 1 -1 1']))).toThrow(
      'line 6: STDEV_A is -1',
    );
  });
});

describe('what people’s programs write', () => {
  test('an apostrophe’s worth of quotes in a header line is no fault', () => {
    expect(read(table('DESCRIPTOR 5" card', 'SAMPLE_ID LAB_L LAB_A LAB_B', ['A1 50 1 2'])).patches.size).toBe(1);
  });
  test('fields beside their marks; a true minus sign', () => {
    const text = 'BEGIN_DATA_FORMAT SAMPLE_ID LAB_L\nLAB_A LAB_B END_DATA_FORMAT\nBEGIN_DATA\nA1 50 −3 2\nEND_DATA';
    expect([...read(text).patches.get('A1')!.lab]).toEqual([50, -3, 2]);
  });
  test('decimal commas beside names with points in them', () => {
    const text = table('', 'SAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B', ['1.5 "9.5 D" 50,5 1 2', '2.5 0.7 40,5 1 2']);
    expect(read(text).patches.get('1.5')?.lab[0]).toBe(50.5);
  });
});
