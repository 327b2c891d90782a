/** What lies under each pen's ink: pens gathered from a sheet's regions, and what their samples on several grounds tell. */
import { setImmediate } from 'node:timers/promises';
import { differenceBetweenScans, differenceUncertainty } from '../../analysis/calibrate/uncertainty.ts';
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import { labD50, type LabD50 } from '../../analysis/colour/lab.ts';
import type { FittedInk } from '../../analysis/measure/film/fittedInk.ts';
import { hiding, type KnownPaper, penFindings } from '../../analysis/measure/opacity/opacityFindings.ts';
import type { Pen, PenBar, PenSample } from '../../analysis/measure/opacity/pen.ts';
import type { LabValue, Quantity } from '../../analysis/quantity.ts';
import type { LoadedRegion } from '../sheet/loadedSheet.ts';
import { paperName } from './paperGroups.ts';

/** Of a region all that is asked for here. */
export interface PenRegion {
  readonly id: string;
  readonly kind: string;
  readonly nib: string | null;
  /** Name of its paper. */
  readonly paper: string;
}

export function penRegion(region: LoadedRegion): PenRegion {
  const nib = 'nib' in region ? (region.nib ?? null) : null;
  return { id: region.id, kind: region.kind, nib, paper: paperName(region) };
}

export interface NamedPen extends Pen {
  /** Stable between runs: '["strokes","B"]'. */
  readonly key: string;
  readonly kind: 'strokes' | 'swab' | 'bar';
  readonly nib: string | null;
  /** Of swabs: the first on its paper is 0. */
  readonly place: number;
}

/** What was measured, however it is kept. */
export interface MeasuredInks {
  readonly regions: readonly PenRegion[];
  readonly findings: readonly Quantity[];
  readonly fits: readonly FittedInk[];
  /** By the map, of the paper under a region; null: not measured. */
  readonly paperUnder: (region: string) => LabValue | null;
  readonly barOf: (region: string) => Omit<PenBar, 'region'> | null;
}

/** In the sheet's order. A nib's strokes and swabs of one place belong together over all papers; strokes of no named nib stand alone. */
export function pensOf(measured: MeasuredInks): NamedPen[] {
  const { regions } = measured;
  const pens = new Map<string, { pen: Omit<NamedPen, 'samples' | 'bars'>; of: PenRegion[] }>();
  for (const region of regions) {
    const { kind, nib, id } = region;
    if (kind !== 'strokes' && kind !== 'swab' && kind !== 'bar') continue;
    const place = kind === 'swab' ? placeOf(region, regions) : 0;
    // What a nib wrote over a bar is that nib's.
    const own = kind === 'bar' && nib !== null ? 'strokes' : kind;
    const key = JSON.stringify(own === 'swab' ? [own, nib, place] : [own, nib ?? `region ${id}`]);
    const known = pens.get(key) ?? { pen: { key, kind: own, nib, place }, of: [] };
    known.of.push(region);
    pens.set(key, known);
  }
  return [...pens.values()].map(({ pen, of }) => ({
    ...pen,
    samples: of.flatMap((region) => (region.kind === 'bar' ? [] : (sampleOf(region, measured) ?? []))),
    bars: of.flatMap(({ id, kind }) => {
      const bar = kind === 'bar' ? measured.barOf(id) : null;
      return bar ? [{ region: id, ...bar }] : [];
    }),
  }));
}

function placeOf({ id, paper, nib }: PenRegion, regions: readonly PenRegion[]): number {
  return regions
    .filter((one) => one.kind === 'swab' && one.paper === paper && one.nib === nib)
    .findIndex((one) => one.id === id);
}

function sampleOf({ id, paper }: PenRegion, { findings, fits, paperUnder }: MeasuredInks): PenSample | null {
  const colour = findings.find(({ quantity, subject }) => quantity === 'inkColour' && subject.regions[0] === id);
  if (!colour || !isLab(colour.value) || !isLab(colour.u)) return null;
  const under = underOf(id, colour, fits, paperUnder);
  if (under === null) return null;
  return { region: id, paper, lab: labD50(...colour.value), u: colour.u, paperLab: under, flags: colour.flags };
}

/** Bare paper told the same way as the ink on it. */
function underOf(
  id: string,
  told: Quantity,
  fits: readonly FittedInk[],
  paperUnder: MeasuredInks['paperUnder'],
): LabD50 | null {
  const fitted = told.byMap && fits.flatMap(({ ends }) => ends).find(({ region }) => region === id)?.paper;
  const lab = fitted ?? paperUnder(id);
  return lab && labD50(...lab);
}

/** Other answers of this thread go between its pens. */
export async function opacityFindings(
  measured: MeasuredInks,
  calibrationOf: (region: string) => Calibration,
): Promise<Quantity[]> {
  const pens = pensOf(measured);
  const papers = papersOf(measured, pens);
  const findings = hidings(measured, calibrationOf);
  for (const pen of pens) {
    await setImmediate();
    findings.push(...penFindings(pen, papers, measured.fits));
  }
  return findings;
}

/** Every paper of the sheet with its colour: as a region marked as bare measured it, else as it lies under an ink. */
export function papersOf({ regions, findings }: MeasuredInks, pens: readonly NamedPen[]): KnownPaper[] {
  const names = [...new Set(regions.map(({ paper }) => paper))];
  return names.flatMap((name): KnownPaper[] => {
    const marked = regions.filter(({ kind, paper }) => kind === 'paper' && paper === name).map(({ id }) => id);
    const bare = findings.find(({ quantity, subject, value }) => {
      return quantity === 'paperColour' && value !== null && marked.includes(subject.regions[0]);
    });
    const under = pens.flatMap(({ samples }) => samples).find(({ paper }) => paper === name)?.paperLab;
    const lab = bare && isLab(bare.value) ? bare.value : under;
    return lab ? [{ name, lab: [lab[0], lab[1], lab[2]] }] : [];
  });
}

/** Of two papers on one fit, whose own doubt is much the same; docs/study/opacity.md. */
const FITTED_PAPERS_U = 0.35;

function hidings(
  { findings, fits, paperUnder }: MeasuredInks,
  calibrationOf: (region: string) => Calibration,
): Quantity[] {
  return findings
    .filter(({ quantity }) => quantity === 'toneShift')
    .flatMap((toneShift) => {
      const [first, second] = toneShift.subject.regions;
      const [a, b] = [first, second].map((id) => underOf(id, toneShift, fits, paperUnder));
      if (!a || !b) return [];
      const uPapers = toneShift.byMap
        ? FITTED_PAPERS_U
        : papersDoubt(a, b, calibrationOf(first), calibrationOf(second));
      return hiding({ toneShift, papers: [a, b], uPapers }) ?? [];
    });
}

function papersDoubt(a: LabD50, b: LabD50, of: Calibration, ofOther: Calibration): number {
  if (of === ofOther) return differenceUncertainty(a, b, of, 'two papers');
  return differenceBetweenScans({ lab: a, calibration: of }, { lab: b, calibration: ofOther }, 'two papers');
}

function isLab(value: Quantity['value']): value is LabValue {
  return typeof value === 'object' && value !== null;
}
