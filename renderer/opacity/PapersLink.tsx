/** From findings to the ink on other papers. */
import { formatAddress } from '../address/address.ts';
import { goTo, lastAddress } from '../address/useAddress.ts';
import { useKeys } from '../look/useKeys.ts';

export interface PapersLinkProps {
  readonly ink: number;
  /** Keys are listed page by page. */
  readonly group: 'Findings' | 'Nibs and papers';
}

export function PapersLink({ ink, group }: PapersLinkProps) {
  useKeys(group, [{ keys: 'o', does: 'go to the ink on other papers', run: () => goTo(lastAddress('papers', ink)) }]);
  return (
    <a href={formatAddress(lastAddress('papers', ink))} aria-keyshortcuts="o">
      On other papers
    </a>
  );
}
