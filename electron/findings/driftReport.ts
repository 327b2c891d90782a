/** This calibration against earlier ones of the same scanner: in figures and in words. */
import { type ColourMap, driftBetween, type DriftReading } from '../../analysis/calibrate/drift.ts';
import { fixed } from '../../analysis/report/valueText.ts';
import { listed } from '../../analysis/report/words.ts';
import type { ScanInfo } from '../scans/scanInfo.ts';
import type { ScannerIdentity } from '../scans/scannerIdentity.ts';
import { dateWords, kindWords, percent, scannerName } from './calibrationWords.ts';
import type { DriftFrom, ReportDrift } from './reportShape.ts';

/** What a calibration was made from; resolution aside, which changes no colour. */
export interface ScannedWith {
  readonly scanner: ScannerIdentity | null;
  readonly kind: Pick<ScanInfo, 'bits' | 'format' | 'icc' | 'iccHash'>;
  readonly layoutName: string;
}

export interface EarlierCalibration extends ScannedWith {
  readonly name: string;
  /** ISO 8601; null: not known. */
  readonly at: string | null;
  readonly map: ColourMap;
}

/** As many as a person would look through. */
const MOST = 6;

/** Named by both files: the same. Named by neither: the same kind of file, for want of better. */
export function isSameScanner(a: Omit<ScannedWith, 'layoutName'>, b: Omit<ScannedWith, 'layoutName'>): boolean {
  const [nameA, nameB] = [scannerName(a.scanner), scannerName(b.scanner)];
  if (nameA !== null || nameB !== null) return nameA === nameB;
  return a.kind.format === b.kind.format && a.kind.bits === b.kind.bits && a.kind.iccHash === b.kind.iccHash;
}

/**
 * @param earlier of the same scanner, in any order. @param given whether a person named the earlier ones, whatever their scanner.
 * @param patches those that the fit used.
 */
export function driftReport(
  now: ScannedWith & { readonly map: ColourMap },
  patches: readonly DriftReading[],
  earlier: readonly EarlierCalibration[],
  given: boolean,
): ReportDrift {
  const latest = earlier.toSorted((a, b) => compare(b.at ?? '', a.at ?? '')).slice(0, MOST);
  const name = scannerName(now.scanner);
  const by = given ? 'given' : name === null ? 'kind-of-file' : 'scanner';
  return {
    by,
    words: driftWords(by, name, now, earlier.length),
    earlier: latest.map((one) => driftFrom(now, patches, one, given)),
  };
}

function driftWords(by: ReportDrift['by'], name: string | null, { kind }: ScannedWith, count: number): string {
  const some = count === 1 ? 'an earlier calibration' : `${count} earlier calibrations`;
  if (by === 'given') {
    return count === 0 ? 'No earlier report was given to hold this one against.' : 'Held against the report given.';
  }
  if (by === 'scanner') {
    return count === 0
      ? `No earlier calibration of this scanner (${name}) is in the library.`
      : `Held against ${some} of the same scanner (${name}).`;
  }
  return count === 0
    ? 'The file does not name its scanner, and no earlier calibration from the same kind of file is in the library.'
    : `The file does not name its scanner: held against ${some} from the same kind of file (${kindWords(kind)}), which may be another scanner’s.`;
}

function driftFrom(
  now: ScannedWith & { readonly map: ColourMap },
  patches: readonly DriftReading[],
  earlier: EarlierCalibration,
  given: boolean,
): DriftFrom {
  const { name, at } = earlier;
  const settingsChanged = [
    ...(given && scannerName(now.scanner) !== scannerName(earlier.scanner) ? [otherScanner(now, earlier)] : []),
    ...changedSettings(now, earlier),
  ];
  const drift = settingsChanged.length > 0 ? null : driftBetween(earlier.map, now.map, patches);
  const since = at === null ? `Since ${name}` : `Since ${dateWords(at)} (${name})`;
  if (!drift) {
    const why =
      settingsChanged.length > 0
        ? `it was scanned differently (${listed(settingsChanged)})`
        : 'this target shows too few patches for it';
    return { name, at, compared: null, settingsChanged, words: `Not held against ${calledThen(earlier)}: ${why}.` };
  }
  const brighterPercent = drift.brighter.map((factor) => 100 * (factor - 1));
  const [r, g, b] = brighterPercent;
  const { medianDE00, largestDE00, restDE00 } = drift;
  const otherTarget =
    earlier.layoutName === now.layoutName
      ? ''
      : ` It was another target (${earlier.layoutName}): what parts the two targets counts in.`;
  return {
    name,
    at,
    compared: { medianDE00, largestDE00, brighterPercent: [r, g, b], restDE00 },
    settingsChanged,
    words:
      `${since} ${brightnessWords(r, g, b)}; its colours have moved by ${fixed(medianDE00, 2)} ΔE00 in the median, ` +
      `${fixed(largestDE00, 1)} at most.${restWords(medianDE00, restDE00)}${otherTarget}`,
  };
}

/** What an unchanged scanner is told wrong by in 5 % of cases, %: docs/study/drift.md. */
const AS_BRIGHT = 0.5;
/** Channels that part by less are told as one, %. As above. */
const ALIKE = 0.5;

function brightnessWords(r: number, g: number, b: number): string {
  const mean = (r + g + b) / 3;
  const parted = Math.max(r, g, b) - Math.min(r, g, b) > ALIKE;
  const each = parted ? ` (red ${signed(r)}, green ${signed(g)}, blue ${signed(b)} %)` : '';
  if (Math.abs(mean) < AS_BRIGHT) return `the scanner is as bright as it was${each}`;
  return `the scanner has become ${percent(Math.abs(mean))} ${mean > 0 ? 'brighter' : 'darker'}${each}`;
}

/** ΔE00; less is the two fits' own in 95 % of cases: docs/study/drift.md. */
const WORTH_WORDS = 0.5;

function restWords(medianDE00: number, restDE00: number): string {
  if (medianDE00 < WORTH_WORDS) return ' That is no more than two calibrations of one scanner differ by.';
  if (restDE00 < WORTH_WORDS) return ' Brightness explains it.';
  return ` Of that, ${fixed(restDE00, 2)} ΔE00 remain that brightness does not explain: a change of tone or colour.`;
}

function changedSettings(now: ScannedWith, earlier: ScannedWith): string[] {
  const [then, today] = [earlier.kind, now.kind];
  const [softThen, softToday] = [earlier.scanner?.software ?? null, now.scanner?.software ?? null];
  return [
    ...(then.iccHash === today.iccHash ? [] : [`${profile(then.icc)} then, ${profile(today.icc)} now`]),
    ...(then.bits === today.bits ? [] : [`${then.bits} bits then, ${today.bits} now`]),
    ...(softThen === softToday ? [] : [`software ${quoted(softThen)} then, ${quoted(softToday)} now`]),
  ];
}

function otherScanner(now: ScannedWith, earlier: ScannedWith): string {
  return `${quoted(scannerName(earlier.scanner))} then, ${quoted(scannerName(now.scanner))} now`;
}

function calledThen({ name, at }: EarlierCalibration): string {
  return at === null ? name : `${name} of ${dateWords(at)}`;
}

function profile(icc: string | null): string {
  return icc === null ? 'no profile' : `profile “${icc}”`;
}

function quoted(name: string | null): string {
  return name === null ? 'not named' : `“${name}”`;
}

function signed(value: number): string {
  const text = fixed(value, 1);
  return value > 0 && Number(text) !== 0 ? `+${text}` : text;
}

function compare(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
