import { useDeferredValue, useEffect, useState } from 'react';
import type { Address } from '../address/address.ts';
import { ShownAddress, useCurrentAddress } from '../address/useAddress.ts';
import { hasUnsaved, useHello } from '../api/store.ts';
import { Bring } from '../bring/Bring.tsx';
import { Keys } from '../look/Keys.tsx';
import { useKeys } from '../look/useKeys.ts';
import { keepFocus } from './keepFocus.ts';
import { LiveWords } from './LiveWords.tsx';
import { OpenPage } from './OpenPage.tsx';
import { Strip } from './Strip.tsx';
import { Troubles } from './Troubles.tsx';

/** Another page is drawn in parts, between whatever else the window has to do; places in the page that is open follow at once. */
function useShown(address: Address): Address {
  const drawn = useDeferredValue(address);
  return drawn.page === address.page && drawn.ink === address.ink ? address : drawn;
}

/** The window: the way on top, one page under it. */
export function Frame() {
  const address = useCurrentAddress();
  const shown = useShown(address);
  const [helpOpen, setHelpOpen] = useState(false);
  const hello = useHello();
  const foot =
    hello.state === 'ready'
      ? `Wetline ${hello.value.version}. Your inks and scans lie in ${hello.value.library}`
      : undefined;
  const showHelp = (): void => setHelpOpen(true);
  useKeys('Everywhere', [{ keys: '?', does: 'show this sheet; Escape closes it', run: showHelp }]);
  useEffect(keepFocus, []);
  useEffect(() => {
    const hold = (event: BeforeUnloadEvent): void => {
      if (hasUnsaved()) event.preventDefault();
    };
    window.addEventListener('beforeunload', hold);
    return () => window.removeEventListener('beforeunload', hold);
  }, []);
  return (
    <>
      <Strip address={address} onHelp={showHelp} />
      <Troubles ink={address.ink} />
      <Bring address={address} said={<LiveWords ink={address.ink} />}>
        <main id="page" className="page" tabIndex={-1}>
          <ShownAddress value={shown}>
            <OpenPage address={shown} />
          </ShownAddress>
        </main>
      </Bring>
      <Keys isOpen={helpOpen} onClose={() => setHelpOpen(false)} {...(foot !== undefined && { foot })} />
    </>
  );
}
