/** The scan that a page will show is asked for while the page is still being drawn. */
import { currentAddress } from '../address/useAddress.ts';
import { overviewUrl } from '../api/client.ts';
import { onceWorkIsHeld } from '../api/store.ts';

/** From now on, whenever the address leads to the scans. */
export function picturesAhead(): void {
  window.addEventListener('hashchange', pictureAhead);
  pictureAhead();
}

function pictureAhead(): void {
  const { page, ink, query } = currentAddress();
  if (page !== 'scans' || ink === null) return;
  onceWorkIsHeld(ink, ({ scans }) => {
    const scan = query['scan'] === undefined ? scans[0] : scans.find(({ id }) => id === query['scan']);
    // The browser keeps it: its address changes with its colours.
    if (scan) new Image().src = overviewUrl(ink, scan.id, scan.colours.key);
  });
}
