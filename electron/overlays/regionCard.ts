/** Region → card: which sentence, which figures, which notes. */
import type { LabValue, Quantity, QuantityName } from '../../analysis/quantity.ts';
import type { OverlayRegion } from '../jobs/tasks.ts';
import { type Block, type Card, figureTable, makeCard, remark, sentence, STRONG } from './card.ts';
import { colourName } from './colourNames.ts';
import { figuresOf, isLab, numberWords } from './figures.ts';
import { notesOf, notesOfBands } from '../../analysis/report/flagWords.ts';
import type { Inset } from './inset.ts';
import { bandsOf, bandTable } from './stripCard.ts';

export interface CardSpace {
  readonly columnWidth: number;
  readonly insetWidth: number;
  /** Pixels to a point. */
  readonly scale: number;
}

/** @param paper the colour of the paper that it lies on. 'Uncalibrated' is said once, on top of the picture, not on each card. */
export function regionCard(
  region: OverlayRegion,
  number: number,
  paper: LabValue | null,
  inset: Inset | null,
  space: CardSpace,
): Card {
  const quantities = region.result?.quantities ?? [];
  const colour = colourOf(quantities);
  const notes = region.result?.strip
    ? notesOfBands(quantities.filter(isWhole))
    : notesOf(quantities.filter(isWhole).flatMap((q) => q.flags.filter((flag) => flag !== 'uncalibrated')));
  const { columnWidth } = space;
  const figures = figuresOf(quantities);
  const blocks: Block[] = [sentence(says(region), columnWidth, STRONG)];
  if (region.result?.strip) blocks.push(bandTable(bandsOf(quantities)));
  if (figures.length > 0) blocks.push(figureTable(figures));
  if (notes !== '') blocks.push(remark(notes, columnWidth));
  return makeCard(
    {
      number,
      title: region.id,
      kind: region.nib === null ? region.kind : `${region.kind}, nib ${region.nib}`,
      swatch: colour && { colour, paper: colour === paper ? null : paper },
      blocks,
      inset: inset && { piece: inset.picture, scale: space.scale, caption: captionOf(inset) },
    },
    columnWidth,
    space.insetWidth,
  );
}

/** Parts (a hue, a centroid) are not all on the card; what taints only them would puzzle. */
function isWhole(q: Quantity): boolean {
  return !q.quantity.includes('.');
}

function captionOf({ times }: Inset): string {
  return times === 1 ? 'Pixel for pixel' : `Enlarged ${times} times`;
}

/** The paper that a region's ink was judged against. */
export function paperUnder(region: OverlayRegion): LabValue | null {
  const lab = region.result?.ink?.paper.lab;
  return lab ? [lab[0], lab[1], lab[2]] : null;
}

export function colourOf(quantities: readonly Quantity[]): LabValue | null {
  const found = quantities.find((q) => q.quantity === 'inkColour' || q.quantity === 'paperColour');
  return found && isLab(found.value) ? found.value : null;
}

/** What the region says, in plain words. */
export function says(region: OverlayRegion): string {
  const quantities = region.result?.quantities ?? [];
  const of = (name: QuantityName): Quantity | undefined => quantities.find((q) => q.quantity === name);
  if (region.result === null) return 'Not measured.';
  if (region.kind === 'strip') return stripSays(quantities);
  if (region.kind === 'reverse') return reverseSays(quantities);
  if (region.kind === 'bar') return barSays(of('contrastRatio'));
  const main = of('inkColour') ?? of('paperColour');
  if (!main || !isLab(main.value))
    return region.kind === 'paper' ? 'No colour could be told.' : 'No ink colour could be told.';
  const name = capital(colourName(main));
  const spread = of('shading') ?? of('swabVariation');
  if (!spread) return `${name}.`;
  const what = spread.quantity === 'shading' ? 'shading' : 'variation';
  if (spread.value === null || spread.verdict === 'cannot tell') return `${name}; its ${what} cannot be told.`;
  return `${name}; ${spread.verdict === 'none' ? 'no' : spread.verdict} ${what}.`;
}

function stripSays(quantities: readonly Quantity[]): string {
  const bands = bandsOf(quantities).length;
  const kept = quantities.find((q) => q.quantity === 'originRetained');
  const count = bands === 0 ? 'No bands' : bands === 1 ? 'One band' : `${NUMBERS[bands] ?? bands} bands`;
  if (!kept || typeof kept.value !== 'number') return `${count}.`;
  const { value, spread } = numberWords(kept.value, typeof kept.u === 'number' ? kept.u : null, 0);
  return `${count}; ${value} ${spread} % of the colour stayed at the origin.`;
}

function barSays(ratio: Quantity | undefined): string {
  if (typeof ratio?.value !== 'number') return 'Its contrast ratio cannot be told.';
  return `Over the bar it sends back ${Math.round(100 * ratio.value)} % of its light over white.`;
}

function reverseSays(quantities: readonly Quantity[]): string {
  const of = (name: QuantityName): Quantity | undefined => quantities.find((q) => q.quantity === name);
  const ghost = of('ghosting');
  const shows =
    ghost === undefined
      ? null
      : ghost.value === null || ghost.verdict === undefined
        ? 'what shows through cannot be told'
        : `${ghost.verdict === 'none' ? 'no' : ghost.verdict} ghosting`;
  const dots = of('bleedThrough.dots') ?? of('bleedThrough.next');
  const where = dots?.quantity === 'bleedThrough.next' ? 'reached the next sheet' : 'came through';
  const came =
    typeof dots?.value !== 'number' ? null : `${dots.value === 0 ? 'nothing' : countWords(dots.value)} ${where}`;
  const says = [shows, came].filter((part) => part !== null);
  return says.length === 0 ? 'Nothing could be told of this side.' : `${capital(says.join('; '))}.`;
}

function countWords(count: number): string {
  return count === 1 ? 'one dot' : `${(NUMBERS[count] ?? String(count)).toLowerCase()} dots`;
}

const NUMBERS: Readonly<Record<number, string>> = { 2: 'Two', 3: 'Three', 4: 'Four', 5: 'Five', 6: 'Six', 7: 'Seven' };

function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}
