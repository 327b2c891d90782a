/** Who may change where the window stands. */
import { beforeEach, expect, test, vi } from 'vitest';

/** What of a browser's window the address needs. */
function standIn(hash: string) {
  const location = { hash };
  const to = (_state: unknown, _title: string, next: string): void => {
    location.hash = next;
  };
  return { location, history: { replaceState: vi.fn<typeof to>(to), pushState: vi.fn<typeof to>(to) } };
}

beforeEach(() => {
  vi.resetModules();
});

async function standingOn(hash: string) {
  const window = standIn(hash);
  vi.stubGlobal('window', window);
  const { goTo } = await import('../../renderer/address/useAddress.ts');
  return { window, goTo };
}

test('a place on the page that is open replaces the address without a step of history', async () => {
  const { window, goTo } = await standingOn('#/ink/1/scans?scan=white');
  goTo({ page: 'scans', ink: 1, query: { scan: 'white', at: '1,2,3' } }, { replace: true });
  expect(window.location.hash).toBe('#/ink/1/scans?scan=white&at=1,2,3');
  expect(window.history.pushState).not.toHaveBeenCalled();
});

test('a page that is still drawn while another one comes does not lead back to itself', async () => {
  const { window, goTo } = await standingOn('#/ink/1/findings');
  goTo({ page: 'scans', ink: 1, query: { scan: 'white', at: '1,2,3' } }, { replace: true });
  goTo({ page: 'findings', ink: 2, query: {} }, { replace: true });
  expect(window.location.hash).toBe('#/ink/1/findings');
});

test('a link leads to any page', async () => {
  const { window, goTo } = await standingOn('#/ink/1/findings');
  goTo({ page: 'scans', ink: 1, query: {} });
  expect(window.location.hash).toBe('#/ink/1/scans');
  expect(window.history.pushState).toHaveBeenCalledOnce();
});
