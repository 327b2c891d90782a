/** Papers and inks that the sample's generator does not draw by itself: near-black card, recycled paper, a light yellow ink, a black one. */
import { drawInk, type Ink } from '../../sample-scans/generator/ink.ts';
import { drawPaper, type Paper } from '../../sample-scans/generator/paper.ts';
import { stream } from '../../sample-scans/generator/random.ts';
import { curve } from '../../sample-scans/generator/spectra.ts';
import type { PageKind } from './kinds.ts';

export function paperOfKind(kind: PageKind['paper'], seed: number): Paper {
  const random = stream(seed, `page-kind/paper/${kind}`);
  if (kind === 'black') {
    const level = random.range(0.055, 0.1);
    const tilt = random.range(-0.1, 0.15);
    return { ...drawPaper(seed, 'grey', 'black'), reflectance: curve((nm) => level * (1 + (tilt * (nm - 555)) / 175)) };
  }
  if (kind === 'flecked') {
    const paper = drawPaper(seed, 'ivory', 'flecked');
    const grey = random.range(0.8, 0.92);
    return { ...paper, reflectance: paper.reflectance.map((r) => grey * r), fibreSd: 1.5 * paper.fibreSd };
  }
  return drawPaper(seed, kind, 'page');
}

export function inkOfKind(kind: PageKind['ink'], seed: number): Ink {
  const random = stream(seed, `page-kind/ink/${kind}`);
  if (kind === 'yellow') return { ...drawInk(seed, { kind: 'yellow' }), strength: random.range(0.35, 0.8) };
  // An ink that is made for dark card does not scatter, or it would be paler than the card.
  if (kind === 'black') return { ...drawInk(seed, { kind: 'grey' }), strength: random.range(2, 3), scatter: 0.001 };
  return drawInk(seed);
}
