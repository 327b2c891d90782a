/** An ink in a few sentences, each with the finding that it comes from. */
import type { LabValue, Quantity } from '../quantity.ts';
import { dryingForecast } from './dryingForecast.ts';
import { exchangedNibs } from './exchangedNibs.ts';
import { findingKey } from './findingKey.ts';
import { type Names, onPaper, penNoun, regionName, sampleNoun, stripNoun } from './names.ts';
import { nibByNib } from './nibByNib.ts';
import { capital } from './words.ts';
import { sentence } from './sentences.ts';
import { figureText } from './titles.ts';
import { fixed } from './valueText.ts';

export interface SummaryLine {
  readonly text: string;
  /** The finding to open. */
  readonly key: string;
  /** The colours that the line names, in its order. */
  readonly colours: readonly LabValue[];
  /** What the line says in words, as figures with ± 2u: 'L* 44.7 ± 0.7, hue 295 ± 3°'. */
  readonly figures?: string;
}

export interface SummaryPart {
  readonly title: string;
  readonly lines: readonly SummaryLine[];
}

/** Bands' names hold 'or', so that semicolons part them. */
const COUNTS: readonly string[] = ['no', 'one', 'two', 'three', 'four', 'five', 'six'];

/** What is told of lines by the sample that shows it most, with how 'none' of it is said. */
const OF_LINES = [
  { quantity: 'spread', none: 'No spread to speak of' },
  { quantity: 'feathering', none: 'No feathering to speak of' },
  { quantity: 'halo', none: 'No halo to speak of' },
  { quantity: 'sheen', none: 'No sheen to speak of, as far as a scanner sees it,' },
] as const;

const EXCHANGED = 'Nibs’ names exchanged?';

/** What may be of another ink, nibs whose given width cannot be or whose names contradict their lines, colour by nib, strongest shading, edges and sheen, what paper does, the bands of each strip; parts without findings are left out. */
export function inkSummary(names: Names): readonly SummaryPart[] {
  const findings = [...names.findings.values()];
  const parts: SummaryPart[] = [
    { title: 'Another ink or contaminated?', lines: odd(findings, names) },
    { title: 'Nib width or dpi wrong?', lines: doubtfulNibs(findings, names) },
    { title: EXCHANGED, lines: exchangedNibs(names).map((line) => ({ ...line, colours: [] })) },
    { title: 'Colour', lines: colours(findings, names) },
    { title: 'Shading', lines: shading(findings, names) },
    { title: 'Edges and sheen', lines: ofLines(findings, names) },
    { title: 'On other paper', lines: tones(findings, names) },
    { title: 'On the back', lines: backs(findings, names) },
    { title: 'In the strip', lines: [...strips(findings, names), ...drying(names)] },
  ];
  return parts.filter(({ lines }) => lines.length > 0);
}

/** Samples that left the ink's own path: first, since they taint all else; of one pen the one that is farthest off, for a dirty pen is so on every paper. */
function odd(findings: readonly Quantity[], names: Names): SummaryLine[] {
  const pens = new Map<string, Quantity[]>();
  for (const f of findings) {
    if (f.quantity !== 'pathDistance' || f.value === null || !f.flags.includes('another-ink')) continue;
    const [id] = f.subject.regions;
    const { kind, nib } = regionName(names, id);
    const pen = kind === 'strokes' && nib !== null ? `nib ${nib}` : id;
    pens.set(pen, [...(pens.get(pen) ?? []), f]);
  }
  return [...pens.values()].map((alike) => {
    const most = alike.reduce((a, b) => (sizeOf(b) > sizeOf(a) ? b : a));
    const line = told(most, names);
    const others = alike.length - 1;
    const more = others === 1 ? 'another sample' : `${others} other samples`;
    return others === 0 ? line : { ...line, text: `${line.text} So may ${more} of this nib.` };
  });
}

function doubtfulNibs(findings: readonly Quantity[], names: Names): SummaryLine[] {
  return findings
    .filter((f) => f.quantity === 'spread' && f.value !== null && f.flags.includes('nib-width-doubtful'))
    .map((f) => told(f, names));
}

function colours(findings: readonly Quantity[], names: Names): SummaryLine[] {
  return findings
    .filter((f) => f.quantity === 'inkColour' && f.value !== null && f.verdict !== undefined)
    .filter((f) => regionName(names, f.subject.regions[0]).kind === 'strokes')
    .map((f) => {
      const [id] = f.subject.regions;
      const text = `${capital(penNoun(names, id))} writes ${f.verdict}${onPaper(names, id)}.`;
      return { text, key: findingKey(f), colours: labsOf([f]), figures: lightnessAndHue(f, names) };
    });
}

/** How dark, and of which hue where the ink is coloured enough to have one. */
function lightnessAndHue({ value, u, subject }: Quantity, names: Names): string {
  if (value === null || typeof value === 'number') return '';
  // One decimal, as every page writes a colour: the same figure must not stand there as 44.71 and elsewhere as 44.7.
  const lightness = `L* ${fixed(value[0], 1)} ± ${u === null || typeof u === 'number' ? '?' : fixed(2 * u[0], 1)}`;
  const hue = names.findings.get(findingKey({ quantity: 'inkColour.hue', subject }));
  return hue && hue.value !== null ? `${lightness}, hue ${figureText(hue)}` : lightness;
}

function shading(findings: readonly Quantity[], names: Names): SummaryLine[] {
  const most = largest(findings.filter((f) => f.quantity === 'shading'));
  const nibs = largest(findings.filter((f) => f.quantity === 'nibShading'));
  const suits = nibByNib(findings, names);
  return [...[most, nibs].flatMap((f) => (f ? [told(f, names)] : [])), ...(suits ? [{ ...suits, colours: [] }] : [])];
}

/** Of each quantity the sample that shows most of it; where that is none to speak of, so are all. */
function ofLines(findings: readonly Quantity[], names: Names): SummaryLine[] {
  return OF_LINES.flatMap(({ quantity, none }) => {
    // A nib that cannot be as wide as it was given is asked after above.
    const asked = findings.filter((f) => f.quantity === quantity && !f.flags.includes('nib-width-doubtful'));
    const measured = asked.filter(({ value }) => typeof value === 'number');
    if (measured.length === 0) return asked.slice(0, 1).map((f) => told(f, names));
    const most = measured.reduce((a, b) => (sizeOf(b) > sizeOf(a) ? b : a));
    if (most.verdict !== 'none') return [told(most, names)];
    const where =
      measured.length === 1
        ? `${sampleNoun(names, most.subject.regions[0])}: ${figureText(most)}`
        : `any of ${measured.length} samples: at most ${figureText(most)}`;
    return [{ text: `${none} in ${where}.`, key: findingKey(most), colours: [] }];
  });
}

function sizeOf({ value }: Quantity): number {
  return typeof value === 'number' ? value : -Infinity;
}

/** For each pair of papers the pen whose tone shifts most. */
function tones(findings: readonly Quantity[], names: Names): SummaryLine[] {
  const shifts = findings.filter((f) => f.quantity === 'toneShift.adapted');
  const pairs = new Map<string, Quantity[]>();
  for (const shift of shifts) {
    const key = shift.subject.regions.map((id) => regionName(names, id).paper ?? id).join('\n');
    pairs.set(key, [...(pairs.get(key) ?? []), shift]);
  }
  return [...pairs.values()].flatMap((alike) => {
    const most = largest(alike.filter((f) => regionName(names, f.subject.regions[0]).nib !== null)) ?? largest(alike);
    const hiding = most && findings.find((f) => f.quantity === 'hiding' && isOf(f, most.subject.regions));
    return [most, hiding].flatMap((f) => (f ? [told(f, names)] : []));
  });
}

function isOf({ subject }: Quantity, regions: readonly string[]): boolean {
  return subject.regions.join('\n') === regions.join('\n');
}

/** What shows through and what came through, reverse by reverse. */
function backs(findings: readonly Quantity[], names: Names): SummaryLine[] {
  return findings
    .filter(
      ({ quantity }) => quantity === 'ghosting' || quantity === 'bleedThrough' || quantity === 'bleedThrough.next',
    )
    .filter((f, _, all) => f.value !== null || all.every((other) => !isOf(other, f.subject.regions) || other === f))
    .map((f) => told(f, names));
}

function strips(findings: readonly Quantity[], names: Names): SummaryLine[] {
  const ids = [...new Set(findings.filter((f) => f.quantity === 'bandColour').map((f) => f.subject.regions[0]))];
  return ids.flatMap((id) => {
    const bands = findings.filter((f) => f.quantity === 'bandColour' && f.subject.regions[0] === id);
    const [first] = bands;
    const words = bands.flatMap((f) => (f.value === null || f.verdict === undefined ? [] : f.verdict));
    if (words.length === 0) return [told(first, names)];
    const count = words.length === 1 ? 'one band' : `${COUNTS[words.length] ?? words.length} bands`;
    const text = `${capital(stripNoun(names, id))} shows ${count}: ${words.join('; ')}.`;
    return [{ text, key: findingKey(first), colours: labsOf(bands) }];
  });
}

function drying(names: Names): SummaryLine[] {
  return dryingForecast(names).map((line) => ({ ...line, colours: [] }));
}

/** A line that is the finding's own sentence. */
function told(finding: Quantity, names: Names): SummaryLine {
  return { text: sentence(finding, names), key: findingKey(finding), colours: [] };
}

function labsOf(findings: readonly Quantity[]): LabValue[] {
  return findings.flatMap(({ value }) => (value === null || typeof value === 'number' ? [] : [value]));
}

function largest(findings: readonly Quantity[]): Quantity | null {
  const size = ({ value }: Quantity): number => (typeof value === 'number' ? Math.abs(value) : -1);
  return findings.reduce<Quantity | null>((most, f) => (size(f) > (most ? size(most) : 0) ? f : most), null);
}
