/** Whether a page's writing is told to read as what a maker claims of it, and whether its hue is still seen where it is densest. */
import { spokenName } from '../../analysis/colour/spokenName.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import { inkClaim, VISIBLE_CHROMA } from '../../analysis/report/claim.ts';
import { type Hue, HUES, huesIn } from '../../analysis/report/claimWords.ts';
import { namesOf } from '../../analysis/report/names.ts';
import type { Bench } from '../../sample-scans/generator/bench.ts';
import type { Figure } from './trial.ts';

/** A hue far from each: what an honest answer says no to. */
const FAR: Readonly<Record<Hue, Hue>> = {
  pink: 'green',
  red: 'green',
  orange: 'blue',
  brown: 'blue',
  yellow: 'blue',
  olive: 'purple',
  green: 'red',
  blue: 'orange',
  violet: 'yellow',
  purple: 'yellow',
  white: 'red',
  gray: 'red',
  black: 'red',
};

/** @param odd region whose pen was not clean: left out */
export function claimFigures(
  { seed, sheet, truth }: Bench,
  findings: readonly Quantity[],
  odd: string | null,
): Figure[] {
  const regions = sheet.regions.filter(({ id, kind }) => id.endsWith('-white') && kind !== 'paper' && id !== odd);
  const ids = new Set(regions.map(({ id }) => id));
  const own = findings.filter(({ subject }) => subject.regions.every((id) => ids.has(id)));
  const names = namesOf(
    regions.map(({ id, kind }) => ({ id, kind, nib: null, paper: 'white', run: null })),
    own,
  );
  const look = inkClaim(names, null);
  if (look === null) return [];
  const plain = (what: string, error: number | null): Figure => ({
    seed,
    region: look.thick.region,
    what,
    error,
    covered: null,
  });
  const trueLab = labD50(...truth.pages.white.regions[look.thick.region].colour!.inkColour);
  const trueName = spokenName(trueLab, [0, 0, 0]);
  const [hue] = huesIn(trueName.split(' ').at(-1) ?? '');
  const answer = (claim: string) => inkClaim(names, claim)?.claim?.thick ?? null;
  const chroma = Math.hypot(trueLab[1], trueLab[2]);
  const seen = chroma > VISIBLE_CHROMA ? 'yes' : 'no';
  return [
    // 0: as it is; 1: the contrary; null: cannot tell, or nearly.
    ...(hue
      ? [
          plain('claim that is true', graded(answer(hue), 'yes')),
          plain('claim of a far hue', graded(answer(FAR[hue]), 'no')),
        ]
      : []),
    plain('hue still seen', graded(look.hueVisible.answer, seen)),
    plain('name', HUES.some((h) => huesIn(look.thick.name).includes(h) && huesIn(trueName).includes(h)) ? 0 : 1),
  ];
}

function graded(answer: string | null, right: 'yes' | 'no'): number | null {
  if (answer === right) return 0;
  return answer === 'yes' || answer === 'no' ? 1 : null;
}
