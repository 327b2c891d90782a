import { describe, expect, test } from 'vitest';
import { labToXyz, labD50 } from '../../analysis/colour/lab.ts';
import { parseReference } from '../../electron/sheet/reference.ts';
import { readVectors } from '../vectors/readVectors.ts';
import { REFERENCE } from './smallSheet.ts';

/** A CGATS text of one table. */
function cgats(fields: string, rows: readonly string[], header = ''): string {
  return [
    'CGATS.17',
    ...(header ? [header] : []),
    'BEGIN_DATA_FORMAT',
    fields,
    'END_DATA_FORMAT',
    'BEGIN_DATA',
    ...rows,
    'END_DATA',
  ].join('\n');
}

const read = (text: string) => parseReference(text, 'r.txt');
const labOf = (text: string, id = 'A1') => [...(read(text).patches.get(id)?.lab ?? [])];
const LAB = 'SAMPLE_ID LAB_L LAB_A LAB_B';

describe('the same values however the file was written', () => {
  test.each<[string, (text: string) => string]>([
    ['as it is', (t) => t],
    ['line ends of Windows', (t) => t.replaceAll('\n', '\r\n')],
    ['line ends of old Macs', (t) => t.replaceAll('\n', '\r')],
    ['tabs', (t) => t.replaceAll(' ', '\t')],
    ['a mark at the start', (t) => `\uFEFF${t}`],
    ['blanks at line ends and empty lines', (t) => t.replaceAll('\n', '  \n\n')],
    ['quotes and comments', (t) => t.replace(/^(A\d) (.*)$/gm, '"$1" $2 # a patch')],
    ['comments with a quote in them', (t) => t.replace('BEGIN_DATA\n', '# by hand: 5"\nBEGIN_DATA # here\n')],
    ['decimal commas and nothing else', (t) => t.replace(/(\d)\.(\d)/g, '$1,$2')],
  ])('%s', (_, rewrite) => {
    const text = rewrite(REFERENCE);
    expect([...read(text).patches.keys()]).toEqual(['A1', 'A2', 'A3', 'A4']);
    expect(labOf(text, 'A4')).toEqual([30.2, -20.5, -33]);
  });
  test('fields over several lines, in small letters, with others between', () => {
    const fields = 'sample_name SAMPLE_ID\nRGB_R lab_b\nlab_a LAB_L';
    expect(labOf(cgats(fields, ['"one # ""a"""  A1 n/a -3 1e1 +50.']))).toEqual([50, 10, -3]);
  });
  test('names when there are no ids', () => {
    expect(labOf(cgats('SAMPLE_NAME LAB_L LAB_A LAB_B', ['"patch one" 50 1 2']), 'patch one')).toEqual([50, 1, 2]);
  });
});

describe('XYZ', () => {
  const lab = labD50(60, 20, -30);
  const row = (scale: number) =>
    `A1 ${labToXyz(lab)
      .map((v) => v * scale)
      .join(' ')}`;
  test.each([1, 100])('with white at %i', (white) => {
    const found = labOf(
      cgats('SAMPLE_ID XYZ_X XYZ_Y XYZ_Z', [row(white), `W ${0.8 * white} ${0.85 * white} ${0.7 * white}`]),
    );
    found.forEach((v, i) => expect(v).toBeCloseTo(lab[i], 9));
  });
  test('all dark: cannot be told', () => {
    expect(() => read(cgats('SAMPLE_ID XYZ_X XYZ_Y XYZ_Z', ['A1 0.1 0.11 0.1']))).toThrow(
      /largest XYZ_Y is 0.11.*LAB_L/,
    );
  });
  test('all dark beside Lab: not needed', () => {
    const text = cgats(`${LAB} XYZ_X XYZ_Y XYZ_Z`, ['A1 2 0 0 0.1 0.11 0.1']);
    expect(labOf(text)).toEqual([2, 0, 0]);
  });
});

describe('spectra', () => {
  const nms = Array.from({ length: 36 }, (_, i) => 380 + 10 * i);
  const flat = (value: number) => nms.map(() => value).join(' ');
  test.each([
    ['SPECTRAL_NM_', ''],
    ['SPECTRAL_NM', ''],
    ['SPECTRAL_', ''],
    ['SPEC_', ''],
    ['nm', ''],
    ['NM_', ''],
    ['R_', ''],
    ['R_', 'nm'],
    ['', ''],
  ])('named like %s380%s', (before, after) => {
    const text = cgats(`SAMPLE_ID ${nms.map((n) => `${before}${n}${after}`).join(' ')}`, [
      `A1 ${flat(0.5)}`,
      `A2 ${flat(0.25)}`,
    ]);
    const { patches } = read(text);
    expect(patches.get('A1')?.reflectance).toMatchObject({ firstNm: 380, stepNm: 10 });
    expect(patches.get('A1')?.reflectance?.values).toHaveLength(36);
    // A flat reflectance of one half is grey with L* = 116 · 0.5^(1/3) − 16 under any light.
    const [L, a, b] = labOf(text);
    expect(L).toBeCloseTo(116 * Math.cbrt(0.5) - 16, 6);
    expect(Math.hypot(a, b)).toBeLessThan(1e-6);
  });
  test('in per cent, stated or not; from the longest wavelength down', () => {
    const fields = `SAMPLE_ID ${nms
      .toReversed()
      .map((n) => `R_${n}`)
      .join(' ')}`;
    const ramp = nms
      .map((n) => (n - 300) / 5)
      .toReversed()
      .join(' ');
    const { patches } = read(cgats(fields, [`A1 ${ramp}`]));
    expect(patches.get('A1')?.reflectance?.values[0]).toBeCloseTo(0.16, 12);
    expect(patches.get('A1')?.reflectance?.values[35]).toBeCloseTo(0.86, 12);
    const dark = cgats(fields, [`A1 ${flat(2)}`], 'SPECTRAL_NORM "100.000"');
    expect(read(dark).patches.get('A1')?.reflectance?.values[3]).toBeCloseTo(0.02, 12);
    expect(() => read(dark.replace(/SPECTRAL_NORM.*\n/, ''))).toThrow('Add SPECTRAL_NORM');
  });
  test('a stated scale that the values contradict', () => {
    const fields = `SAMPLE_ID ${nms.map((n) => `R_${n}`).join(' ')}`;
    const text = cgats(fields, [`A1 ${flat(0.9)}`], 'SPECTRAL_NORM "100"');
    expect(() => read(text)).toThrow(
      'line 2: SPECTRAL_NORM says that white is 100, but the largest reflectance is 0.9;',
    );
  });
  test('Lab beside spectra is taken as stated, and the spectra are kept', () => {
    const fields = `SAMPLE_ID LAB_L LAB_A LAB_B ${nms.map((n) => `R_${n}`).join(' ')}`;
    const { patches } = read(cgats(fields, [`A1 76.1 0.1 0.2 ${flat(0.5)}`]));
    expect([...(patches.get('A1')?.lab ?? [])]).toEqual([76.1, 0.1, 0.2]);
    expect(patches.get('A1')?.reflectance?.values[0]).toBe(0.5);
  });
  test.each<[string, number[], string]>([
    ['uneven steps', [380, 390, 400, 420, 700], 'from 400 to 420 nm'],
    ['too narrow', [500, 510, 520, 530], 'from 500 to 530 nm'],
    ['too coarse', [380, 480, 580, 680, 780], 'in steps of 100'],
  ])('%s', (_, grid, words) => {
    const text = cgats(`SAMPLE_ID ${grid.map((n) => `R_${n}`).join(' ')}`, [`A1 ${grid.map(() => 0.5).join(' ')}`]);
    expect(() => read(text)).toThrow(words);
  });
});

describe('values for another light are not taken for D50', () => {
  const row = ['A1 50 10 10'];
  test.each([
    ['ILLUMINANT "D55"', 'line 2: ILLUMINANT "D55"'],
    ['ILLUMINANT "F11"', 'line 2: ILLUMINANT "F11"'],
    ['ILLUMINANT "my desk lamp"', 'line 2: ILLUMINANT "my desk lamp"'],
    ['ORIGINATOR "x"\nILLUMINANT "D65/10"', 'line 3: ILLUMINANT "D65/10"'],
    [
      'WEIGHTING_FUNCTION "ILLUMINANT, D50"\nWEIGHTING_FUNCTION "OBSERVER, 10 degree"',
      'line 3: WEIGHTING_FUNCTION "OBSERVER, 10 degree"',
    ],
    ['OBSERVER "10"', 'line 2: OBSERVER "10"'],
    ['OBSERVER "CIE 1964"', 'line 2: OBSERVER "CIE 1964"'],
    ['ILLUMINANT "D65"\nOBSERVER "10"', 'line 3: OBSERVER "10"'],
    ['MEASUREMENT_SOURCE "Illumination=D55 ObserverAngle=2"', 'line 2: MEASUREMENT_SOURCE'],
  ])('%s', (header, where) => {
    expect(() => read(cgats(LAB, row, header))).toThrow(/expected values for D50 and the 2° observer/);
    expect(() => read(cgats(LAB, row, header))).toThrow(`r.txt: ${where}`);
  });
  test('two lines that contradict each other', () => {
    const header = 'ILLUMINANT "D65"\nWEIGHTING_FUNCTION "ILLUMINANT, D50"';
    expect(() => read(cgats(LAB, row, header))).toThrow(
      'line 2: ILLUMINANT "D65", but line 3: WEIGHTING_FUNCTION "ILLUMINANT, D50"; expected one light',
    );
  });
  test.each([
    'ILLUMINANT "D50"',
    'WEIGHTING_FUNCTION "ILLUMINANT, D50"\nWEIGHTING_FUNCTION "OBSERVER, 2 degree"',
    'MEASUREMENT_SOURCE "Illumination=D50 ObserverAngle=2 WhiteBase=Abs Filter=No"',
    'DESCRIPTOR "10 patches, stored under D65 lamps"',
    'MEASUREMENT_SOURCE "D65"',
    'MEASUREMENT_SOURCE "Illumination=Unknown ObserverAngle=Unknown WhiteBase=Abs Filter=No"',
    'WEIGHTING_FUNCTION "ILLUMINANT_D50"\nWEIGHTING_FUNCTION "OBSERVER_2"',
    'ILLUMINANT "CIE D50"\nOBSERVER "CIE 1931"',
    'ILLUMINANT ""\nOBSERVER "n/a"',
  ])('%s is right', (header) => expect(labOf(cgats(LAB, row, header))).toEqual([50, 10, 10]));
  test('spectra do not mind', () => {
    const nms = Array.from({ length: 31 }, (_, i) => 400 + 10 * i);
    const text = cgats(
      `${LAB} ${nms.map((n) => `R_${n}`).join(' ')}`,
      [`A1 90 0 0 ${nms.map(() => 0.5).join(' ')}`],
      'ILLUMINANT D65',
    );
    expect(labOf(text)[0]).toBeCloseTo(116 * Math.cbrt(0.5) - 16, 6);
    expect(read(text).notes).toEqual(['computed from its spectra, since line 2: ILLUMINANT "D65"']);
  });
  test('columns that contradict each other', () => {
    const text = cgats(`${LAB} XYZ_X XYZ_Y XYZ_Z`, ['A1 100 0 0 95.047 100 108.883']);
    expect(() => read(text)).toThrow(/tell colours [\d.]+ ΔE\*ab apart/);
  });
});

test('light that was taken away is refused, what an instrument reads below nothing is not', () => {
  const names = Array.from({ length: 17 }, (_, i) => `NM${380 + 20 * i}`);
  const with440 = (value: string): string =>
    cgats(`SAMPLE_ID ${names.join(' ')}`, [`A1 ${names.map((name) => (name === 'NM440' ? value : '0.9')).join(' ')}`]);
  expect(() => read(with440('-0.5'))).toThrow('NM440 is -0.5; expected a reflectance of 0 or more');
  expect(read(with440('-0.001')).patches.size).toBe(1);
});

describe('what cannot be right is refused, with its line', () => {
  test.each<[string, string, string]>([
    ['another file', 'L,a,b\n1,2,3', 'no BEGIN_DATA_FORMAT in its 2 lines; expected CGATS.17'],
    ['no data', REFERENCE.replace('BEGIN_DATA\n', ''), 'line 11: END_DATA without BEGIN_DATA before it'],
    ['nothing after the fields', 'BEGIN_DATA_FORMAT\nSAMPLE_ID\nEND_DATA_FORMAT', 'line 1: no BEGIN_DATA after these'],
    ['fields without an end', REFERENCE.replace('END_DATA_FORMAT\n', ''), 'BEGIN_DATA_FORMAT has no END_DATA_FORMAT'],
    [
      'values without fields',
      `BEGIN_DATA\nA1 1 2 3\nEND_DATA\n${REFERENCE}`,
      'line 1: BEGIN_DATA without BEGIN_DATA_FORMAT',
    ],
    ['an empty id', REFERENCE.replace('A3', '""'), 'line 10: SAMPLE_ID is empty'],
    ['a NUL', REFERENCE.replace('A3', 'A\0'), 'line 10: a NUL character'],
    ['cut short', REFERENCE.slice(0, -20), 'line 7: BEGIN_DATA has no END_DATA'],
    ['empty', cgats(LAB, []), 'no lines between BEGIN_DATA and END_DATA'],
    ['two tables', `${REFERENCE}${REFERENCE}`, 'a second table with colours; the first begins on line'],
    ['a field twice', cgats(`${LAB} LAB_L`, ['A1 1 2 3 4']), 'the field LAB_L is named twice'],
    ['no colours', cgats('SAMPLE_ID RGB_R RGB_G RGB_B', ['A1 1 2 3']), 'SAMPLE_ID RGB_R RGB_G RGB_B; expected LAB_L'],
    [
      'commas between fields',
      'BEGIN_DATA_FORMAT\nSAMPLE_ID,LAB_L,LAB_A,LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\nA1,1,2,3\nEND_DATA',
      'parted by commas',
    ],
    ['no ids', cgats('LAB_L LAB_A LAB_B', ['1 2 3']), 'no SAMPLE_ID'],
    [
      'a wrong field count',
      REFERENCE.replace('FIELDS 4', 'FIELDS 5'),
      'NUMBER_OF_FIELDS says 5, but there are 4 fields',
    ],
    ['a wrong set count', REFERENCE.replace('SETS 4', 'SETS 24'), 'NUMBER_OF_SETS says 24, but there are 4 lines'],
    ['a value missing', REFERENCE.replace('0.1 -0.3', '0.1'), 'line 9: 3 values; expected 4'],
    ['a value too many', REFERENCE.replace('0.1 -0.3', '0.1 -0.3 7'), 'line 9: 5 values; expected 4'],
    ['a sample twice', REFERENCE.replace('A3', 'A1'), 'line 10: "A1" stands on line 8 already'],
    ['a word for a number', REFERENCE.replace('55.0', 'n/a'), 'line 10: LAB_A is "n/a"; expected a number'],
    ['not a number', REFERENCE.replace('55.0', 'NaN'), 'line 10: LAB_A is "NaN"'],
    [
      'L* beyond white',
      REFERENCE.replace('95.0', '120'),
      'line 8: "A1" has L*a*b* 120.0 -0.4 1.2; expected L* in 0…100',
    ],
    ['a chroma of no colour', REFERENCE.replace('55.0', '1e9'), 'expected a chroma of at most 250'],
    [
      'colours in 0…1',
      cgats(LAB, ['A1 0.95 0 0.01', 'A2 0.5 0 0']),
      'its lightest sample has L* 0.95; expected a light one, and L* in 0…100',
    ],
    ['a hexadecimal number', REFERENCE.replace('55.0', '0x10'), 'line 10: LAB_A is "0x10"'],
    ['commas beside points', REFERENCE.replace('55.0', '55,0'), 'line 10 writes decimal commas, line 8 decimal points'],
    [
      'both in one number',
      REFERENCE.replace(/(\d)\.(\d)/g, '$1,$2').replace('55,0', '1.055,0'),
      'line 10: LAB_A is "1.055,0"',
    ],
    ['an open quote', REFERENCE.replace('A3', '"A3'), 'line 10: a quote is not closed'],
    [
      'L* out of range',
      REFERENCE.replace('50.0', '500'),
      'line 9: "A2" has L*a*b* 500.0 0.1 -0.3; expected L* in 0…100',
    ],
  ])('%s', (_, text, words) => {
    expect(() => read(text)).toThrow(words);
    expect(() => read(text)).toThrow(/^r\.txt: [^\n]+$/);
  });
});

function labColumns(light: string): readonly [string, string, string] {
  return [`L_${light}`, `a_${light}`, `b_${light}`];
}

describe('24 published spectra through a file', () => {
  // Spectra: N. Ohta 1997, The Basis of Color Reproduction Engineering; Lab from them by 5 nm sums beside them.
  const spectra = readVectors('chart24_reflectance_ohta1997_5nm.csv', { rows: 81, sha256: '72adc2a2d105' });
  const colours = readVectors('chart24_ohta_computed_xyz_lab.csv', { rows: 24, sha256: 'a83c342b112f' });
  const text = (light: string | null) =>
    cgats(
      `SAMPLE_ID ${light ? 'LAB_L LAB_A LAB_B ' : ''}${spectra.map((s) => `SPECTRAL_NM_${s.text('wavelength_nm')}`).join(' ')}`,
      colours.map((row, i) => {
        const lab = light ? row.numbers(...labColumns(light)) : [];
        return [row.text('patch'), ...lab, ...spectra.map((s) => s.text(s.columns[i + 1]))].join(' ');
      }),
    );

  test('give their colours under D50', () => {
    const { patches } = read(text(null));
    expect(patches.size).toBe(24);
    for (const row of colours) {
      const lab = patches.get(row.text('patch'))?.lab ?? [];
      // The two white points differ in the fifth digit.
      row.numbers(...labColumns('D50')).forEach((v, k) => expect(Math.abs(lab[k] - v)).toBeLessThan(0.02));
    }
  });

  const xyzOf = (light: string, header = '') =>
    cgats(
      'SAMPLE_ID XYZ_X XYZ_Y XYZ_Z',
      colours.map((row) => [row.text('patch'), ...row.numbers(`X_${light}`, `Y_${light}`, `Z_${light}`)].join(' ')),
      header,
    );
  test('as XYZ of which no line says the light: for D50 they are read, for D65 refused until a line says so', () => {
    expect(read(xyzOf('D50')).patches.size).toBe(24);
    expect(() => read(xyzOf('D65'))).toThrow(
      /nearly neutral under D65; expected the light by its name. Add ILLUMINANT "D65"/,
    );
    expect(read(xyzOf('D65', 'ILLUMINANT "D65"')).notes).toEqual([
      'adapted from illuminant D65 to D50 (linear Bradford)',
    ]);
    expect(read(xyzOf('D65', 'ILLUMINANT "D50"')).patches.size).toBe(24);
  });

  test('beside Lab for D50 are accepted, beside Lab for D65 are not', () => {
    expect(read(text('D50')).patches.size).toBe(24);
    expect(() => read(text('D65'))).toThrow(/tell colours [\d.]+ ΔE\*ab apart/);
  });
});
