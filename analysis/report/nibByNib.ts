/** With which nib an ink shades most and with which least: what tells a reviewer which nib suits it. */
import type { Quantity } from '../quantity.ts';
import { findingKey } from './findingKey.ts';
import { type Names, nibWord, quoted, regionName } from './names.ts';
import { figureText } from './titles.ts';

interface NibShading {
  readonly nib: string;
  readonly finding: Quantity;
  readonly value: number;
  readonly u: number;
}

/** On the paper that most nibs wrote on; null: no two nibs wrote on one. */
export function nibByNib(findings: readonly Quantity[], names: Names): { text: string; key: string } | null {
  const papers = new Map<string | null, NibShading[]>();
  for (const finding of findings) {
    const { kind, nib, paper } = regionName(names, finding.subject.regions[0]);
    const { value, u } = finding;
    if (finding.quantity !== 'shading' || typeof value !== 'number' || kind !== 'strokes' || nib === null) continue;
    const before = papers.get(paper) ?? [];
    // Of two samples of one nib the first stands for it, as everywhere.
    if (before.some((one) => one.nib === nib)) continue;
    papers.set(paper, [...before, { nib, finding, value, u: typeof u === 'number' ? u : 0 }]);
  }
  const [widest] = [...papers].toSorted(([, a], [, b]) => b.length - a.length);
  if (widest === undefined || widest[1].length < 2) return null;
  const [paper, nibs] = widest;
  const falling = nibs.toSorted((a, b) => b.value - a.value);
  const [most, least] = [falling[0], falling[falling.length - 1]];
  const where = paper !== null && papers.size > 1 ? `On ${quoted(paper)} it` : 'It';
  const told = ({ nib, finding }: NibShading, noun: string): string =>
    `the ${nibWord(nib)} ${noun} (${figureText(finding)})`;
  const apart = most.value - least.value > 2 * Math.hypot(most.u, least.u);
  const text = apart
    ? `${where} shades most with ${told(most, 'nib')} and least with ${told(least, 'one')}.`
    : `${where} shades about as much with each nib: from ${figureText(least.finding)} to ${figureText(most.finding)}, within the uncertainty.`;
  return { text, key: findingKey(most.finding) };
}
