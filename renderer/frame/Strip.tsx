import type { Address } from '../address/address.ts';
import { Button } from '../look/Button.tsx';
import { InkActions } from './InkActions.tsx';
import { OpenInk } from './OpenInk.tsx';
import { SurroundChoice } from './SurroundChoice.tsx';
import { Way } from './Way.tsx';

export interface StripProps {
  readonly address: Address;
  readonly onHelp: () => void;
}

/** The slim strip: the way, the open ink, what can be done with it. */
export function Strip({ address, onHelp }: StripProps) {
  return (
    <header className="strip">
      <button
        type="button"
        className="skip"
        onClick={() => {
          document.getElementById('page')?.focus();
        }}
      >
        Skip to the page
      </button>
      <Way address={address} />
      {address.ink !== null && <OpenInk ink={address.ink} page={address.page} />}
      <div className="strip-end">
        {address.ink !== null && <InkActions ink={address.ink} />}
        <SurroundChoice />
        <Button kind="plain" onPress={onHelp} aria-keyshortcuts="?">
          Keys <kbd>?</kbd>
        </Button>
      </div>
    </header>
  );
}
