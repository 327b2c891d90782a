import fc from 'fast-check';
import { expect, test } from 'vitest';
import { formatAddress, parseAddress } from '../../renderer/address/address.ts';

test.each([
  ['#/shelf', { page: 'shelf', ink: null, query: {} }],
  ['#/ink/1/scans', { page: 'scans', ink: 1, query: {} }],
  [
    '#/ink/12/scans?scan=white&region=ef&at=1200,800,400',
    { page: 'scans', ink: 12, query: { scan: 'white', region: 'ef', at: '1200,800,400' } },
  ],
  [
    '#/ink/3/findings?finding=bandColour(fresh)%232',
    { page: 'findings', ink: 3, query: { finding: 'bandColour(fresh)#2' } },
  ],
  ['#/ink/1/calibration?scan=target&patch=A1', { page: 'calibration', ink: 1, query: { scan: 'target', patch: 'A1' } }],
] as const)('%s is read and written', (hash, address) => {
  expect(parseAddress(hash)).toEqual(address);
  expect(formatAddress(address)).toBe(hash);
});

test.each(['', '#', '#/'])('without an address the shelf is shown: "%s"', (hash) => {
  expect(parseAddress(hash)).toEqual({ page: 'shelf', ink: null, query: {} });
});

test.each([
  ['#/ink/0/scans', '/ink/0/scans'],
  ['#/ink/x/scans', '/ink/x/scans'],
  ['#/ink/1/plans', '/ink/1/plans'],
  ['#/ink/1', '/ink/1'],
  ['#/ink/1e3/scans', '/ink/1e3/scans'],
  ['#nonsense?a=b', 'nonsense'],
])('what cannot be understood leads to the shelf, which says so: %s', (hash, lost) => {
  expect(parseAddress(hash)).toEqual({ page: 'shelf', ink: null, query: { lost } });
});

test('whatever a query holds comes back as it was', () => {
  const query = fc.dictionary(
    fc.string({ unit: 'grapheme', minLength: 1 }).filter((k) => k !== '__proto__'),
    fc.string({ unit: 'grapheme' }),
  );
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 999_999 }),
      fc.constantFrom('scans' as const, 'findings' as const),
      query,
      (ink, page, q) => {
        const address = { page, ink, query: { ...q } };
        expect(parseAddress(formatAddress(address))).toEqual(address);
      },
    ),
  );
});

test('a field that is not there is not written', () => {
  expect(formatAddress({ page: 'scans', ink: 1, query: { scan: 'white', region: undefined } })).toBe(
    '#/ink/1/scans?scan=white',
  );
});
