/** What the dose slider says. */
import { labD50 } from '../../analysis/colour/lab.ts';
import { spokenName } from '../../analysis/colour/spokenName.ts';
import type { LabValue } from '../../analysis/quantity.ts';
import { nibWord, quoted } from '../../analysis/report/names.ts';
import { fixed } from '../../analysis/report/valueText.ts';
import { listed } from '../../analysis/report/words.ts';
import type { FilmCurve } from '../../electron/backend/filmAnswer.ts';
import { colourAt } from './doseAlong.ts';
import type { NibMark } from './doseMarks.ts';

/** '0.42', '1.8', '12'. */
export function doseText(dose: number): string {
  return fixed(dose, dose < 0.995 ? 2 : dose < 9.95 ? 1 : 0);
}

/** '0.42 of the median dose', 'the median dose', '1.8 times the median dose'. */
export function doseWords(dose: number): string {
  const text = doseText(dose);
  if (text === '1.0') return 'the median dose';
  return dose < 1 ? `${text} of the median dose` : `${text} times the median dose`;
}

/** A name takes some milliseconds, and the slider and the swatch both say it while a hand moves. */
const named = new Map<string, string>();
const MOST_NAMED = 400;

export function colourName(lab: LabValue, u: LabValue): string {
  const key = `${lab.join()} ${u.join()}`;
  const known = named.get(key);
  if (known !== undefined) return known;
  if (named.size >= MOST_NAMED) named.clear();
  const name = spokenName(labD50(...lab), u);
  named.set(key, name);
  return name;
}

/** 'the extra-fine nib on “white”'; a sample without a nib goes by its name. */
export function stopWords({ name, region, paper }: NibMark): string {
  const what = name === region ? quoted(region) : `the ${nibWord(name)} nib`;
  return `${what} on ${quoted(paper)}`;
}

/** '' when no sample holds this dose. */
export function stopsWords(stops: readonly NibMark[]): string {
  return stops.length === 0 ? '' : `as ${listed(stops.map(stopWords))} laid it`;
}

/** The slider's value for those who hear it: dose, whose it is, and the colour on each paper. */
export function spokenDose(dose: number, curves: readonly FilmCurve[], stops: readonly NibMark[]): string {
  const whose = stopsWords(stops);
  const colours = curves.map((curve) => {
    const colour = colourAt(curve, dose);
    if (!colour) return `on ${quoted(curve.paper)} not told`;
    const name = colourName(colour.lab, colour.u);
    return `on ${quoted(curve.paper)} ${name}, L* ${fixed(colour.lab[0], 0)}${colour.seen ? '' : ', foretold'}`;
  });
  return `${doseWords(dose)}${whose === '' ? '' : `, ${whose}`}: ${colours.join('; ')}`;
}
