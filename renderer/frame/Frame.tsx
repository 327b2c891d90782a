import { useState } from 'react';
import { useAddress } from '../address/useAddress.ts';
import { Keys } from '../look/Keys.tsx';
import { useKeys } from '../look/useKeys.ts';
import { OpenPage } from './OpenPage.tsx';
import { Strip } from './Strip.tsx';

/** The window: the way on top, one page under it. */
export function Frame() {
  const address = useAddress();
  const [helpOpen, setHelpOpen] = useState(false);
  useKeys('Everywhere', [{ keys: '?', does: 'show this sheet', run: () => setHelpOpen(true) }]);
  return (
    <>
      <Strip address={address} onHelp={() => setHelpOpen(true)} />
      <main id="page" className="page">
        <OpenPage address={address} />
      </main>
      <Keys isOpen={helpOpen} onClose={() => setHelpOpen(false)} />
    </>
  );
}
