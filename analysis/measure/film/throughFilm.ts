/** Findings told through the target's map, told again through the fitted film where that is surer; the map's stay beside them. */
import { chroma, hueDeg, hueDifferenceDeg, labD50, type LabD50, labToXyz } from '../../colour/lab.ts';
import { deltaE2000 } from '../../colour/deltaE.ts';
import type { Flag, Quantity, QuantityName } from '../../quantity.ts';
import { type ComparedInk, nibShadingOf, toneShiftOf } from '../colourPairs.ts';
import { colourQuantities, spreadQuantities, withLight } from '../inkQuantities.ts';
import { MISFIT_LIMIT } from '../../film/judge.ts';
import { diagonalRoot } from '../measuredColour.ts';
import { againstPaper, doubtOfChroma, doubtOfDeltaE, doubtOfHue, doubtOfLightness } from './filmDoubts.ts';
import type { InkFilm } from './inkFilm.ts';
import type { FittedPaper, PlacedRegion } from './placed.ts';
import { combine } from '../uncertainty.ts';
import { SHADING_LIMITS, verdict } from '../verdict.ts';
import { isSurer, lengthOf } from './rules.ts';
import type { FilmRegion } from './series.ts';

export const FILM_METHODS = {
  inkColour: 'inkColour-film/15',
  inkDensity: 'inkDensity-film/15',
  shading: 'shading-film/16',
  swabVariation: 'swabVariation-film/13',
  nibShading: 'nibShading-film/16',
  toneShift: 'toneShift-film/16',
  layering: 'layering-film/13',
} as const;

/** A region that the fit can tell. */
export interface ToldRegion {
  readonly region: FilmRegion;
  readonly placed: PlacedRegion;
  readonly paper: FittedPaper;
  /** What the fit's numbers carry beside the map's own flags. */
  readonly flags: readonly Flag[];
}

/** Below this chroma a hue angle says nothing (as for the map's ends). */
const LEAST_CHROMA = 2;
/** Of the map alone: the fit reaches beyond the target's colours. */
const MAPS_OWN: readonly Flag[] = ['outside-target-gamut'];

/** Whether a finding can be told through a film at all. */
export function isTellable({ quantity }: Pick<Quantity, 'quantity'>): boolean {
  return familyOf(quantity) !== null;
}

/** A finding through the film, in place of the map's; null: the map is surer, or the film cannot tell it. */
export type Teller = (finding: Quantity) => Quantity | null;

/** @param told by region id */
export function filmTeller(
  film: Pick<InkFilm, 'fit'>,
  findings: readonly Quantity[],
  told: ReadonlyMap<string, ToldRegion>,
): Teller {
  const byKey = new Map(findings.map((finding) => [keyOf(finding), finding]));
  const families = new Map<string, ReadonlyMap<string, Quantity>>();
  return (finding) => {
    const family = familyOf(finding.quantity);
    if (family === null) return null;
    const key = `${family}(${finding.subject.regions.join(',')})`;
    let own = families.get(key);
    if (own === undefined) {
      const chief = byKey.get(key);
      const made = chief ? familyBy(film, family, chief, told) : [];
      own = new Map(made.map((quantity) => [keyOf(quantity), quantity]));
      families.set(key, own);
    }
    const through = own.get(keyOf(finding));
    if (through === undefined) return null;
    const { value, u, method } = finding;
    return { ...through, byMap: { value, u, method } };
  };
}

type Family = keyof typeof FILM_METHODS;

function familyOf(quantity: QuantityName): Family | null {
  const [first] = quantity.split('.');
  switch (first) {
    case 'inkColour':
    case 'shading':
    case 'swabVariation':
    case 'nibShading':
    case 'toneShift':
    case 'layering':
      return first;
    case 'inkDensity':
      return 'inkColour';
    default:
      return null;
  }
}

function keyOf({ quantity, subject }: Quantity): string {
  return `${quantity}(${subject.regions.join(',')})`;
}

/** All quantities that follow from one; none when the map is surer of that one. */
function familyBy(
  film: Pick<InkFilm, 'fit'>,
  family: Family,
  chief: Quantity,
  told: ReadonlyMap<string, ToldRegion>,
): readonly Quantity[] {
  const [first, second] = chief.subject.regions.map((id) => told.get(id));
  if (first === undefined || chief.value === null) return [];
  switch (family) {
    case 'inkColour':
    case 'inkDensity':
      return surer(chief, colourBy(first, chief.flags));
    case 'shading':
    case 'swabVariation':
      return surer(chief, spreadBy(film, first, family, chief));
    case 'layering':
      return surer(chief, layeringBy(film, first, chief));
    case 'nibShading':
      return second ? surer(chief, nibsBy(film, first, second, chief.flags)) : [];
    case 'toneShift':
      return second ? surer(chief, tonesBy(film, first, second, chief.flags)) : [];
  }
}

/** @param film the same and what follows from it; none where the film cannot tell it */
function surer(map: Quantity, film: readonly Quantity[]): readonly Quantity[] {
  if (film.length === 0) return [];
  const size = ({ value, u }: Quantity): number => {
    if (value === null || u === null) return Infinity;
    return typeof u === 'number' || typeof value === 'number' ? Number(u) : lengthOf(labOf(value), u);
  };
  return isSurer(size(film[0]), size(map), map.quantity === 'inkColour' ? 'colour' : 'difference') ? film : [];
}

function flagsOf(own: readonly Flag[], ...sides: readonly ToldRegion[]): Flag[] {
  const kept = own.filter((flag) => !MAPS_OWN.includes(flag));
  return [...new Set([...kept, ...sides.flatMap(({ flags }) => flags)])];
}

function colourBy(told: ToldRegion, flags: readonly Flag[]): Quantity[] {
  const { region, placed, paper } = told;
  const { lab, u } = placed.colour;
  return colourQuantities({
    lab,
    luminance: labToXyz(lab)[1],
    paperLuminance: labToXyz(paper.colour.lab)[1],
    repeatability: diagonalRoot(region.ink.colour.covariance),
    calibration: withLight(u, lab, region.ink.light),
    calibrationL: u[0],
    placement: region.ink.placement,
    subject: { regions: [region.ink.region] },
    flags: flagsOf(flags, told),
    methods: FILM_METHODS,
  });
}

function spreadBy(
  { fit }: Pick<InkFilm, 'fit'>,
  told: ToldRegion,
  name: 'shading' | 'swabVariation',
  { flags, uParts }: Quantity,
): Quantity[] {
  const { region, placed } = told;
  const { dark, light } = placed;
  const { uRepeat, placement } = { ...region.doses, placement: uParts?.placement };
  const hueTells = Math.min(chroma(dark.lab), chroma(light.lab)) >= LEAST_CHROMA;
  const placed00 = typeof placement === 'number' ? placement : 0;
  return spreadQuantities({
    name,
    dE00: deltaE2000(dark.lab, light.lab),
    dL: Math.max(0, light.lab[0] - dark.lab[0]),
    dHueDeg: hueTells ? hueDifferenceDeg(hueDeg(dark.lab), hueDeg(light.lab)) : null,
    uRepeat,
    calibration: {
      dE00: doubtOfDeltaE(fit, dark, light),
      dL: doubtOfLightness(fit, dark, light),
      dHueDeg: doubtOfHue(fit, dark, light),
    },
    placement: { dE00: placed00, dL: placed00 },
    subject: { regions: [region.ink.region] },
    flags: flagsOf(flags, told),
    method: FILM_METHODS[name],
  });
}

/** None where two layers do not lie on the film's curve: sheen, or another ink. */
function layeringBy({ fit }: Pick<InkFilm, 'fit'>, told: ToldRegion, { flags, uParts }: Quantity): Quantity[] {
  const { colour, double } = told.placed;
  if (double === null || double.away > MISFIT_LIMIT) return [];
  const value = deltaE2000(double.lab, colour.lab);
  const of = (part: unknown): number => (typeof part === 'number' ? part : 0);
  const parts = combine(of(uParts?.repeatability), doubtOfDeltaE(fit, colour, double), of(uParts?.placement));
  return [
    {
      quantity: 'layering',
      subject: { regions: [told.region.ink.region] },
      value,
      unit: 'ΔE00',
      ...parts,
      verdict: verdict(value, parts.u, SHADING_LIMITS),
      limits: SHADING_LIMITS,
      flags: flagsOf(flags, told),
      method: FILM_METHODS.layering,
    },
  ];
}

function nibsBy({ fit }: Pick<InkFilm, 'fit'>, a: ToldRegion, b: ToldRegion, flags: readonly Flag[]): Quantity[] {
  const quantity = nibShadingOf(compared(a), compared(b), {
    calibration: doubtOfDeltaE(fit, a.placed.colour, b.placed.colour),
    twoLights: a.paper !== b.paper,
    method: FILM_METHODS.nibShading,
  });
  return [{ ...quantity, flags: flagsOf(flags, a, b) }];
}

function tonesBy(
  { fit }: Pick<InkFilm, 'fit'>,
  pale: ToldRegion,
  other: ToldRegion,
  flags: readonly Flag[],
): Quantity[] {
  const [from, to] = [pale.placed.colour, other.placed.colour];
  const [ownFrom, ownTo] = [againstPaper(from, pale.paper.colour), againstPaper(to, other.paper.colour)];
  const quantities = toneShiftOf(compared(pale), compared(other), {
    calibration: doubtOfDeltaE(fit, from, to),
    parts: {
      adapted: doubtOfDeltaE(fit, ownFrom, ownTo),
      dL: doubtOfLightness(fit, from, to),
      dC: doubtOfChroma(fit, from, to),
      dHueDeg: doubtOfHue(fit, from, to),
    },
    method: FILM_METHODS.toneShift,
  });
  return quantities.map((quantity) => ({
    ...quantity,
    flags: [
      ...flagsOf(flags, pale, other),
      ...(quantity.flags.includes('cannot-tell') ? (['cannot-tell'] as const) : []),
    ],
  }));
}

function compared({ region: { ink }, placed, paper }: ToldRegion): ComparedInk {
  const { region, placement, light, flags, colour } = ink;
  const own = againstPaper(placed.colour, paper.colour).lab;
  return { region, placement, light, flags, lab: placed.colour.lab, own, covariance: colour.covariance };
}

function labOf(value: readonly number[]): LabD50 {
  return labD50(value[0], value[1], value[2]);
}
