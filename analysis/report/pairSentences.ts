/** Sentences about two nibs on one paper and one nib on two papers. */
import type { QuantityName } from '../quantity.ts';
import { colourOf, onPaper, paperShort, penNoun, quoted, regionName, nibWord } from './names.ts';
import { capital } from './words.ts';
import { type Told, verdictClause } from './telling.ts';

type PairName = Extract<QuantityName, `nibShading` | `toneShift${string}`>;

export const PAIR_SENTENCES: Readonly<Record<PairName, (told: Told) => string>> = {
  nibShading: betweenNibs,
  toneShift: (told) =>
    `From ${papers(told)}, the colour of ${ink(told)} shifts by ${told.amount}, as seen side by side${verdictClause(told.finding)}.`,
  'toneShift.adapted': (told) =>
    `To an eye used to each page, the colour of ${ink(told)} shifts by ${told.amount} from ${papers(told)}${verdictClause(told.finding)}.`,
  'toneShift.dL': (told) =>
    told.swallowed
      ? `From ${papers(told)}, the lightness of ${ink(told)} changes by no more than the uncertainty: ${told.amount}.`
      : `From ${papers(told)}, ${ink(told)} grows ${told.value < 0 ? 'darker' : 'lighter'} by ${told.size}.`,
  'toneShift.dC': (told) =>
    told.swallowed
      ? `From ${papers(told)}, the chroma of ${ink(told)} changes by no more than the uncertainty: ${told.amount}.`
      : `From ${papers(told)}, ${ink(told)} ${told.value < 0 ? 'loses' : 'gains'} ${told.size} of chroma (C*).`,
  'toneShift.dHue': (told) =>
    told.swallowed
      ? `From ${papers(told)}, the hue of ${ink(told)} turns by no more than the uncertainty: ${told.amount}.`
      : `From ${papers(told)}, the hue of ${ink(told)} turns by ${told.amount}.`,
};

/** The darker nib is named first, where lightness is most of the difference and both colours are known. */
function betweenNibs(told: Told): string {
  const { names, ids, amount, finding } = told;
  const [first, second] = ids;
  const [a, b] = [first, second].map((id) => colourOf(names, 'inkColour', { regions: [id] }));
  const where = onPaper(names, first).trimStart();
  const start = where === '' ? '' : `On ${where.slice('on '.length)}, `;
  const verdict = verdictClause(finding);
  if (a && b && !told.swallowed && mostlyLightness(a, b)) {
    const [dark, light] = a[0] < b[0] ? [first, second] : [second, first];
    const one = bothNibs(told) ? `the ${nibWord(regionName(names, light).nib ?? '')} one` : penNoun(names, light);
    return capital(`${start}${penNoun(names, dark)} is ${amount} darker than ${one}${verdict}.`);
  }
  const both = `${penNoun(names, first)} and ${penNoun(names, second)}`;
  const why = told.swallowed ? ', no more than the uncertainty' : '';
  return capital(`${start}${both} lie ${amount} apart${why}${verdict}.`);
}

function bothNibs({ names, ids }: Told): boolean {
  return ids.every((id) => regionName(names, id).nib !== null && regionName(names, id).kind === 'strokes');
}

/** At least seven tenths of the plain Lab distance, where half of its square is reached. */
function mostlyLightness(a: readonly [number, number, number], b: readonly [number, number, number]): boolean {
  return Math.abs(a[0] - b[0]) >= 0.7 * Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}

/** '“bright white” to “yellow”' */
function papers({ names, ids }: Told): string {
  return `${paperShort(names, ids[0])} to ${paperShort(names, ids[1])}`;
}

/** 'the broad nib’s ink', 'the ink of the swabs “a” and “b”'. */
function ink({ names, ids }: Told): string {
  const [first, second] = ids.map((id) => regionName(names, id));
  if (first.kind === 'strokes' && first.nib !== null && first.nib === second.nib) {
    return `the ${nibWord(first.nib)} nib’s ink`;
  }
  const noun = first.kind === 'swab' ? 'the ink of the swabs' : 'the ink of the samples';
  return `${noun} ${quoted(first.id)} and ${quoted(second.id)}`;
}
