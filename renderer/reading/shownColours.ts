/** Which colours a finding is about, to be laid side by side. */
import { labD50, labToXyz, xyzToLabWhite } from '../../analysis/colour/lab.ts';
import type { LabValue, Quantity, QuantityName, Subject } from '../../analysis/quantity.ts';
import { colourOf, type Names, type RegionName, paperShort, penNoun, regionName } from '../../analysis/report/names.ts';
import { findingKey } from '../../analysis/report/findingKey.ts';
import { palestPlace, placeNearest } from '../../analysis/report/stripPlaces.ts';
import { capital } from '../../analysis/report/words.ts';
import { triple } from '../../analysis/triple.ts';
import type { RegionDetail, StripDetail } from '../../electron/backend/api.ts';
import type { ColoursDoubt } from '../../electron/backend/doubtAnswer.ts';

/** What of a region to look for in the scan when its texture is asked for. */
export type TexturePart =
  | 'ink'
  | 'dark'
  | 'light'
  | 'halo'
  | 'paper'
  /** mm from the box's top (or left) edge, as StripDetail counts. */
  | { readonly fromMm: number; readonly toMm: number };

export interface ShownColour {
  readonly label: string;
  readonly lab: LabValue;
  /** Standard uncertainty of each component, where a finding or the region's detail gives it. */
  readonly u?: LabValue;
  readonly region: string;
  readonly part: TexturePart;
  /** The paper that it lies on, where that is to be seen around it. */
  readonly on?: LabValue;
}

type Details = Readonly<Record<string, RegionDetail>>;

/** One or two colours; none for findings that are about no colour. The scan's own texture of adapted colours is the unadapted one. */
export function shownColours(finding: Quantity, names: Names, details: Details): readonly ShownColour[] {
  const { quantity, subject } = finding;
  const [first, second] = subject.regions;
  if (first === undefined) return [];
  if (quantity.startsWith('shading') || quantity.startsWith('swabVariation')) return tenths(first, details);
  if (quantity.startsWith('paper')) return paperAlone(first, names);
  if (quantity === 'nibShading') {
    return [first, second].flatMap((id) => inkOf(id, capital(penNoun(names, id)), names, details));
  }
  if (quantity === 'toneShift.adapted') return [first, second].flatMap((id) => adapted(id, names, details));
  if (quantity.startsWith('toneShift') || quantity === 'hiding') {
    return [first, second].flatMap((id) =>
      inkOf(id, `On ${paperShort(names, id)}`, names, details).map((colour) => {
        const paper = paperUnder(id, names, details);
        return paper ? { ...colour, on: paper.lab } : colour;
      }),
    );
  }
  if (quantity === 'predictedColour') return foretold(finding);
  if (quantity.startsWith('halo')) return haloAndPaper(first, details);
  if (quantity === 'sheen') return tenths(first, details);
  if (quantity === 'layering') return inkOf(first, 'A single pass', names, details);
  if (quantity.startsWith('ink') || quantity === 'pathDistance') return inkAndPaper(first, names, details);
  if (quantity.startsWith('band')) return bandAndPaper(first, subject.band, names, details);
  if (quantity === 'originRetained') return originAndPaper(first, details);
  if (quantity === 'runShift.originRetained') {
    return [...atOrigin(first, 'Origin, fresh', details), ...atOrigin(second, 'Origin, dried', details)];
  }
  return quantity.startsWith('runShift') ? partners(finding, names, details) : [];
}

function inkAndPaper(id: string, names: Names, details: Details): ShownColour[] {
  const ink = inkOf(id, 'Ink', names, details);
  const paper = paperUnder(id, names, details);
  if (!paper) return ink;
  return [...ink, { label: 'Its paper', ...paper, region: bareRegion(id, names, details), part: 'paper' }];
}

function haloAndPaper(id: string, details: Details): ShownColour[] {
  const halo = details[id]?.edge?.halo;
  if (!halo) return [];
  return [
    { label: 'Halo', lab: halo.lab, ...doubt(details[id], 'halo'), region: id, part: 'halo' },
    { label: 'Paper beyond it', lab: halo.paperLab, ...doubt(details[id], 'paperBeyond'), region: id, part: 'paper' },
  ];
}

function tenths(id: string, details: Details): ShownColour[] {
  const ink = details[id]?.ink;
  if (!ink) return [];
  return [
    { label: 'Dark tenth', lab: ink.dark, ...doubt(details[id], 'dark'), region: id, part: 'dark' },
    { label: 'Light tenth', lab: ink.light, ...doubt(details[id], 'light'), region: id, part: 'light' },
  ];
}

function paperAlone(id: string, names: Names): ShownColour[] {
  const colour = measured(names, 'paperColour', { regions: [id] });
  return colour ? [{ label: 'Paper', ...colour, region: id, part: 'paper' }] : [];
}

function inkOf(id: string, label: string, names: Names, details: Details): ShownColour[] {
  const lab = details[id]?.ink?.lab;
  const colour = measured(names, 'inkColour', { regions: [id] }) ?? (lab && { lab, ...doubt(details[id], 'ink') });
  return colour ? [{ label, ...colour, region: id, part: 'ink' }] : [];
}

/** Of no region: nobody has scanned it yet. */
function foretold({ value, u, subject: { on } }: Quantity): ShownColour[] {
  if (value === null || typeof value === 'number') return [];
  const doubt = u !== null && typeof u !== 'number' ? { u } : {};
  return [{ label: `Foretold on “${on ?? ''}”`, lab: value, ...doubt, region: '', part: 'ink' }];
}

type Colour = Pick<ShownColour, 'lab' | 'u'>;

function doubt(
  detail: RegionDetail | undefined,
  of: Exclude<keyof ColoursDoubt, 'acrossEdge'>,
): { readonly u?: LabValue } {
  const u = detail?.doubt?.[of];
  return u ? { u } : {};
}

/** As a finding has it, with its u; null: no such finding. */
function measured(names: Names, quantity: QuantityName, subject: Subject): Colour | null {
  const lab = colourOf(names, quantity, subject);
  const u = names.findings.get(findingKey({ quantity, subject }))?.u ?? null;
  return lab && { lab, ...(u !== null && typeof u !== 'number' && { u }) };
}

/** The paper as the region was judged against it, else as a paper region of that name measured it. */
function paperUnder(id: string, names: Names, details: Details): Colour | null {
  const seen = details[id]?.ink?.paper;
  if (seen) return { lab: seen, ...doubt(details[id], 'paper') };
  const marked = markedPaper(id, names);
  return marked ? measured(names, 'paperColour', { regions: [marked.id] }) : null;
}

/** The box that was marked on the same paper, where there is one to look at: bare all over. */
function bareRegion(id: string, names: Names, details: Details): string {
  const marked = markedPaper(id, names);
  return marked && details[marked.id] ? marked.id : id;
}

function markedPaper(id: string, names: Names): RegionName | undefined {
  const { paper } = regionName(names, id);
  return [...names.regions.values()].find((region) => region.kind === 'paper' && region.paper === paper);
}

/** The ink's colour with its own paper taken as white, as `toneShift.adapted` compares it. */
function adapted(id: string, names: Names, details: Details): ShownColour[] {
  const [ink] = inkOf(id, `On ${paperShort(names, id)}, to an eye used to it`, names, details);
  const paper = paperUnder(id, names, details);
  if (!ink || !paper) return [];
  const { u, ...rest } = ink;
  const adaptedU = u && paper.u && doubtAgainstPaper({ lab: ink.lab, u }, { lab: paper.lab, u: paper.u });
  return [{ ...rest, lab: againstPaper(ink.lab, paper.lab), ...(adaptedU && { u: adaptedU }) }];
}

export interface Doubtful {
  readonly lab: LabValue;
  readonly u: LabValue;
}

/** What each component of ink and paper shifts when it is off by its u, in quadrature. */
export function doubtAgainstPaper(ink: Doubtful, paper: Doubtful): LabValue {
  const seen = againstPaper(ink.lab, paper.lab);
  const axes = [0, 1, 2] as const;
  const moved = (of: Doubtful, axis: 0 | 1 | 2): LabValue => triple((c) => of.lab[c] + (c === axis ? of.u[c] : 0));
  const shifts = axes.flatMap((axis) => [
    againstPaper(moved(ink, axis), paper.lab),
    againstPaper(ink.lab, moved(paper, axis)),
  ]);
  return triple((c) => Math.hypot(...shifts.map((shifted) => shifted[c] - seen[c])));
}

export function againstPaper(ink: LabValue, paper: LabValue): LabValue {
  return xyzToLabWhite(labToXyz(labD50(...ink)), labToXyz(labD50(...paper)));
}

function bandAndPaper(id: string, band: number | undefined, names: Names, details: Details): ShownColour[] {
  const strip = details[id]?.strip;
  const found = strip?.bands.find((one) => one.band === band);
  if (!strip || !found) return [];
  return [bandColour(id, `Band ${found.band}`, found, names), ...stripPaper(id, strip, details)];
}

type Band = StripDetail['bands'][number];

function bandColour(id: string, label: string, { band, lab, fromMm, toMm }: Band, names: Names): ShownColour {
  const { u } = measured(names, 'bandColour', { regions: [id], band }) ?? {};
  return { label, lab, ...(u && { u }), region: id, part: { fromMm, toMm } };
}

function originAndPaper(id: string, details: Details): ShownColour[] {
  const strip = details[id]?.strip;
  return strip ? [...atOrigin(id, 'Origin', details), ...stripPaper(id, strip, details)] : [];
}

function atOrigin(id: string, label: string, details: Details): ShownColour[] {
  const strip = details[id]?.strip;
  if (!strip || strip.originMm === null || strip.placesMm.length === 0) return [];
  const { originMm, placesMm, lab } = strip;
  const part = { fromMm: originMm - 3, toMm: originMm + 3 };
  return [{ label, lab: lab[placeNearest(placesMm, originMm)], ...doubt(details[id], 'origin'), region: id, part }];
}

function stripPaper(id: string, { lab, placesMm }: StripDetail, details: Details): ShownColour[] {
  if (lab.length === 0) return [];
  const palest = palestPlace(lab);
  const part = { fromMm: placesMm[palest] - 3, toMm: placesMm[palest] + 3 };
  return [{ label: 'The strip’s paper', lab: lab[palest], ...doubt(details[id], 'stripPaper'), region: id, part }];
}

/** A fresh band and the dried one that it was matched with: the one that lies where the shift of R_F leads. */
function partners({ subject }: Quantity, names: Names, details: Details): ShownColour[] {
  const [fresh, dried] = subject.regions;
  const band = details[fresh]?.strip?.bands.find((one) => one.band === subject.band);
  if (!band) return [];
  const own = bandColour(fresh, 'Fresh', band, names);
  const shift = names.findings.get(`runShift(${fresh},${dried})#${band.band}`)?.value;
  const from = band.rF;
  if (typeof shift !== 'number' || from === null) return [own];
  const away = (one: Band): number => (one.rF === null ? Infinity : Math.abs(one.rF - from - shift));
  const partner = (details[dried]?.strip?.bands ?? []).reduce<Band | null>(
    (best, one) => (best === null || away(one) < away(best) ? one : best),
    null,
  );
  // The dried band's own R_F, up to what a file rounds away.
  return partner && away(partner) < 0.002 ? [own, bandColour(dried, 'Dried', partner, names)] : [own];
}
