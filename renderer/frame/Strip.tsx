import type { Address } from '../address/address.ts';
import { Button } from '../look/Button.tsx';

export interface StripProps {
  readonly address: Address;
  readonly onHelp: () => void;
}

/** The slim strip: the way, the open ink, what can be done with it. */
export function Strip({ address, onHelp }: StripProps) {
  return (
    <header className="strip">
      <a href="#/shelf" aria-current={address.page === 'shelf' ? 'page' : undefined}>
        Shelf
      </a>
      <Button kind="plain" onPress={onHelp}>
        Keys
      </Button>
    </header>
  );
}
