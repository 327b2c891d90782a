import { useEffect } from 'react';
import type { PageName } from '../address/address.ts';
import { useSaving, useWork } from '../api/store.ts';
import { useOldNames } from '../scans/useOldNames.ts';

const PAGE_TITLES: Readonly<Record<PageName, string>> = {
  shelf: 'Shelf',
  dyes: 'Dyes',
  scans: 'Scans',
  findings: 'Findings',
  writing: 'Nibs and papers',
  papers: 'On other papers',
  strips: 'Strips',
  calibration: 'Calibration',
};

/** Which ink is open, and whether what was done to it is in the library. */
export function OpenInk({ ink, page }: { readonly ink: number; readonly page: PageName }) {
  const work = useWork(ink);
  const saving = useSaving(ink);
  const card = work.state === 'ready' ? work.value.ink : null;
  const name = card?.name;
  useOldNames(work.state === 'ready' ? work.value : null);
  useEffect(() => {
    document.title = name !== undefined ? `${name}: ${PAGE_TITLES[page]} – Wetline` : 'Wetline';
    return () => {
      document.title = 'Wetline';
    };
  }, [name, page]);
  const words = { saved: 'saved', saving: 'saving…', failed: 'not saved' }[saving.state];
  return (
    <div className="open-ink">
      <h1 title={name}>{name ?? (work.state === 'failed' ? 'No ink open' : 'Opening…')}</h1>
      <p>
        {card?.maker != null && <span>{card.maker}</span>}
        {card?.invented && <span>invented</span>}
        {card && <span data-saving={saving.state}>{words}</span>}
      </p>
    </div>
  );
}
