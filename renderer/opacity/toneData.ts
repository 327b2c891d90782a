/** What a change of paper does to an ink: for each pair of papers their own colours and those of every sample that lies on both. Pure. */
import type { LabValue, Quantity } from '../../analysis/quantity.ts';
import { nibWord } from '../../analysis/report/names.ts';
import { fixed } from '../../analysis/report/valueText.ts';
import { listed } from '../../analysis/report/words.ts';
import type { FindingsReport, TracedFinding } from '../../electron/backend/api.ts';
import { isLab } from '../findings/arrange/bench.ts';
import type { TableData } from '../plots/PlotTable.tsx';
import { paperOf, type PlottedWork } from '../plots/regionPaper.ts';
import { againstPaper, doubtAgainstPaper } from '../reading/shownColours.ts';

export interface ToneColour {
  readonly region: string;
  readonly lab: LabValue;
  /** Standard uncertainty of each component; null: not known. */
  readonly u: LabValue | null;
}

export interface ToneSample {
  /** The two regions, paler paper first. */
  readonly key: string;
  /** 'broad', or the regions' names. */
  readonly label: string;
  readonly from: ToneColour;
  readonly to: ToneColour;
  /** Null: not measured. */
  readonly shift: TracedFinding | null;
  readonly adapted: TracedFinding | null;
}

export interface TonePair {
  readonly key: string;
  /** Paler first, as `toneShift` names them. */
  readonly papers: readonly [from: PaperColour, to: PaperColour];
  readonly samples: readonly ToneSample[];
}

export interface PaperColour {
  readonly name: string;
  /** Null: nobody measured bare paper of this name. */
  readonly colour: ToneColour | null;
}

type Report = Pick<FindingsReport, 'findings'>;

/** @param only these two regions' pair; absent: all pairs. */
export function tonePairs(work: PlottedWork, report: Report, only?: readonly string[]): readonly TonePair[] {
  const pairs = new Map<string, { papers: [PaperColour, PaperColour]; samples: ToneSample[] }>();
  for (const { finding } of report.findings) {
    if (finding.quantity !== 'toneShift') continue;
    const { regions } = finding.subject;
    if (only && regions.join() !== only.join()) continue;
    const [from, to] = regions.map((id) => colourOf(report, 'inkColour', id));
    if (!from || !to) continue;
    const names = [from.region, to.region].map((id) => paperOf(work, id) ?? `paper of “${id}”`);
    const key = JSON.stringify(names);
    const pair = pairs.get(key) ?? {
      papers: [paperColour(work, report, names[0]), paperColour(work, report, names[1])],
      samples: [],
    };
    pairs.set(key, pair);
    pair.samples.push({
      key: regions.join(' '),
      label: labelOf(work, regions),
      from,
      to,
      shift: findingOf(report, 'toneShift', regions),
      adapted: findingOf(report, 'toneShift.adapted', regions),
    });
  }
  return [...pairs].map(([key, pair]) => ({ key, ...pair }));
}

function findingOf({ findings }: Report, quantity: Quantity['quantity'], regions: readonly string[]) {
  return (
    findings.find(
      ({ finding }) => finding.quantity === quantity && finding.subject.regions.join() === regions.join(),
    ) ?? null
  );
}

function colourOf(report: Report, quantity: 'inkColour' | 'paperColour', region: string): ToneColour | null {
  const found = findingOf(report, quantity, [region])?.finding;
  if (!found || !isLab(found.value)) return null;
  return { region, lab: found.value, u: isLab(found.u) ? found.u : null };
}

/** Of the first box of bare paper that bears this name. */
export function paperColour(work: PlottedWork, report: Report, name: string): PaperColour {
  for (const { region } of work.regions) {
    if (region.kind !== 'paper' || paperOf(work, region.id) !== name) continue;
    const colour = colourOf(report, 'paperColour', region.id);
    if (colour) return { name, colour };
  }
  return { name, colour: null };
}

function labelOf(work: PlottedWork, regions: readonly string[]): string {
  const region = work.regions.find((r) => r.region.id === regions[0])?.region;
  const nib = region && region.kind === 'strokes' ? region.nib : undefined;
  return nib === undefined ? sharedName(regions) : nibWord(nib);
}

/** 'swab-even' of 'swab-even-white' and 'swab-even-yellow'; both names where they share no beginning. */
function sharedName([first, second]: readonly string[]): string {
  let alike = 0;
  while (alike < first.length && first[alike] === second[alike]) alike++;
  const start = first.slice(0, alike).replace(/[\s_.·-]+$/, '');
  return start.length < 3 ? `${first}, ${second}` : start;
}

/** As the colours lie, or each against its own paper as the white. */
export type Seen = 'absolute' | 'adapted';

export interface ToneArrow {
  readonly key: string;
  readonly kind: 'paper' | 'ink';
  readonly label: string;
  readonly from: LabValue;
  readonly to: LabValue;
  /** Standard uncertainty of either; null: not known. */
  readonly u: readonly [from: LabValue | null, to: LabValue | null];
}

/** Adapted, both papers are white: they do not move, and an ink without a paper's colour is left out. */
export function toneArrows({ papers, samples }: TonePair, seen: Seen): readonly ToneArrow[] {
  const [a, b] = papers.map(({ colour }) => colour);
  const arrow = (of: Pick<ToneArrow, 'key' | 'kind' | 'label'>, from: Seeing, to: Seeing): ToneArrow => ({
    ...of,
    from: from.lab,
    to: to.lab,
    u: [from.u, to.u],
  });
  if (seen === 'absolute') {
    const paper = a && b ? [arrow({ key: 'paper', kind: 'paper', label: 'paper' }, a, b)] : [];
    return [...paper, ...samples.map(({ key, label, from, to }) => arrow({ key, kind: 'ink', label }, from, to))];
  }
  if (!a || !b) return [];
  return samples.map(({ key, label, from, to }) =>
    arrow({ key, kind: 'ink', label }, onItsPaper(from, a), onItsPaper(to, b)),
  );
}

type Seeing = Pick<ToneColour, 'lab' | 'u'>;

function onItsPaper({ lab, u }: Seeing, paper: Seeing): Seeing {
  const adaptedU = u && paper.u && doubtAgainstPaper({ lab, u }, { lab: paper.lab, u: paper.u });
  return { lab: againstPaper(lab, paper.lab), u: adaptedU };
}

export function toneSummary({ papers: [a, b], samples }: TonePair, seen: Seen): string {
  const how = seen === 'absolute' ? 'as seen side by side' : 'to an eye used to each page';
  const each = samples.map(({ label, shift, adapted }) => {
    const finding = (seen === 'absolute' ? shift : adapted)?.finding;
    return typeof finding?.value === 'number' ? `${label} by ${fixed(finding.value, 1)} ΔE00` : label;
  });
  const paper =
    seen === 'absolute' && a.colour && b.colour
      ? `; the paper itself from ${place(a.colour.lab)} to ${place(b.colour.lab)}`
      : '';
  return `The a*b* plane with an arrow for each sample from “${a.name}” to “${b.name}”, ${how}: ${listed(each)}${paper}.`;
}

function place([, a, b]: LabValue): string {
  return `${fixed(a, 0)}, ${fixed(b, 0)}`;
}

export function toneTable(pair: TonePair, seen: Seen): TableData {
  const colour = (which: string): string[] => ['L*', 'a*', 'b*'].map((part) => `${part} ${which}`);
  return {
    columns: [
      'what',
      ...['from', 'to'].flatMap((which) => [...colour(which), ...colour(which).map((part) => `± 2u, ${part}`)]),
      'ΔE00',
      '± 2u, ΔE00',
    ],
    rows: toneArrows(pair, seen).map(({ key, label, from, to, u }) => {
      const sample = pair.samples.find((one) => one.key === key);
      const finding = (seen === 'absolute' ? sample?.shift : sample?.adapted)?.finding;
      const told = typeof finding?.value === 'number' ? finding : null;
      return [
        label,
        ...[from, to].flatMap((lab, i) => [
          ...lab.map((v) => fixed(v, 1)),
          ...(u[i]?.map((v) => fixed(2 * v, 1)) ?? ['?', '?', '?']),
        ]),
        told && typeof told.value === 'number' ? fixed(told.value, 1) : '',
        told && typeof told.u === 'number' ? fixed(2 * told.u, 1) : '',
      ];
    }),
  };
}
