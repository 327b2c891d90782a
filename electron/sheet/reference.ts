/**
 * A target's known values from CGATS.17 / ISO 28178 text. CIELAB is read as D50, 2° observer; XYZ and spectra are turned
 * into it. Spectra are kept, since the film fit and other lamps need them.
 */
import { labD50, xyzToLab } from '../../analysis/colour/lab.ts';
import type { LabD50 } from '../../analysis/colour/lab.ts';
import { reflectanceToXyz } from '../../analysis/colour/spectrum.ts';
import type { ReferencePatch, TargetReference } from '../../analysis/calibrate/calibration.ts';
import { readCgats } from './cgats.ts';
import type { CgatsRow, CgatsTable } from './cgats.ts';
import { medianDisagreement, otherConditions } from './measurementConditions.ts';
import { SheetError } from './sheetError.ts';
import { spectralColumns } from './spectralColumns.ts';

const LAB = ['LAB_L', 'LAB_A', 'LAB_B'];
const XYZ = ['XYZ_X', 'XYZ_Y', 'XYZ_Z'];

type Refuse = (code: string, message: string) => never;

/** More than rounding and another way of summing can make. */
const MOST_DISAGREEMENT = 2;

/** @throws SheetError 'reference-…', with the line where there is one. */
export function parseReference(text: string, fileName: string): TargetReference {
  const refuse: Refuse = (code, message) => {
    throw new SheetError(code, `${fileName}: ${message}`);
  };
  const table = readCgats(text, refuse);
  const ids = idsOf(table, refuse);
  const spectra = spectralColumns(table, refuse);
  const reflectances =
    spectra &&
    table.rows.map((row) => ({
      firstNm: spectra.firstNm,
      stepNm: spectra.stepNm,
      values: spectra.columns.map((c) => number(table, row, c, refuse) * spectra.scale),
    }));
  const lab = labValues(table, refuse);
  const stated = [lab, xyzValues(table, lab === null, refuse)].filter((labs) => labs !== null);
  const computed = reflectances && reflectances.map((r) => xyzToLab(reflectanceToXyz(r)));
  const labs = chosen(stated, computed, otherConditions(table), table, refuse);

  const patches = new Map<string, ReferencePatch>();
  labs.forEach((lab, i) => {
    if (lab[0] < -1 || lab[0] > 130 || Math.hypot(lab[1], lab[2]) > 250) {
      const found = lab.map((v) => v.toFixed(1)).join(' ');
      refuse(
        'reference-range',
        `line ${table.rows[i].line}: "${ids[i]}" has L*a*b* ${found}; expected L* in 0…100. Check the columns.`,
      );
    }
    patches.set(ids[i], { lab, ...(reflectances && { reflectance: reflectances[i] }) });
  });
  return { patches };
}

/** What the file states for D50 and 2°, checked against its own other columns; else what its spectra give. */
function chosen(
  stated: readonly LabD50[][],
  computed: LabD50[] | null,
  otherwise: string | null,
  table: CgatsTable,
  refuse: Refuse,
): LabD50[] {
  const ways = [...(otherwise === null ? stated : []), ...(computed ? [computed] : [])];
  const [first, ...others] = ways;
  if (first === undefined) {
    if (otherwise !== null) {
      return refuse(
        'reference-conditions',
        `${otherwise}; expected values for D50 and the 2° observer. Export them for D50/2°, or with spectra.`,
      );
    }
    return refuse(
      'reference-fields',
      `its fields are ${table.columns.join(' ')}; expected LAB_L LAB_A LAB_B, XYZ_X XYZ_Y XYZ_Z or spectra (SPECTRAL_NM_400 …).`,
    );
  }
  for (const other of others) {
    const apart = medianDisagreement(first, other);
    if (apart <= MOST_DISAGREEMENT) continue;
    refuse(
      'reference-conditions',
      `its LAB, XYZ or spectral columns tell colours ${apart.toFixed(1)} ΔE*ab apart; expected all for D50 and the 2° observer. ` +
        `Remove those made for another light.`,
    );
  }
  return first;
}

function idsOf(table: CgatsTable, refuse: Refuse): string[] {
  const column = [table.columns.indexOf('SAMPLE_ID'), table.columns.indexOf('SAMPLE_NAME')].find((c) => c >= 0);
  if (column === undefined) {
    return refuse(
      'reference-fields',
      `no SAMPLE_ID among its fields ${table.columns.join(' ')}; expected one to name the patches.`,
    );
  }
  const lines = new Map<string, number>();
  return table.rows.map(({ line, values }) => {
    const id = values[column];
    const before = lines.get(id);
    if (before !== undefined) {
      refuse(
        'reference-id',
        `line ${line}: "${id}" stands on line ${before} already; expected each sample once. Remove one.`,
      );
    }
    lines.set(id, line);
    return id;
  });
}

function labValues(table: CgatsTable, refuse: Refuse): LabD50[] | null {
  return triples(table, LAB, refuse)?.map(([L, a, b]) => labD50(L, a, b)) ?? null;
}

/** @param needed false: a scale that cannot be told is no fault, since other columns tell the colours. */
function xyzValues(table: CgatsTable, needed: boolean, refuse: Refuse): LabD50[] | null {
  const found = triples(table, XYZ, refuse);
  if (!found) return null;
  const lightest = Math.max(...found.map(([, y]) => y));
  const scale = scaleOfXyz(lightest);
  if (scale !== null) return found.map(([x, y, z]) => xyzToLab([x * scale, y * scale, z * scale]));
  if (!needed) return null;
  return refuse(
    'reference-scale',
    `its largest XYZ_Y is ${lightest}; expected a light patch, to tell whether white is 100 or 1. Give LAB_L LAB_A LAB_B instead.`,
  );
}

function triples(table: CgatsTable, names: readonly string[], refuse: Refuse): [number, number, number][] | null {
  const [first, second, third] = names.map((name) => table.columns.indexOf(name));
  if (first < 0 || second < 0 || third < 0) return null;
  return table.rows.map((row) => [
    number(table, row, first, refuse),
    number(table, row, second, refuse),
    number(table, row, third, refuse),
  ]);
}

function number(table: CgatsTable, row: CgatsRow, column: number, refuse: Refuse): number {
  const value = table.toNumber(row.values[column]);
  if (Number.isFinite(value)) return value;
  return refuse(
    'reference-number',
    `line ${row.line}: ${table.columns[column]} is "${row.values[column]}"; expected a number.`,
  );
}

/** Files give XYZ with the diffuser at 100 or at 1: the lightest patch of a target tells, unless all are dark. */
function scaleOfXyz(lightest: number): number | null {
  if (lightest > 2) return 0.01;
  return lightest >= 0.3 && lightest <= 1.2 ? 1 : null;
}
