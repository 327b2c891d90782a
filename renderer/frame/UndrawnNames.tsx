import { useEffect, useState } from 'react';
import type { Shelf, Work } from '../../electron/backend/api.ts';
import { useShelf, useWork } from '../api/store.ts';
import { Notice } from '../look/Notice.tsx';
import { signsInDoubt, undrawnSigns, undrawnWords } from '../look/undrawn.ts';

/** Read once: the same boxes on the next page are no news. */
let dismissed: string | null = null;

/** Boxes in names never stand without a word. */
export function UndrawnNames({ ink }: { readonly ink: number | null }) {
  return ink === null ? <OfShelf /> : <OfInk ink={ink} />;
}

function OfShelf() {
  const shelf = useShelf();
  return <Undrawn names={shelf.state === 'ready' ? shelfNames(shelf.value) : ''} />;
}

function OfInk({ ink }: { readonly ink: number }) {
  const work = useWork(ink);
  return <Undrawn names={work.state === 'ready' ? workNames(work.value) : ''} />;
}

function Undrawn({ names }: { readonly names: string }) {
  const [words, setWords] = useState<string | null>(null);
  useEffect(() => {
    let isOff = false;
    const look = (): void => {
      if (!isOff) setWords(undrawnWords(undrawnSigns(names)));
    };
    // Our widest face comes when it is asked for: a sign that it has is no box.
    const doubted = signsInDoubt(names).join('');
    if (doubted === '') look();
    else document.fonts.load('1em "DejaVu Sans"', doubted).then(look, look);
    return () => {
      isOff = true;
    };
  }, [names]);
  if (words === null || words === dismissed) return null;
  const dismiss = (): void => {
    dismissed = words;
    setWords(null);
  };
  return (
    <Notice kind="word" onDismiss={dismiss}>
      {words}
    </Notice>
  );
}

function shelfNames({ inks }: Shelf): string {
  return distinct(inks.flatMap(({ name, maker, claim }) => [name, maker, claim]));
}

function workNames({ ink, scans, regions }: Work): string {
  return distinct([
    ink.name,
    ink.maker,
    ink.claim,
    ...scans.flatMap(({ id, name, paper }) => [id, name, paper]),
    ...regions.flatMap(({ region }) => [
      region.id,
      'paper' in region ? region.paper : null,
      'nib' in region ? region.nib : null,
    ]),
  ]);
}

/** All signs of the names once: what they spell does not matter here. */
function distinct(names: readonly (string | null | undefined)[]): string {
  return [...new Set(names.join(''))].join('');
}
