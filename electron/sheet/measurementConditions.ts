/** For which light and observer a reference says that its values are: wrong ones are off by several ΔE00 without anybody noticing. */
import { bradfordMatrix, times } from '../../analysis/colour/adapt.ts';
import type { LabD50, Xyz } from '../../analysis/colour/lab.ts';
import { D50, D65, xyzToLab } from '../../analysis/colour/lab.ts';
import { type CgatsKeyword, shown } from './cgats.ts';

/** Whites that values are adapted from, 2° observer. Source: ASTM E308, Table 5; D50 as everywhere here. */
export const WHITES: ReadonlyMap<string, Xyz> = new Map([
  ['D50', D50],
  ['D65', D65],
  ['A', [1.0985, 1, 0.35585]],
  ['C', [0.98074, 1, 1.18232]],
]);

export interface Conditions {
  /** As the file calls it, in capitals: 'D50', 'F11', …; what no line states is D50. */
  readonly illuminant: string;
  /** 2 and 10 are known; what no line states is 2. */
  readonly observerDeg: number;
  /** `line 4: ILLUMINANT "D65"`: who says so; null: nobody does. */
  readonly said: string | null;
  /** Whether any line names the light. */
  readonly lightStated: boolean;
  /** Two lines that say different things; null: none do. */
  readonly contradiction: string | null;
}

interface Statement {
  readonly said: string;
  readonly illuminant: string | null;
  readonly observerDeg: number | null;
}

const NOT_STATED = /^(?:|-+|N\/?A|NONE|UNKNOWN|NOT SPECIFIED)$/i;

/**
 * Keywords in which programs name light and observer; CGATS.17 leaves some of them to custom. MEASUREMENT_SOURCE is the lamp of the
 * instrument by the standard, and says what values were computed for only where it names an observer's light ("Illumination=…").
 */
const NAMES_LIGHT = ['ILLUMINANT', 'ILLUMINATION_NAME'];
const NAMES_OBSERVER = ['OBSERVER', 'OBSERVER_ANGLE'];
const NAMES_EITHER = ['WEIGHTING_FUNCTION', 'COMPUTATIONAL_PARAMETER', 'MEASUREMENT_SOURCE'];

/** @param headers The table's own lines first, then those of tables before it, which count where its own say nothing. */
export function conditionsOf(headers: readonly (readonly CgatsKeyword[])[]): Conditions {
  const statements = headers.map((header) => header.flatMap(statementOf));
  const light = first(statements, (s) => s.illuminant);
  const observer = first(statements, (s) => s.observerDeg);
  const illuminant = light[0]?.illuminant ?? 'D50';
  const observerDeg = observer[0]?.observerDeg ?? 2;
  const otherLight = light.find((s) => s.illuminant !== illuminant);
  const otherObserver = observer.find((s) => s.observerDeg !== observerDeg);
  const odd = observerDeg !== 2 ? observer[0] : illuminant !== 'D50' ? light[0] : undefined;
  return {
    illuminant,
    observerDeg,
    said: (odd ?? light[0] ?? observer[0])?.said ?? null,
    lightStated: light.length > 0,
    contradiction: otherLight
      ? `${light[0].said}, but ${otherLight.said}`
      : otherObserver
        ? `${observer[0].said}, but ${otherObserver.said}`
        : null,
  };
}

/** The statements of the first header that holds any of a kind. */
function first(headers: readonly Statement[][], kind: (s: Statement) => unknown): Statement[] {
  return headers.map((header) => header.filter((s) => kind(s) !== null)).find((s) => s.length > 0) ?? [];
}

function statementOf({ line, keyword, value }: CgatsKeyword): Statement[] {
  const text = value.toUpperCase().trim();
  const said = `line ${line}: ${keyword} "${shown(value)}"`;
  if (NOT_STATED.test(text)) return [];
  if (NAMES_LIGHT.includes(keyword)) {
    return [{ said, illuminant: lightIn(text) ?? shown(text), observerDeg: observerBeside(text) }];
  }
  if (NAMES_OBSERVER.includes(keyword)) return [{ said, illuminant: null, observerDeg: angleIn(text) }];
  if (!NAMES_EITHER.includes(keyword)) return [];
  const named = /ILLUMINA(?:NT|TION)[A-Z_]*\W*([A-Z]+[-_]?[A-Z\d]*)/.exec(text)?.[1];
  const after = named !== undefined && NOT_STATED.test(named) ? undefined : named;
  const bare = keyword === 'MEASUREMENT_SOURCE' ? undefined : /\bD\d\d\b/.exec(text)?.[0];
  const observer = /OBSERVER[A-Z_]*\W*(\d+)/.exec(text)?.[1];
  return [{ said, illuminant: after ?? bare ?? null, observerDeg: observer ? angleIn(observer) : null }];
}

/** The light's name among other words: "CIE D65", "D50/2", "Illuminant A". */
function lightIn(text: string): string | null {
  const tokens = text.split(/[^A-Z\d]+/);
  return tokens.find((token) => /^(?:D\d\d|[ABCE]|FL?\d+|TL\d+|LED.*)$/.test(token)) ?? null;
}

/** "D65/10", "D50 2 degree". */
function observerBeside(text: string): number | null {
  const tokens = text.split(/[^A-Z\d]+/);
  const found = tokens.find((token) => /^(?:2|10|1931|1964)(?:DEG|DEGREE|DEGREES)?$/.test(token));
  return found === undefined ? null : angleIn(found);
}

/** By its angle or its year; 0: no observer that is known. */
function angleIn(text: string): number {
  const number = Number(/\d+/.exec(text)?.[0]);
  return number === 2 || number === 1931 ? 2 : number === 10 || number === 1964 ? 10 : 0;
}

/** Chroma of the lightest sample from which another light is thought of: beyond what brighteners make of paper. Common practice, no source. */
const NO_WHITE = 10;

/**
 * XYZ hold their light's white: for another than D50 they are as far off as that is, up to ΔE*ab 50, and a calibration follows them.
 * @param xyz Values of which no line says for which light they are; Y = 1 for the perfect diffuser.
 * @returns the known light under which the lightest of them has less than half the chroma that it has under D50; null: it may be D50
 */
export function likelierLight(xyz: readonly Xyz[]): string | null {
  const lightest = xyz.reduce((most, one) => (one[1] > most[1] ? one : most));
  const chromas = [...WHITES].map(([name, white]) => {
    const [, a, b] = xyzToLab(times(bradfordMatrix(white, D50), lightest));
    return { name, chroma: Math.hypot(a, b) };
  });
  const usual = chromas[0].chroma;
  const best = chromas.reduce((least, one) => (one.chroma < least.chroma ? one : least));
  return usual > NO_WHITE && best.chroma < usual / 2 ? best.name : null;
}

/** Median ΔE*ab between two ways to the same colours of one file. Rounding and another summation give a few tenths. */
export function medianDisagreement(labs: readonly LabD50[], others: readonly LabD50[]): number {
  const steps = labs.map((lab, i) => Math.hypot(...lab.map((v, k) => v - others[i][k]))).sort((a, b) => a - b);
  return steps[steps.length >> 1];
}
