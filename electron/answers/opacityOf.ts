/** What lies under an ink and what it will look like elsewhere, as the window is told of it. */
import { setImmediate } from 'node:timers/promises';
import { isccNbsName } from '../../analysis/colour/name.ts';
import { labD50, labToXyz, xyzToLabWhite } from '../../analysis/colour/lab.ts';
import { CHANNEL_NAMES } from '../../analysis/measure/opacity/channels.ts';
import { errorDoubt, groundFlags, hidingOn, passedOn } from '../../analysis/measure/opacity/opacityFindings.ts';
import {
  foretoldOn,
  layerNumbers,
  type LeftOut,
  type PenLayer,
  type PenSample,
  rendered,
} from '../../analysis/measure/opacity/pen.ts';
import type { LabValue, Quantity, QuantityName } from '../../analysis/quantity.ts';
import { nibWord } from '../../analysis/report/names.ts';
import type {
  LeftOutCheck,
  OpacityAnswer,
  OpacityLayer,
  OpacityPair,
  OpacityPen,
  OpacitySample,
  Prediction,
  ShelfPaper,
} from '../backend/opacityAnswer.ts';
import { type MeasuredInks, type NamedPen, papersOf } from '../jobs/opacityFindings.ts';
import type { Library } from '../library/library.ts';
import { type JsonBytes, KeptAnswers } from './keptAnswers.ts';
import { errorOf, type OpenedPen, pensOfInk, pensToldOf } from './openedPens.ts';

const keptOpacity = new KeptAnswers(4);

/** The same in JSON. */
export async function opacityInJson(library: Library, ink: number): Promise<JsonBytes> {
  const toldOf = [...pensToldOf(library, ink), JSON.stringify(library.papers())];
  return keptOpacity.get(String(ink), toldOf) ?? keptOpacity.keep(String(ink), toldOf, await opacityOf(library, ink));
}

/** Other answers go between its pens: of many pens and papers it takes a second or more. */
export async function opacityOf(library: Library, ink: number): Promise<OpacityAnswer> {
  const { measured, pens: all, opened } = await pensOfInk(library, ink);
  const pens = all.filter(({ samples, bars }) => samples.length + bars.length > 0);
  const papers = shelfPapers(library, measured, pens);
  const scanOf = new Map(library.document(ink).regions.map((region) => [region.id, region.scan]));
  const told: OpacityPen[] = [];
  for (const pen of pens) {
    await setImmediate();
    told.push(penAnswer(opened(pen), measured, papers, scanOf));
  }
  return {
    pens: told,
    papers,
    missing: pens.flatMap((pen) => {
      const { known } = opened(pen);
      return known.by === 'none'
        ? [{ regions: [...pen.samples, ...pen.bars].map(({ region }) => region), words: WHY[known.why] }]
        : [];
    }),
  };
}

/** Where a person asks for one ground: a paper of the shelf, or a colour. */
export type AskedGround = { readonly paper: string } | { readonly lab: LabValue };

/** @returns in words why there is none */
export async function predictionOf(
  library: Library,
  ink: number,
  key: string,
  asked: AskedGround,
  from: string | null,
): Promise<Prediction | string> {
  const { measured, pens, opened } = await pensOfInk(library, ink);
  const pen = pens.find((one) => one.key === key);
  if (!pen) return `“${key}” is no pen of this ink’s findings; measure it again.`;
  const one = opened(pen);
  if (one.known.by === 'none') return WHY[one.known.why];
  const paper = 'paper' in asked ? shelfPapers(library, measured, pens).find(({ name }) => name === asked.paper) : null;
  if (paper === undefined && 'paper' in asked) {
    return `“${asked.paper}” has no measured colour yet: mark some of its bare paper as a paper region, and measure.`;
  }
  const ground = 'lab' in asked ? asked.lab : paper!.lab;
  return prediction(one, ground, paper?.name ?? null, from) ?? WHY['one-ground'];
}

const WHY = {
  'one-ground':
    'No film fit holds this pen’s ink, and it lies on one ground only. Write it on a second paper of another colour, or over a printed black bar.',
  'grounds-alike':
    'No film fit holds this pen’s ink, and its papers are too alike to tell the layer from what lies under it. Write it on a dark or strongly coloured paper too, or over a printed black bar.',
} as const;

function penAnswer(
  one: OpenedPen,
  measured: MeasuredInks,
  papers: readonly ShelfPaper[],
  scanOf: ReadonlyMap<string, string>,
): OpacityPen {
  const { pen, known, leftOut, error } = one;
  const samples = pen.samples.toSorted((a, b) => b.paperLab[0] - a.paperLab[0]);
  const own = new Set(samples.map(({ paper }) => paper));
  return {
    key: pen.key,
    words: penWords(pen),
    nib: pen.nib,
    kind: pen.kind,
    samples: samples.map((sample) => sampleAnswer(sample, measured, scanOf)),
    pairs: pairsOf(samples, measured),
    layer: layerAnswer(pen, known, measured),
    predictions: papers
      .filter(({ name }) => !own.has(name))
      .flatMap(({ name, lab }) => prediction(one, lab, name, null) ?? []),
    check: error === null ? null : checkOf(leftOut, error),
  };
}

const PLACES = ['swab', 'second swab', 'third swab'];

function penWords({ kind, nib, place, samples, bars }: NamedPen): string {
  if (kind === 'swab') return `${PLACES[place] ?? `swab ${place + 1}`}${nib === null ? '' : ` by ${nib}`}`;
  if (nib !== null) return `${nibWord(nib)} nib`;
  const region = samples[0]?.region ?? bars[0]?.region ?? '';
  return kind === 'bar' ? `over the bar “${region}”` : `writing “${region}”`;
}

function sampleAnswer(
  { region, paper, lab, paperLab, u }: PenSample,
  { findings }: MeasuredInks,
  scanOf: ReadonlyMap<string, string>,
): OpacitySample {
  const colour = findings.find(({ quantity, subject }) => quantity === 'inkColour' && subject.regions[0] === region);
  return {
    region,
    scan: scanOf.get(region) ?? '',
    paper,
    lab,
    paperLab,
    adapted: against(lab, paperLab),
    u,
    by: colour?.byMap ? 'film' : 'map',
  };
}

function pairsOf(samples: readonly PenSample[], { findings }: MeasuredInks): OpacityPair[] {
  const of = (quantity: QuantityName, a: string, b: string): Quantity | null =>
    findings.find((one) => one.quantity === quantity && one.subject.regions[0] === a && one.subject.regions[1] === b) ??
    null;
  return samples.flatMap((a, i) =>
    samples.slice(i + 1).flatMap((b): OpacityPair[] => {
      if (a.paper === b.paper) return [];
      // The finding knows which paper is the paler one.
      const [first, second] = of('toneShift', b.region, a.region) ? [b, a] : [a, b];
      const regions = [first.region, second.region] as const;
      return [
        {
          regions,
          toneShift: of('toneShift', ...regions),
          adapted: of('toneShift.adapted', ...regions),
          hiding: of('hiding', ...regions),
        },
      ];
    }),
  );
}

function layerAnswer(pen: NamedPen, known: PenLayer, { findings }: MeasuredInks): OpacityLayer {
  const bars = new Set(pen.bars.map(({ region }) => region));
  const contrastRatios = findings.filter(
    ({ quantity, subject }) => quantity === 'contrastRatio' && bars.has(subject.regions[0]),
  );
  const regions = known.by === 'none' ? [] : known.regions;
  const own = (quantity: QuantityName): Quantity | null =>
    findings.find((one) => one.quantity === quantity && one.subject.regions.join() === regions.join()) ?? null;
  const numbers = layerNumbers(known);
  return {
    by: known.by,
    words: layerWords(known),
    channels:
      numbers &&
      numbers.channels.map(({ r0, t }, c) => ({
        name: CHANNEL_NAMES[c],
        r0: r0.value,
        uR0: r0.u,
        t: t.value,
        uT: t.u,
      })),
    film: own('film'),
    contrastRatios,
    foretoldContrastRatio: own('contrastRatio.predicted'),
  };
}

function layerWords(known: PenLayer): string {
  if (known.by === 'none') return WHY[known.why];
  const count = known.regions.length;
  if (known.by === 'film-fit') {
    return `From the ink’s absorption curve, at the doses of ${count === 1 ? 'one sample' : `${count} samples`}.`;
  }
  return `No film fit holds this pen’s ink: from its colours on ${known.layer.grounds.length} grounds, in three channels.`;
}

function checkOf(leftOut: readonly LeftOut[], error: number): LeftOutCheck {
  return {
    median: error,
    papers: leftOut.map((one) => ({
      paper: one.paper,
      region: one.region,
      predicted: one.foretold.lab,
      measured: one.sample.lab,
      dE00: errorOf(one),
      u: errorDoubt(one.sample.lab, one.sample.u, one.foretold.lab, one.foretold.u),
    })),
  };
}

function prediction(
  { pen, known, error }: OpenedPen,
  ground: LabValue,
  paper: string | null,
  from: string | null,
): Prediction | null {
  if (known.by === 'none') return null;
  const foretold = foretoldOn(known, ground);
  if (foretold === null) return null;
  const { lab, u } = foretold;
  const shown = pen.samples.find(({ region }) => (from === null ? known.regions.includes(region) : region === from));
  const steps = shown ? rendered(known, shown, ground) : null;
  const passed = passedOn(pen, known);
  const flags = error === null ? ([...passed, 'not-checked'] as const) : passed;
  return {
    pen: pen.key,
    paper,
    ground,
    lab,
    u,
    adapted: against(lab, ground),
    name: isccNbsName(lab),
    by: known.by,
    // A colour that a person picked is no sheet: nothing glows in it.
    flags: paper === null ? [...flags] : groundFlags(ground, flags),
    leftOutError: error,
    hiding: hidingOn(known, pen.samples, paper, ground, passed),
    rendering: shown && steps ? { region: shown.region, from: steps.from, to: steps.to } : null,
  };
}

/** The ink's own papers first, as its findings have them. */
function shelfPapers(library: Library, measured: MeasuredInks, pens: readonly NamedPen[]): ShelfPaper[] {
  const inked = new Set(pens.flatMap(({ samples }) => samples.map(({ paper }) => paper)));
  const own = papersOf(measured, pens).map(({ name, lab }): ShelfPaper => ({ name, lab, own: inked.has(name) }));
  const names = new Set(own.map(({ name }) => name));
  const others = library
    .papers()
    .flatMap(({ name, lab }): ShelfPaper[] => (lab && !names.has(name) ? [{ name, lab, own: false }] : []));
  return [...own.toSorted((a, b) => Number(b.own) - Number(a.own)), ...others];
}

function against(lab: LabValue, white: LabValue): LabValue {
  return xyzToLabWhite(labToXyz(labD50(...lab)), labToXyz(labD50(...white)));
}
