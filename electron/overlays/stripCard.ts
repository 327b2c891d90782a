/** The bands of a strip as a table: place, share and colour, each with its ±, and the colour's name below. */
import type { LabValue, Quantity, QuantityName } from '../../analysis/quantity.ts';
import { type Block, BODY, LINE, SMALL, STRONG, swatchShapes } from './card.ts';
import { isLab, numberWords } from './figures.ts';
import { colourName } from './colourNames.ts';
import { text, textEnding } from './svg.ts';
import { TONES } from './tones.ts';
import { R_F, textWidth } from './typeface.ts';

export interface BandFindings {
  readonly band: number;
  /** R_F: value and standard uncertainty. */
  readonly position: { readonly value: number | null; readonly u: number | null };
  readonly share: { readonly value: number | null; readonly u: number | null };
  readonly colour: LabValue | null;
  readonly colourU: LabValue | null;
  /** The colour's name, with its neighbour's when it lies near a border; '' without a colour. */
  readonly name: string;
  readonly ownName: string;
}

/** By number, as the strip's findings tell them. */
export function bandsOf(quantities: readonly Quantity[]): BandFindings[] {
  const numbers = [...new Set(quantities.flatMap((q) => q.subject.band ?? []))].toSorted((a, b) => a - b);
  return numbers.map((band) => {
    const of = (name: QuantityName) => quantities.find((q) => q.quantity === name && q.subject.band === band);
    const colour = of('bandColour');
    return {
      band,
      position: scalar(of('bandPosition')),
      share: scalar(of('bandShare')),
      colour: colour && isLab(colour.value) ? colour.value : null,
      colourU: colour && isLab(colour.u) ? colour.u : null,
      name: colour ? colourName(colour) : '',
      ownName: colour ? colourName({ ...colour, u: null }) : '',
    };
  });
}

function scalar(q: Quantity | undefined): { value: number | null; u: number | null } {
  return {
    value: typeof q?.value === 'number' ? q.value : null,
    u: typeof q?.u === 'number' ? q.u : null,
  };
}

const ROW = 2 * LINE + 4;
/** Where the decimal points of the five columns stand, from the left of the text column. */
const COLUMNS = [
  { head: R_F, point: 52, decimals: 3, digits: 1 },
  { head: 'share %', point: 198, decimals: 1, digits: 2 },
  { head: 'L*', point: 306, decimals: 1, digits: 2 },
  { head: 'a*', point: 412, decimals: 1, digits: 2 },
  { head: 'b*', point: 520, decimals: 1, digits: 2 },
] as const;
/** The text column that the table needs. */
export const BAND_TABLE_WIDTH = 598;

export function bandTable(bands: readonly BandFindings[]): Block {
  return {
    height: bands.length === 0 ? 0 : LINE + bands.length * ROW + 4,
    draw: (x, y) =>
      bands.length === 0
        ? ''
        : COLUMNS.map(({ head, point, digits }) =>
            text(head, x + point - textWidth('0', BODY) * digits, y + 14, SMALL, TONES.quietText),
          ).join('') + bands.map((band, i) => bandRow(band, x, y + LINE + i * ROW)).join(''),
  };
}

function bandRow(band: BandFindings, x: number, y: number): string {
  const baseline = y + 15;
  const figures = [
    band.position,
    band.share,
    ...[0, 1, 2].map((i) => ({ value: band.colour && band.colour[i], u: band.colourU && band.colourU[i] })),
  ];
  return (
    text(String(band.band), x, baseline, STRONG, TONES.text) +
    figures
      .map(({ value, u }, i) => {
        const { point, decimals } = COLUMNS[i];
        const words = numberWords(value, u, decimals);
        const [whole] = words.value.split('.');
        return (
          textEnding(whole, x + point, baseline, BODY, TONES.text) +
          text(`${words.value.slice(whole.length)} ${words.spread}`, x + point, baseline, BODY, TONES.text)
        );
      })
      .join('') +
    (band.colour === null ? '' : swatchShapes(x, baseline + 6, 16, band.colour, null)) +
    text(band.name, x + 24, baseline + LINE, BODY, TONES.quietText)
  );
}
