/** From the tables of findings to nibs and papers side by side, at the sample that is chosen. */
import type { TracedFinding } from '../../electron/backend/api.ts';
import { formatAddress, type Address } from '../address/address.ts';
import { goTo, lastAddress } from '../address/useAddress.ts';
import { useKeys } from '../look/useKeys.ts';

interface Props {
  readonly ink: number;
  readonly chosen: TracedFinding | null;
}

export function GridLink({ ink, chosen }: Props) {
  const to = (): Address => {
    const last = lastAddress('writing', ink);
    const [only, more] = chosen?.finding.subject.regions ?? [];
    return only === undefined || more !== undefined ? last : { ...last, query: { ...last.query, region: only } };
  };
  useKeys('Findings', [{ keys: 'g', does: 'go to nibs and papers side by side', run: () => goTo(to()) }]);
  return (
    <a href={formatAddress(to())} aria-keyshortcuts="g">
      Nibs and papers
    </a>
  );
}
