/** What a plot's key on the page says, for the file that leaves the page. */
import type { KeyEntry } from './framedSvg.ts';

/** Paragraphs and list items of class `plot-key` in a figure, in their order. */
export function plotKey(figure: Element): readonly KeyEntry[] {
  return [...figure.querySelectorAll('p.plot-key, .plot-key > li')].map((entry) => {
    const sample = entry.querySelector('svg');
    return { words: plainWords(entry), sample: sample && new XMLSerializer().serializeToString(sample) };
  });
}

/** A subscript as plots write it: 'R_F'. */
function plainWords(entry: Element): string {
  const copy = entry.cloneNode(true);
  if (!(copy instanceof Element)) return '';
  for (const low of copy.querySelectorAll('sub')) low.replaceWith(`_${low.textContent ?? ''}`);
  return (copy.textContent ?? '').replace(/\s+/g, ' ').trim();
}
