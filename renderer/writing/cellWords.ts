/** What a cell of the grid says of a sample: its words, and on demand all its numbers. Pure. */
import { whyMissing } from '../../analysis/report/missing.ts';
import type { LabValue, QuantityName } from '../../analysis/quantity.ts';
import type { TracedFinding } from '../../electron/backend/api.ts';
import { labOf } from '../findings/arrange/bench.ts';
import type { NibSample } from './nibGrid.ts';

export interface CellWord {
  readonly quantity: QuantityName;
  readonly label: string;
  readonly word: string;
  /** Nothing to speak of, or nothing to tell: it stands back. */
  readonly quiet: boolean;
  readonly traced: TracedFinding;
}

/** What reviewers have a word for, in the order that they look for it. */
const WORDED = [
  { quantity: 'shading', label: 'shading' },
  { quantity: 'spread', label: 'spread' },
  { quantity: 'feathering', label: 'feathering' },
  { quantity: 'halo', label: 'halo' },
  { quantity: 'sheen', label: 'sheen' },
  { quantity: 'toneShift.adapted', label: 'tone shift, eye adapted' },
  { quantity: 'hiding', label: 'ink is' },
  { quantity: 'ghosting', label: 'ghosting' },
  { quantity: 'bleedThrough', label: 'bleed-through' },
] as const satisfies readonly { quantity: QuantityName; label: string }[];

/** Of the sample, whichever of its findings tells it. */
export function foundOf({ findings, beyond }: NibSample, quantity: QuantityName): TracedFinding | undefined {
  const is = ({ finding }: TracedFinding): boolean => finding.quantity === quantity;
  return findings.find(is) ?? beyond.find(is);
}

export function cellWords(sample: NibSample): readonly CellWord[] {
  return WORDED.flatMap(({ quantity, label }): CellWord[] => {
    const traced = foundOf(sample, quantity);
    if (!traced) return [];
    const word = wordOf(traced);
    return [{ quantity, label, word, quiet: isQuiet(word), traced }];
  });
}

const UNTOLD = 'cannot tell';

export function isQuiet(word: string): boolean {
  return word === 'none' || word === UNTOLD;
}

function wordOf({ finding: { value, verdict, flags } }: TracedFinding): string {
  if (value === null) return UNTOLD;
  return flags.includes('nib-width-doubtful') ? 'nib width or dpi wrong?' : (verdict ?? '');
}

export interface CellColour {
  readonly lab: LabValue | null;
  /** Its ISCC–NBS name, or why there is none. */
  readonly name: string;
  readonly traced: TracedFinding;
}

/** Null: not measured. */
export function cellColour({ findings }: NibSample): CellColour | null {
  const traced = findings.find(({ finding }) => finding.quantity === 'inkColour');
  if (!traced) return null;
  const { finding } = traced;
  const lab = labOf(finding);
  return {
    lab,
    name: lab === null ? `no colour: ${whyMissing(finding).because}` : (finding.verdict ?? 'no name'),
    traced,
  };
}

/** All that is measured of lines, in the order of a laboratory's report. */
export const OF_LINES = [
  { quantity: 'inkColour', label: 'colour' },
  { quantity: 'inkColour.hue', label: 'hue' },
  { quantity: 'inkColour.chroma', label: 'chroma' },
  { quantity: 'inkDensity', label: 'density' },
  { quantity: 'shading', label: 'shading' },
  { quantity: 'shading.dL', label: '– in lightness' },
  { quantity: 'shading.dHue', label: '– in hue' },
  { quantity: 'lineWidth', label: 'line width' },
  { quantity: 'lineWidth.sd', label: '– scatter' },
  { quantity: 'lineWidth.at60', label: '– at 60 %' },
  { quantity: 'spread', label: 'spread' },
  { quantity: 'feathering', label: 'feathering' },
  { quantity: 'feathering.hairs', label: '– hairs' },
  { quantity: 'raggedness', label: 'raggedness' },
  { quantity: 'edgeBlur', label: 'edge blur' },
  { quantity: 'halo', label: 'halo' },
  { quantity: 'halo.dE', label: '– against paper' },
  { quantity: 'halo.hue', label: '– hue' },
  { quantity: 'sheen', label: 'sheen' },
  { quantity: 'layering', label: 'second pass' },
  { quantity: 'pathDistance', label: 'off the path' },
] as const satisfies readonly { quantity: QuantityName; label: string }[];

/** What their paper does to them, and they to their paper. */
const OF_PAPER = [
  { quantity: 'toneShift', label: 'tone shift' },
  { quantity: 'toneShift.adapted', label: '– eye adapted' },
  { quantity: 'hiding', label: 'hiding' },
  { quantity: 'ghosting', label: 'ghosting' },
  { quantity: 'ghosting.printThrough', label: '– print-through' },
  { quantity: 'bleedThrough', label: 'bleed-through' },
  { quantity: 'bleedThrough.dots', label: '– dots' },
  { quantity: 'bleedThrough.next', label: '– next sheet' },
] as const satisfies readonly { quantity: QuantityName; label: string }[];

export const CELL_NUMBERS = [...OF_LINES, ...OF_PAPER] as const;

export interface CellNumber {
  readonly label: string;
  readonly traced: TracedFinding;
}

export function cellNumbers(sample: NibSample): readonly CellNumber[] {
  return CELL_NUMBERS.flatMap(({ quantity, label }) => {
    const traced = foundOf(sample, quantity);
    return traced ? [{ label, traced }] : [];
  });
}

/** The finding that a press on the sample opens: what a reviewer asks first. */
export function leadingFinding({ findings }: NibSample): TracedFinding | null {
  const leads: readonly QuantityName[] = ['shading', 'inkColour', 'lineWidth'];
  for (const quantity of leads) {
    const found = findings.find(({ finding }) => finding.quantity === quantity);
    if (found) return found;
  }
  return findings[0] ?? null;
}

/** It left the ink's own path by more than its uncertainty allows; null: it did not, or nobody can tell. */
export function oddOne({ findings }: NibSample): TracedFinding | null {
  return findings.find(isOdd) ?? null;
}

export function isOdd({ finding: { quantity, flags, value } }: TracedFinding): boolean {
  return quantity === 'pathDistance' && value !== null && flags.includes('another-ink');
}
