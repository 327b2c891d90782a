/** What drying fixed to the paper, and what that forecasts of water: plain sentences that cite the numbers that they rest on. */
import type { Quantity } from '../quantity.ts';
import { findingKey } from './findingKey.ts';
import { bandNoun, colourWord, type Names, regionName, stripNoun } from './names.ts';
import { amountText } from './titles.ts';
import { capital, listed } from './words.ts';

export interface ForecastLine {
  readonly text: string;
  /** The finding that it rests on first. */
  readonly key: string;
}

/** One or two lines for every fresh strip held against a dried one; [] without such a pair. */
export function dryingForecast(names: Names): ForecastLine[] {
  const findings = [...names.findings.values()];
  return findings
    .filter((f) => f.quantity === 'runShift.originRetained')
    .flatMap(({ subject: { regions } }) => [...movedLess(findings, regions, names), ...forecast(regions, names)]);
}

/** Which bands ran less far after drying, by how much, and which ran as far as before. */
function movedLess(findings: readonly Quantity[], pair: readonly string[], names: Names): ForecastLine[] {
  const shifts = findings.filter(
    (f) => f.quantity === 'runShift' && f.value !== null && sameRegions(f.subject.regions, pair),
  );
  if (shifts.length === 0) return [];
  const size = ({ value }: Quantity): number => (typeof value === 'number' ? value : 0);
  const doubt = ({ u }: Quantity): number => (typeof u === 'number' ? u : 0);
  const less = shifts.filter((f) => size(f) < -2 * doubt(f)).toSorted((a, b) => size(a) - size(b));
  const more = shifts.filter((f) => size(f) > 2 * doubt(f));
  const alike = shifts.length - less.length - more.length;
  const told = (way: string) => (f: Quantity, i: number) =>
    `${named(f, names)}${i === 0 ? ` ran ${way}` : ''} by R_F ${amountText(Math.abs(size(f)), doubt(f), '1')}`;
  const still =
    alike === shifts.length
      ? 'no band’s run changed by more than the uncertainty'
      : `${alike === 1 ? 'the other band' : 'the other bands'} ran as far as before within the uncertainty`;
  const parts = [
    ...(less.length > 0 ? [listed(less.map(told('less far')))] : []),
    ...(more.length > 0 ? [listed(more.map(told('farther')))] : []),
    ...(alike > 0 ? [still] : []),
  ];
  return [{ text: `${capital(`after drying, ${parts.join('; ')}`)}.`, key: findingKey(less[0] ?? shifts[0]) }];
}

/** What stayed where it was put while liquid ran through dried ink is what a soak should leave. */
function forecast(pair: readonly string[], names: Names): ForecastLine[] {
  const [fresh, dried] = pair;
  const liquid = regionName(names, dried).liquid ?? null;
  if (liquid !== null && !/\bwater\b/i.test(liquid)) return [];
  const kept = names.findings.get(findingKey({ quantity: 'originRetained', subject: { regions: [dried] } }));
  const before = names.findings.get(findingKey({ quantity: 'originRetained', subject: { regions: [fresh] } }));
  if (typeof kept?.value !== 'number') return [];
  const share = percent(kept);
  const against = typeof before?.value === 'number' ? `, ${percent(before)} of the fresh one` : '';
  const first = fastest(dried, names);
  const goes = first === null ? '' : ` What a soak takes first should be ${first}.`;
  const water = liquid === null ? ' The liquid is taken to be water, since nobody named it.' : '';
  return [
    {
      text:
        `Forecast for water: of the colour of ${stripNoun(names, dried)}, ${share} stayed where it was put while the liquid ran through it` +
        `${against}, so that about as much of dried writing should withstand a soak.${goes}${water} No soak has been measured to compare this with, ` +
        'and writing paper may hold the dyes otherwise than the strip’s.',
      key: findingKey(kept),
    },
  ];
}

/** 'band 3 of the dried strip (vivid blue, R_F 0.812 ± 0.010, 31.2 ± 0.8 % of its colour)'; null: no band has a place. */
function fastest(strip: string, names: Names): string | null {
  const own = [...names.findings.values()].filter(
    (f) => f.quantity === 'bandPosition' && f.subject.regions.length === 1 && f.subject.regions[0] === strip,
  );
  const placed = own.flatMap((f) => (typeof f.value === 'number' ? [{ finding: f, rF: f.value }] : []));
  const far = placed.toSorted((a, b) => b.rF - a.rF)[0];
  if (far === undefined) return null;
  const { subject } = far.finding;
  const share = names.findings.get(findingKey({ quantity: 'bandShare', subject }));
  const word = colourWord(names, 'bandColour', subject);
  const details = [
    ...(word === null ? [] : [word]),
    `R_F ${amountText(far.rF, typeof far.finding.u === 'number' ? far.finding.u : null, '1')}`,
    ...(typeof share?.value === 'number' ? [`${percent(share)} of its colour`] : []),
  ];
  return `${bandNoun(names, subject)} (${details.join(', ')})`;
}

function percent({ value, u }: Quantity): string {
  return amountText(typeof value === 'number' ? value : 0, typeof u === 'number' ? u : null, '%');
}

/** 'band 2 (vivid blue)': the fresh strip's number. */
function named({ subject }: Quantity, names: Names): string {
  const word = colourWord(names, 'bandColour', { regions: [subject.regions[0]], band: subject.band ?? 0 });
  return `band ${subject.band}${word === null ? '' : ` (${word})`}`;
}

function sameRegions(a: readonly string[], b: readonly string[]): boolean {
  return a.length === b.length && a.every((id, i) => id === b[i]);
}
