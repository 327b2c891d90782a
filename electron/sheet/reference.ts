/**
 * A target's known values from CGATS.17 / ISO 28178 text, as CIELAB under D50 for the 2° observer. XYZ and spectra are turned into it,
 * values for another known light are adapted. Spectra are kept, since the film fit and other lamps need them.
 */
import type { ReferencePatch, TargetReference } from '../../analysis/calibrate/calibration.ts';
import { bradfordMatrix, times } from '../../analysis/colour/adapt.ts';
import { D50, labD50, labToXyz, xyzToLab } from '../../analysis/colour/lab.ts';
import type { LabD50, Xyz } from '../../analysis/colour/lab.ts';
import { reflectanceToXyz } from '../../analysis/colour/spectrum.ts';
import { type CgatsTable, readCgats, type Refuse, shown } from './cgats.ts';
import { numbersOf, type ReadNumber } from './cgatsNumbers.ts';
import { type Conditions, conditionsOf, likelierLight, medianDisagreement, WHITES } from './measurementConditions.ts';
import { patchNames } from './patchNames.ts';
import { SheetError } from './sheetError.ts';
import { hasSpectra, spectralColumns } from './spectralColumns.ts';
import { deviations } from './statedDeviations.ts';

const LAB = ['LAB_L', 'LAB_A', 'LAB_B'];
const XYZ = ['XYZ_X', 'XYZ_Y', 'XYZ_Z'];

/** More than rounding and another way of summing can make. */
const MOST_DISAGREEMENT = 2;
/** Rounding and instruments make a little less than nothing, brighteners more than all. */
const LIGHTNESS = { least: -1, most: 110 } as const;
const MOST_CHROMA = 250;
/** L* written in 0…1 comes to no more than 1; a sample of any target is lighter by far. */
const LIGHTEST_ABOVE = 1.1;

/** @throws SheetError 'reference-…': one line, with the number of the line where there is one. */
export function parseReference(text: string, fileName: string): TargetReference {
  const refuse: Refuse = (code, message) => {
    throw new SheetError(code, `${fileName}: ${message}`);
  };
  const tables = readCgats(text, refuse);
  const table = tableWithColours(tables, refuse);
  const { ids, otherNames } = patchNames(table, refuse);
  const read = numbersOf(table, refuse);
  const spectra = spectralColumns(table, read, refuse);
  const reflectances =
    spectra &&
    table.rows.map((row) => ({
      firstNm: spectra.firstNm,
      stepNm: spectra.stepNm,
      values: spectra.columns.map((c) => read(row, c) * spectra.scale),
    }));
  const before = tables.slice(0, tables.indexOf(table)).reverse();
  const conditions = conditionsOf([table, ...before].map(({ header }) => header));
  const computed = reflectances && reflectances.map((r) => xyzToLab(reflectanceToXyz(r)));
  const { labs, notes } = chosen(statedValues(table, read, refuse), computed, conditions, refuse);
  const u = deviations(table, read, refuse);

  const patches = new Map<string, ReferencePatch>();
  labs.forEach((lab, i) => {
    // Put so that what is no number is refused, too.
    const isLightness = lab[0] >= LIGHTNESS.least && lab[0] <= LIGHTNESS.most;
    if (!isLightness || !(Math.hypot(lab[1], lab[2]) <= MOST_CHROMA)) {
      const found = lab.map((v) => (Math.abs(v) < 1e5 ? v.toFixed(1) : v.toExponential(1))).join(' ');
      const expected = isLightness ? `a chroma of at most ${MOST_CHROMA}` : 'L* in 0…100';
      refuse(
        'reference-range',
        `line ${table.rows[i].line}: "${shown(ids[i])}" has L*a*b* ${found}; expected ${expected}. Check the columns.`,
      );
    }
    patches.set(ids[i], { lab, ...(u && { u: u[i] }), ...(reflectances && { reflectance: reflectances[i] }) });
  });
  const lightest = labs.reduce((most, [L]) => Math.max(most, L), -Infinity);
  if (lightest < LIGHTEST_ABOVE) {
    refuse(
      'reference-scale',
      `its lightest sample has L* ${lightest.toFixed(2)}; expected a light one, and L* in 0…100. ` +
        `Multiply them all by 100 if they are in 0…1, or check the columns.`,
    );
  }
  return { patches, ...(notes.length > 0 && { notes }), ...(otherNames.size > 0 && { otherNames }) };
}

function tableWithColours(tables: readonly CgatsTable[], refuse: Refuse): CgatsTable {
  const holds = (table: CgatsTable, names: readonly string[]) => names.every((name) => table.columns.includes(name));
  const [found, second] = tables.filter((t) => holds(t, LAB) || holds(t, XYZ) || hasSpectra(t));
  if (second) {
    refuse(
      'reference-tables',
      `line ${second.line}: a second table with colours; the first begins on line ${found.line}. Keep the one with this target's values.`,
    );
  }
  if (found) return found;
  const [{ line, columns }] = tables;
  if (columns.some((name) => /[,;]/.test(name))) {
    refuse(
      'reference-fields',
      `line ${line}: its fields are parted by commas or semicolons; expected blanks or tabs. Replace them, also between the values.`,
    );
  }
  const named = columns.slice(0, 12).map(shown).join(' ');
  return refuse(
    'reference-fields',
    `line ${line}: its fields are ${named}${columns.length > 12 ? ' …' : ''}; ` +
      `expected LAB_L LAB_A LAB_B, XYZ_X XYZ_Y XYZ_Z or spectra (SPECTRAL_NM_400 …).`,
  );
}

/** Y = 1 for the perfect diffuser, under whatever light the file means. */
function statedValues(table: CgatsTable, read: ReadNumber, refuse: Refuse): { lab: Xyz[] | null; xyz: Xyz[] | null } {
  const lab = triples(table, LAB, read);
  return { lab, xyz: xyzValues(table, read, lab === null && !hasSpectra(table), refuse) };
}

/** What the file states, brought to D50 and checked against its own other columns; where it cannot be, what its spectra give. */
function chosen(
  stated: { readonly lab: readonly Xyz[] | null; readonly xyz: readonly Xyz[] | null },
  computed: LabD50[] | null,
  { illuminant, observerDeg, said, lightStated, contradiction }: Conditions,
  refuse: Refuse,
): { labs: readonly LabD50[]; notes: readonly string[] } {
  const white = WHITES.get(illuminant);
  const usable = observerDeg === 2 && white !== undefined && contradiction === null;
  const isD50 = usable && illuminant === 'D50';
  if (computed && !isD50) {
    const notes = stated.lab || stated.xyz ? [`computed from its spectra, since ${contradiction ?? said}`] : [];
    return { labs: computed, notes };
  }
  if (!usable) {
    if (contradiction !== null) {
      return refuse('reference-conditions', `${contradiction}; expected one light and observer. Remove what is wrong.`);
    }
    return refuse(
      'reference-conditions',
      `${said}; expected values for D50 and the 2° observer, or for D65, A or C and 2°, which are adapted. ` +
        `Export them for D50/2°, or with spectra.`,
    );
  }
  const likelier = stated.xyz && !stated.lab && !computed && !lightStated ? likelierLight(stated.xyz) : null;
  if (likelier !== null) {
    return refuse(
      'reference-conditions',
      `no line says for which light its XYZ are, and the lightest of them is coloured under D50 and nearly neutral under ${likelier}; ` +
        `expected the light by its name. Add ILLUMINANT "${likelier}" above the fields, or ILLUMINANT "D50" if they are for that.`,
    );
  }
  const toD50 = bradfordMatrix(white, D50);
  const adapted = (xyz: Xyz): LabD50 => xyzToLab(isD50 ? xyz : times(toD50, xyz));
  const ways = [
    ...(stated.lab ? [stated.lab.map((lab) => (isD50 ? labD50(...lab) : adapted(fromLab(lab, white))))] : []),
    ...(stated.xyz ? [stated.xyz.map(adapted)] : []),
    ...(computed ? [computed] : []),
  ];
  const [labs, ...others] = ways;
  for (const other of others) {
    const apart = medianDisagreement(labs, other);
    if (apart <= MOST_DISAGREEMENT) continue;
    refuse(
      'reference-conditions',
      `its LAB, XYZ or spectral columns tell colours ${apart.toFixed(1)} ΔE*ab apart; expected all for one light and the 2° observer. ` +
        `Remove those made for another light.`,
    );
  }
  return { labs, notes: isD50 ? [] : [`adapted from illuminant ${illuminant} to D50 (linear Bradford)`] };
}

/** CIELAB under any white → XYZ under that white. */
function fromLab([L, a, b]: Xyz, white: Xyz): Xyz {
  const [x, y, z] = labToXyz(labD50(L, a, b));
  return [(x * white[0]) / D50[0], y, (z * white[2]) / D50[2]];
}

/** @param needed false: a scale that cannot be told is no fault, since other columns tell the colours. */
function xyzValues(table: CgatsTable, read: ReadNumber, needed: boolean, refuse: Refuse): Xyz[] | null {
  const found = triples(table, XYZ, read);
  if (!found) return null;
  const lightest = found.reduce((most, [, y]) => Math.max(most, y), -Infinity);
  const scale = scaleOfXyz(lightest);
  if (scale !== null) return found.map(([x, y, z]): Xyz => [x * scale, y * scale, z * scale]);
  if (!needed) return null;
  const row = table.rows[found.findIndex(([, y]) => y === lightest)];
  return refuse(
    'reference-scale',
    `line ${row.line}: its largest XYZ_Y is ${lightest}; expected a light patch, to tell whether white is 100 or 1. ` +
      `Give LAB_L LAB_A LAB_B instead.`,
  );
}

function triples(table: CgatsTable, names: readonly string[], read: ReadNumber): Xyz[] | null {
  const [first, second, third] = names.map((name) => table.columns.indexOf(name));
  if (first < 0 || second < 0 || third < 0) return null;
  return table.rows.map((row): Xyz => [read(row, first), read(row, second), read(row, third)]);
}

/** Files give XYZ with the diffuser at 100 or at 1: the lightest patch of a target tells, unless all are dark. */
function scaleOfXyz(lightest: number): number | null {
  if (lightest > 2) return 0.01;
  return lightest >= 0.3 && lightest <= 1.2 ? 1 : null;
}
