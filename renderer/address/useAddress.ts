/** Where the window stands, kept in the browser's address, so that back, forward, reload and copying work. */
import { createContext, useContext, useSyncExternalStore } from 'react';
import { type Address, type PageName, formatAddress, parseAddress } from './address.ts';

let heldHash: string | null = null;
let held: Address = { page: 'shelf', ink: null, query: {} };
const listeners = new Set<() => void>();
/** The last address of each page, so that the way leads back to where one was. */
const lastOf = new Map<string, Address>();
let lastInk: number | null = null;

export function currentAddress(): Address {
  const { hash } = window.location;
  if (hash !== heldHash) {
    heldHash = hash;
    held = parseAddress(hash);
    lastOf.set(`${held.page} ${held.ink}`, held);
    lastInk = held.ink ?? lastInk;
  }
  return held;
}

/** Where the window stands now, at once. */
export function useCurrentAddress(): Address {
  return useSyncExternalStore(subscribe, currentAddress);
}

/** What the page is drawn for: while another page is being drawn, the one before. */
export const ShownAddress = createContext<Address>({ page: 'shelf', ink: null, query: {} });

export function useAddress(): Address {
  return useContext(ShownAddress);
}

/**
 * @param options.replace Without a step of the browser's history: for places that follow a pan or a zoom. They count for the page that the
 * window stands on: a page that is still drawn while another one comes may not lead back to itself.
 */
export function goTo(address: Address, options: { readonly replace?: boolean } = {}): void {
  const { page, ink } = currentAddress();
  if (options.replace && (address.page !== page || address.ink !== ink)) return;
  const hash = formatAddress(address);
  if (hash === window.location.hash) return;
  if (options.replace) window.history.replaceState(null, '', hash);
  else window.history.pushState(null, '', hash);
  tell();
}

/** The page as it was last looked at. */
export function lastAddress(page: PageName, ink: number | null): Address {
  currentAddress();
  return lastOf.get(`${page} ${ink}`) ?? { page, ink, query: {} };
}

/** The ink that is open, or was before the shelf was looked at. */
export function lastOpenInk(): number | null {
  currentAddress();
  return lastInk;
}

/** An ink that has gone is not led back to. */
export function forgetInk(ink: number): void {
  if (lastInk === ink) lastInk = null;
  for (const page of ['scans', 'findings', 'writing', 'papers', 'strips', 'calibration'])
    lastOf.delete(`${page} ${ink}`);
  tell();
}

function tell(): void {
  for (const listener of listeners) listener();
}

function subscribe(listener: () => void): () => void {
  if (listeners.size === 0) {
    window.addEventListener('hashchange', tell);
    window.addEventListener('popstate', tell);
  }
  listeners.add(listener);
  return () => {
    listeners.delete(listener);
    if (listeners.size > 0) return;
    window.removeEventListener('hashchange', tell);
    window.removeEventListener('popstate', tell);
  };
}
