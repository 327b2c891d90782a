/**
 * A strip's profile drawn beside the strip, mm by mm: three absorbances and their fit, each band in its own measured colour, the
 * origin and the front. For a strip that lies, the panel lies below it. Lengths are points.
 */
import type { LabValue } from '../../analysis/quantity.ts';
import { BADGE, badge, badgeWidth, BODY, HEADING, PAD, SMALL, STRONG } from './card.ts';
import { numberWords } from './figures.ts';
import { spreadOut } from './spreadOut.ts';
import type { BandFindings } from './stripCard.ts';
import { box, line, n, path, rectPath, text, textCentred, textEnding } from './svg.ts';
import { shown } from '../../analysis/colour/shown.ts';
import { TONES } from './tones.ts';
import { fitText, R_F, textWidth } from './typeface.ts';

export interface StripDrawing {
  readonly number: number;
  readonly id: string;
  /** The run goes up or down the page; else the strip lies. */
  readonly standing: boolean;
  /** Along the page, from the box's top (or left) edge, mm. */
  readonly placeMm: readonly number[];
  /** Red, green, blue. */
  readonly absorbance: readonly [Curve, Curve, Curve];
  readonly fitted: readonly [Curve, Curve, Curve];
  readonly bands: readonly DrawnBand[];
  readonly originMm: number | null;
  readonly frontMm: number | null;
  /** Where the box begins along the page, and points to a mm. */
  readonly from: number;
  readonly pointsPerMm: number;
}
type Curve = ArrayLike<number>;

interface DrawnBand extends BandFindings {
  readonly apexMm: number;
  /** The band alone, greatest of its three absorbances at each place. */
  readonly alone: Curve;
}

/** Across the run: a stripe of the bands' colours, the plot, then (beside a standing strip) the labels. */
export const PANEL = { ruler: 58, plot: 230, labels: 214, lying: 270 } as const;
export const PANEL_WIDTH = PANEL.ruler + PANEL.plot + 24 + PANEL.labels + PAD;

/** Dashes tell the three channels apart, so that no colour need be added to the measured ones. */
export const CHANNELS = [
  { name: 'red', dash: '' },
  { name: 'green', dash: '7 3' },
  { name: 'blue', dash: '1.5 3' },
] as const;

/** @param length of the page along the run. */
export function standingPanel(strip: StripDrawing, length: number): string {
  const plotLeft = PANEL.ruler;
  const most = greatest(strip);
  const at = (mm: number, absorbance: number): readonly [number, number] => [
    plotLeft + (absorbance / most) * PANEL.plot,
    strip.from + mm * strip.pointsPerMm,
  ];
  const labelLeft = plotLeft + PANEL.plot + 24;
  return (
    box(0, 0, PANEL_WIDTH, length, `fill="${TONES.panel}"`) +
    scaleLines(most, (a) => [at(0, a)[0], at(0, a)[0]], [PAD, length - PAD]) +
    curves(strip, at) +
    crossLines(strip, at, most) +
    scaleWords(most, (a, word) => textCentred(word, at(0, a)[0], length - 5, SMALL, TONES.quietText)) +
    text('absorbance', labelLeft, length - 5, SMALL, TONES.quietText) +
    standingRuler(strip, plotLeft, length) +
    badge(strip.number, labelLeft, PAD) +
    text(
      fitText(strip.id, PANEL.labels - badgeWidth(strip.number) - 10, HEADING),
      labelLeft + badgeWidth(strip.number) + 10,
      PAD + 18,
      HEADING,
      TONES.text,
    ) +
    standingLabels(strip, at, most, labelLeft, length)
  );
}

/** @param length of the page along the run. */
export function lyingPanel(strip: StripDrawing, length: number): string {
  const most = greatest(strip);
  const bottom = PANEL.lying - 34;
  const top = PAD + 58;
  const at = (mm: number, absorbance: number): readonly [number, number] => [
    strip.from + mm * strip.pointsPerMm,
    bottom - (absorbance / most) * (bottom - top),
  ];
  const bands = strip.bands.toSorted((a, b) => a.apexMm - b.apexMm);
  const words = bands.map((b) => `${R_F} ${placeWords(b)}`);
  const wide = Math.max(0, ...words.map((w) => textWidth(w, BODY))) + 46;
  const middles = bands.map((b) => at(b.apexMm, 0)[0]);
  const full = spreadOut(middles, wide, PAD, length - PAD);
  const places = full ?? spreadOut(middles, 30, PAD, length - PAD) ?? middles;
  const labels = bands.map((b, i) => {
    const left = places[i] - (full ? wide / 2 : 9);
    const [x, y] = at(b.apexMm, Math.max(...valuesOf(b.alone)));
    return (
      line(x, y - 3, places[i], PAD + 54, `stroke="${TONES.quietText}" stroke-width="0.8"`) +
      text(String(b.band), left, PAD + 48, STRONG, TONES.text) +
      (full ? bandSwatch(b, left + 14, PAD + 37) + text(words[i], left + 32, PAD + 48, BODY, TONES.text) : '')
    );
  });
  return (
    box(0, 0, length, PANEL.lying, `fill="${TONES.panel}"`) +
    scaleLines(most, (a) => [at(0, a)[1], at(0, a)[1]], [PAD, length - PAD], true) +
    curves(strip, at) +
    crossLines(strip, at, most) +
    scaleWords(most, (a, word) => text(word, 4, at(0, a)[1] - 3, SMALL, TONES.quietText)) +
    lyingRuler(strip, bottom, length) +
    badge(strip.number, PAD, 8) +
    text(fitText(strip.id, length / 2, HEADING), PAD + badgeWidth(strip.number) + 10, 26, HEADING, TONES.text) +
    labels.join('')
  );
}

type At = (mm: number, absorbance: number) => readonly [x: number, y: number];

/** Bands as fields, the fit as a broad pale line, what was measured as a fine dark one on it. */
function curves(strip: StripDrawing, at: At): string {
  const d = (curve: Curve): string =>
    strip.placeMm.map((mm, i) => `${i === 0 ? 'M' : 'L'}${at(mm, curve[i]).map(n).join(' ')}`).join('');
  const field = (curve: Curve): string => {
    const [first, last] = [strip.placeMm[0] ?? 0, strip.placeMm.at(-1) ?? 0];
    return `${d(curve)}L${at(last, 0).map(n).join(' ')}L${at(first, 0).map(n).join(' ')}Z`;
  };
  return (
    strip.bands.map((b) => path(field(b.alone), `fill="${hexOf(b.colour)}"`)).join('') +
    strip.fitted
      .map((c) => path(d(c), `fill="none" stroke="${TONES.pale}" stroke-width="3" stroke-opacity="0.9"`))
      .join('') +
    strip.absorbance
      .map((c, i) =>
        path(
          d(c),
          `fill="none" stroke="${TONES.text}" stroke-width="1.2"${CHANNELS[i].dash ? ` stroke-dasharray="${CHANNELS[i].dash}"` : ''}`,
        ),
      )
      .join('')
  );
}

function crossLines(strip: StripDrawing, at: At, most: number): string {
  return [strip.originMm, strip.frontMm]
    .map((mm) => {
      if (mm === null) return '';
      const [x1, y1] = at(mm, 0);
      const [x2, y2] = at(mm, most);
      return line(x1, y1, x2, y2, `stroke="${TONES.text}" stroke-width="1" stroke-dasharray="2 3"`);
    })
    .join('');
}

function standingLabels(strip: StripDrawing, at: At, most: number, left: number, length: number): string {
  const bands = strip.bands.toSorted((a, b) => a.apexMm - b.apexMm);
  const middles = bands.map((b) => at(b.apexMm, 0)[1]);
  const [from, to] = [PAD + BADGE + 12, length - PAD - 12];
  const full = spreadOut(middles, 46, from, to);
  const places = full ?? spreadOut(middles, 20, from, to) ?? middles;
  return bands
    .map((b, i) => {
      const y = places[i];
      const apex = at(b.apexMm, Math.max(...valuesOf(b.alone)));
      const bend = at(0, most)[0] + 8;
      const name = fitText(b.ownName, PANEL.labels - 40, SMALL);
      return (
        path(
          `M${n(apex[0] + 4)} ${n(apex[1])}L${n(bend)} ${n(apex[1])}L${n(left - 4)} ${n(y)}`,
          `fill="none" stroke="${TONES.quietText}" stroke-width="0.8"`,
        ) +
        text(String(b.band), left, y + (full ? -1 : 5), STRONG, TONES.text) +
        bandSwatch(b, left + 16, y - (full ? 12 : 6)) +
        text(`${R_F} ${placeWords(b)}`, left + 38, y + (full ? -1 : 5), BODY, TONES.text) +
        (full ? text(name, left + 38, y + 16, SMALL, TONES.quietText) : '')
      );
    })
    .join('');
}

/** Origin and front by name, and every 10 mm from the origin in the direction of the run. */
function rulerMarks(strip: StripDrawing, length: number): readonly { readonly at: number; readonly words: string }[] {
  const { originMm, frontMm, from, pointsPerMm } = strip;
  const place = (mm: number): number => from + mm * pointsPerMm;
  const ends = [
    ...(originMm === null ? [] : [{ at: place(originMm), words: 'origin' }]),
    ...(frontMm === null ? [] : [{ at: place(frontMm), words: 'front' }]),
  ];
  if (originMm === null) return ends;
  const step = frontMm !== null && frontMm < originMm ? -10 : 10;
  const [first, last] = [place(strip.placeMm[0]), place(strip.placeMm.at(-1)!)];
  const tens = Array.from({ length: 100 }, (_, i) => ({
    at: place(originMm + (i + 1) * step),
    words: i === 0 ? '10 mm' : String(10 * (i + 1)),
  })).filter(({ at }) => at >= first && at <= last && at < length - 24 && ends.every((e) => Math.abs(e.at - at) > 26));
  return [...ends, ...tens];
}

function standingRuler(strip: StripDrawing, x: number, length: number): string {
  return rulerMarks(strip, length)
    .map(
      ({ at, words }) =>
        line(x - 6, at, x, at, `stroke="${TONES.quietText}"`) +
        textEnding(words, x - 9, at + 4.5, SMALL, TONES.quietText),
    )
    .join('');
}

function lyingRuler(strip: StripDrawing, y: number, length: number): string {
  return rulerMarks(strip, length)
    .map(
      ({ at, words }) =>
        line(at, y, at, y + 6, `stroke="${TONES.quietText}"`) + textCentred(words, at, y + 20, SMALL, TONES.quietText),
    )
    .join('');
}

function bandSwatch(band: DrawnBand, x: number, y: number): string {
  return band.colour === null ? '' : path(rectPath(x, y, 13, 13), `fill="${hexOf(band.colour)}"`);
}

function placeWords({ position }: BandFindings): string {
  const { value, spread } = numberWords(position.value, position.u, 3);
  return `${value} ${spread}`.trim();
}

function scaleLines(
  most: number,
  across: (absorbance: number) => readonly [number, number],
  [from, to]: readonly [number, number],
  lying = false,
): string {
  return steps(most)
    .map((a) => {
      const [p, q] = across(a);
      const look = `stroke="${TONES.hairline}" stroke-width="${a === 0 ? 1.6 : 0.8}"`;
      return lying ? line(from, p, to, q, look) : line(p, from, q, to, look);
    })
    .join('');
}

function scaleWords(most: number, draw: (absorbance: number, word: string) => string): string {
  const all = steps(most);
  const decimals = all.length > 1 && all[1] < 0.1 ? 2 : 1;
  return all.map((a) => draw(a, a === 0 ? '0' : a.toFixed(decimals))).join('');
}

/** Round steps from 0 up to the greatest absorbance. */
function steps(most: number): readonly number[] {
  const step = [0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1].find((s) => most / s <= 5) ?? 1;
  return Array.from({ length: Math.floor(most / step + 1e-9) + 1 }, (_, i) => i * step);
}

function greatest(strip: StripDrawing): number {
  let most = 0.05;
  for (const curve of [...strip.absorbance, ...strip.fitted]) for (const a of valuesOf(curve)) most = Math.max(most, a);
  return most * 1.04;
}

function valuesOf(curve: Curve): number[] {
  return Array.from(curve);
}

function hexOf(colour: LabValue | null): string {
  return colour === null ? TONES.hairline : shown(colour).hex;
}
