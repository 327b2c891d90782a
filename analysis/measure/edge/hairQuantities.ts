/** Hairs as quantities, each with its doubt: how long they are and how many (docs/measures.md, "feathering"). */
import type { Flag, Quantity } from '../../quantity.ts';
import { combine } from '../uncertainty.ts';
import { FEATHERING_LIMITS, verdict } from '../verdict.ts';
import { EDGE_METHODS, type EdgeSetting, missing, quantity, SCALE } from './edgeQuantity.ts';
import { type Feathering, leastHairs, mostOfCount } from './excursions.ts';
import { LEAST_MM } from './hairs.ts';

/** A hair's tip lies within so much, px; and mm, since hairs thin towards it. */
const TIP_PX = 0.12;
const TIP_MM = 0.01;
/** Hairs that run into one another end where the farther of them does: doubt of their length, as a share of it (drawn lines, 12 to 50 hairs a cm). */
const FRINGE_TIP = 0.07;
/** Of the hairs some are missed, and some are none; of thin ones more, the coarser the pixels: a share for each mm of a pixel (drawn hairs 0.05 to 0.11 mm broad). */
const HAIR_SHARE = 0.1;
const THIN_PER_MM = 1.2;
/** Beside each short hair so many are hidden, and the more the more of all are short (study edges). */
const HIDDEN = 0.3;
const HIDDEN_SHORT = 1.7;
/** Hairs may follow one another more or less by chance than their neighbours tell: so much is in doubt of what those add (drawn hairs, by chance and evenly). */
const BESIDE = 0.4;
/** Where hairs that follow one another by chance take so much of the edge, or so many of all are short, what hides is no longer told by what is seen. */
const MOST_TAKEN = 0.2;
const BY_CHANCE = 1.1;
/** An edge softer than this of its own, mm (sigma), hides hairs altogether that are so many times as long as its softness is beyond that; 2u reaches as far (drawn soft edges, hairs of 0.1 mm). */
const SOFT_MM = 0.03;
const HIDDEN_BY_SOFT = 3;
const MOST_SHORT = 0.5;

/** @param edgeSigmaPx Of the edges' whole blur. */
export function featheringQuantities(
  feathering: Feathering | null,
  edgeSigmaPx: number,
  setting: EdgeSetting,
): Quantity[] {
  const { flags, subject } = setting;
  if (feathering !== null) {
    const reachMm = feathering.hairs === 0 ? reachHidden(edgeSigmaPx, setting) : 0;
    const isHiding = reachMm > LEAST_MM;
    return [featheringQuantity(feathering, reachMm / 2, setting), hairsQuantity(feathering, isHiding, setting)];
  }
  const why: readonly Flag[] = [...flags, 'few-pixels'];
  return [
    missing('feathering', 'mm', why, subject, EDGE_METHODS.feathering),
    missing('feathering.hairs', '/cm', why, subject, EDGE_METHODS.feathering),
  ];
}

/** How long hairs may be that the edge's own softness hides altogether, mm; 0 where the scanner's blur is not known. */
function reachHidden(edgeSigmaPx: number, { scannerSigmaPx, pxPerMm }: EdgeSetting): number {
  if (scannerSigmaPx === null) return 0;
  const softMm = Math.sqrt(Math.max(0, edgeSigmaPx ** 2 - scannerSigmaPx ** 2)) / pxPerMm;
  return HIDDEN_BY_SOFT * Math.max(0, softMm - SOFT_MM);
}

/** Of hairs that hide one another: those that reach beyond the others. */
export function fringeOfHairs(feathering: Feathering | null, setting: EdgeSetting): Quantity[] {
  const { flags, subject, pxPerMm } = setting;
  if (feathering !== null && feathering.hairs > 0) {
    const hidden = FRINGE_TIP * (feathering.lengthPx / pxPerMm);
    return [featheringQuantity(feathering, hidden, setting), hairsQuantity(feathering, true, setting)];
  }
  const why: readonly Flag[] = [...flags, 'cannot-tell'];
  return [
    missing('feathering', 'mm', why, subject, EDGE_METHODS.feathering),
    missing('feathering.hairs', '/cm', why, subject, EDGE_METHODS.feathering),
  ];
}

export function hairsPerCm(feathering: Feathering | null, pxPerMm: number): number {
  return feathering === null ? 0 : feathering.hairs / (feathering.edgePx / pxPerMm / 10);
}

/** @param isHiding Hairs or a soft edge hide others whatever was seen. */
function hairsQuantity(feathering: Feathering, isHiding: boolean, setting: EdgeSetting): Quantity {
  const { pxPerMm, flags } = setting;
  const { hairs, found, aside, asideBeyond, short, beside, edgePx } = feathering;
  const cm = edgePx / pxPerMm / 10;
  // Where none is told, 2u reaches as far as what was seen may stand for; beside those that are, what was set aside may be hairs as well.
  const unseen = hairs === 0 ? Math.max(leastHairs(cm), mostOfCount(found + aside)) / 2 : 0;
  const shortShare = short / Math.max(1, found + aside);
  const hidden = short * (HIDDEN + HIDDEN_SHORT * shortShare);
  const all = hairs * beside.times;
  const u = combine(
    Math.hypot(unseen, Math.sqrt(0.3 * hairs + 1) * beside.times, beside.repeat * all) / cm,
    SCALE * (all / cm),
    Math.hypot(
      HAIR_SHARE * all,
      (THIN_PER_MM / pxPerMm) * all,
      BESIDE * (all - hairs),
      hairs === 0 ? 0 : aside,
      hidden,
    ) / cm,
  );
  const isCrowded = beside.taken > MOST_TAKEN && beside.times > BY_CHANCE;
  const isShort = hairs > 0 && shortShare > MOST_SHORT;
  // Of those set aside, what goes outwards more often than inwards is hairs though nobody can say which, where it is more than chance.
  const isAside = hairs === 0 && asideBeyond >= leastHairs(cm);
  const isLeast = isHiding || isCrowded || isShort || isAside;
  const why: readonly Flag[] = isLeast ? [...flags, 'lower-bound'] : flags;
  return quantity('feathering.hairs', all / cm, '/cm', u, { ...setting, flags: why }, EDGE_METHODS.feathering);
}

/** @param hiddenMm What hairs that hide one another, or a soft edge, leave in doubt of their length. */
function featheringQuantity({ lengthPx, repeat }: Feathering, hiddenMm: number, setting: EdgeSetting): Quantity {
  const { pxPerMm } = setting;
  const u = combine(repeat / pxPerMm, (SCALE * lengthPx) / pxPerMm, Math.hypot(TIP_PX / pxPerMm, TIP_MM, hiddenMm));
  const value = lengthPx / pxPerMm;
  return {
    ...quantity('feathering', value, 'mm', u, setting, EDGE_METHODS.feathering),
    verdict: verdict(value, u.u, FEATHERING_LIMITS),
    limits: FEATHERING_LIMITS,
  };
}
