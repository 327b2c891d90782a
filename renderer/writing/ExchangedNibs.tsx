/** Nibs whose lines contradict their names, before anyone publishes which nib suits the ink. */
import { useMemo } from 'react';
import { exchangedNibs } from '../../analysis/report/exchangedNibs.ts';
import type { Names } from '../../analysis/report/names.ts';
import { formatAddress } from '../address/address.ts';
import { Words } from '../reading/Words.tsx';

export function ExchangedNibs({ ink, names }: { readonly ink: number; readonly names: Names }) {
  const exchanged = useMemo(() => exchangedNibs(names), [names]);
  if (exchanged.length === 0) return null;
  return (
    <section className="odd-ones" aria-label="Nibs’ names exchanged?">
      <h3>Nibs’ names exchanged?</h3>
      <p>
        A nib’s name is set at its box on the Scans page; nothing has to be measured again for it. Pens of two makers
        may differ as much.
      </p>
      <ul>
        {exchanged.map(({ text, key }) => (
          <li key={key + text}>
            <p>
              <a href={formatAddress({ page: 'findings', ink, query: { finding: key } })}>
                <Words>{text}</Words>
              </a>
            </p>
          </li>
        ))}
      </ul>
    </section>
  );
}
