/** The plain statement of an ink, line by line, each with what it comes from. Pure. */
import { inkClaim } from '../../analysis/report/claim.ts';
import { huesIn } from '../../analysis/report/claimWords.ts';
import { findingKey } from '../../analysis/report/findingKey.ts';
import type { Names } from '../../analysis/report/names.ts';
import type { LabValue } from '../../analysis/quantity.ts';

export interface ClaimLineShown {
  readonly text: string;
  /** The finding that it tells; null: it holds the others against the ink's name. */
  readonly key: string | null;
  readonly lab: LabValue | null;
}

/**
 * Empty while no writing has a colour.
 * @param ink what it is called: 'Plover Blue' claims a hue, 'Curlew Midnight' none @param claim the maker's own word for the colour goes before the name
 */
export function claimLines(names: Names, ink: string, claim: string | null = null): readonly ClaimLineShown[] {
  const called = huesIn(ink).length > 0 ? ink : null;
  const said = claim === null ? inkClaim(names, called, 'name') : inkClaim(names, claim);
  if (!said) return [];
  const { thin, thick, sentences } = said;
  const looks = thin.region === thick.region ? [thin] : [thin, thick];
  const chroma = findingKey({ quantity: 'inkColour.chroma', subject: { regions: [thick.region] } });
  return sentences.map((text, i) => {
    const look = looks[i];
    if (look) return { text, key: look.key, lab: look.lab };
    const isHue = i === looks.length && names.findings.has(chroma);
    return { text, key: isHue ? chroma : null, lab: null };
  });
}
