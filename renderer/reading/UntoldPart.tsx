import { Fragment } from 'react';
import { formatAddress } from '../address/address.ts';
import type { Untold } from './untold.ts';
import { Words } from './Words.tsx';

/** Which regions tell nothing, and why; each name leads to its box, where it can be mended. */
export function UntoldPart({ ink, untold }: { readonly ink: number; readonly untold: readonly Untold[] }) {
  if (untold.length === 0) return null;
  return (
    <section className="reading-part reading-open" aria-label="Could not be told">
      <h3>Could not be told</h3>
      <ul>
        {untold.map(({ why, regions }) => (
          <li key={why}>
            {regions.map(({ id, scan }, i) => (
              <Fragment key={id}>
                {i > 0 && ', '}
                <a href={formatAddress({ page: 'scans', ink, query: { scan, region: id } })}>{id}</a>
              </Fragment>
            ))}
            <small>
              <Words>{why}</Words>
            </small>
          </li>
        ))}
      </ul>
    </section>
  );
}
