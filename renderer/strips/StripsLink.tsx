/** From the tables of findings to the strips, at the strip and band that are chosen. */
import type { TracedFinding, Work } from '../../electron/backend/api.ts';
import { formatAddress, type Address } from '../address/address.ts';
import { goTo, lastAddress } from '../address/useAddress.ts';
import { useKeys } from '../look/useKeys.ts';

interface Props {
  readonly work: Work;
  readonly chosen: TracedFinding | null;
}

export function StripsLink({ work, chosen }: Props) {
  const ink = work.ink.id;
  const to = (): Address => {
    const last = lastAddress('strips', ink);
    const [first] = chosen?.finding.subject.regions ?? [];
    const strip = work.regions.find(({ region }) => region.id === first && region.kind === 'strip')?.region.id;
    if (strip === undefined) return last;
    const band = chosen?.finding.subject.band;
    return { ...last, query: { strip, ...(band !== undefined && { band: String(band) }) } };
  };
  useKeys('Findings', [{ keys: 's', does: 'go to the strips', run: () => goTo(to()) }]);
  return (
    <a href={formatAddress(to())} aria-keyshortcuts="s">
      Strips
    </a>
  );
}
