import { useDeferredValue, useRef, useState } from 'react';
import { Input, Label, SearchField } from 'react-aria-components';
import type { InkCard } from '../../electron/backend/api.ts';
import { DYES, formatAddress, SHELF } from '../address/address.ts';
import { goTo, useAddress } from '../address/useAddress.ts';
import { problemOf } from '../api/client.ts';
import { makeInk } from '../api/makeInk.ts';
import { nextRequest } from '../api/nextRequest.ts';
import { refreshShelf, useShelf } from '../api/store.ts';
import { BringButtons } from '../bring/BringButtons.tsx';
import { announce } from '../look/announce.ts';
import { Button } from '../look/Button.tsx';
import { EmptyState } from '../look/EmptyState.tsx';
import { LayOnScanner } from '../look/LayOnScanner.tsx';
import { Notice } from '../look/Notice.tsx';
import { Select } from '../look/Select.tsx';
import { useKeys } from '../look/useKeys.ts';
import { FirstOwn } from './FirstOwn.tsx';
import { InkForm } from './InkForm.tsx';
import { InkTile } from './InkTile.tsx';
import { matchInks } from './matchInks.ts';
import { OffTheShelf } from './OffTheShelf.tsx';
import { RemovedNotice } from './RemovedNotice.tsx';
import { useDrawnSoFar, useLatest } from './manyTiles.ts';
import { placesOf, putBack, takeOff, useRemovedInks } from './removedInks.ts';
import { inOrder, type ShelfOrder, SHELF_ORDERS, shelfOrderIn } from './shelfOrder.ts';
import './shelf.css';

/** Fewer inks are seen at a glance. */
const SEARCH_FROM = 7;
const ORDER_FROM = 3;
const NO_INKS: readonly InkCard[] = [];

/** All inks. */
export default function ShelfPage() {
  const shelf = useShelf();
  const { lost, order: asked, find = '' } = useAddress().query;
  const order = shelfOrderIn(asked);
  // The list says at once what was chosen; hundreds of tiles follow.
  const drawnOrder = useDeferredValue(order);
  const removed = useRemovedInks();
  const [typed, setTyped] = useState(find);
  /** The name of the request that makes the new ink; null: nobody names one. */
  const [naming, setNaming] = useState<string | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const search = useRef<HTMLInputElement>(null);
  useKeys('Shelf', [
    { keys: 'n', does: 'name a new ink', run: () => setNaming((now) => now ?? nextRequest()) },
    { keys: '/', does: 'search the inks', run: () => search.current?.focus() },
  ]);
  const inks = shelf.state === 'ready' ? shelf.value.inks : NO_INKS;
  const remove = useLatest(async (card: InkCard): Promise<void> => {
    const failed = await takeOff(card, inks.indexOf(card));
    setProblem(failed?.message ?? null);
    if (!failed) announce(`“${card.name}” is off the shelf; it can be put back.`);
  });
  const drawn = useDrawnSoFar(inks.length + removed.length);
  if (shelf.state === 'loading') return <p className="page-loading">Opening the shelf…</p>;
  if (shelf.state === 'failed') {
    return (
      <div className="page-fault">
        <Notice action={{ words: 'Try again', run: refreshShelf }}>{shelf.problem.message}</Notice>
      </div>
    );
  }
  const isSampleAlone = inks.length > 0 && inks.every(({ invented }) => invented);
  const searchable = inks.length >= SEARCH_FROM;
  const isSearched = searchable && typed.trim() !== '';
  const found = isSearched ? matchInks(inks, typed) : inks;
  const places = inOrder(placesOf(found, isSearched ? [] : removed), drawnOrder);
  const lookAt = (next: { readonly find: string; readonly order: ShelfOrder }): void => {
    const query = {
      ...(next.find !== '' && { find: next.find }),
      ...(next.order !== 'changed' && { order: next.order }),
    };
    goTo({ ...SHELF, query }, { replace: true });
  };
  /** What was looked for stays in the address: whoever comes back from an ink finds the others as they were left. */
  const searchFor = (text: string): void => {
    setTyped(text);
    lookAt({ find: text, order });
  };
  const restore = async (card: Pick<InkCard, 'id' | 'name'>): Promise<void> => {
    const failed = await putBack(card.id);
    setProblem(failed?.message ?? null);
    if (!failed) announce(`“${card.name}” is on the shelf again.`);
  };
  return (
    <div className="shelf">
      {lost !== undefined && (
        <Notice kind="word" onDismiss={() => goTo(SHELF)}>
          Nothing stands at the address “{lost}”; this is the shelf.
        </Notice>
      )}
      <header className="shelf-head">
        <h1>Shelf</h1>
        {searchable && (
          <SearchField className="field shelf-search" value={typed} onChange={searchFor}>
            <Label>Search the inks</Label>
            <output className="shelf-found">
              {isSearched && `${found.length === 0 ? 'none' : found.length} of ${inks.length}`}
            </output>
            <Input ref={search} aria-keyshortcuts="/" />
          </SearchField>
        )}
        {inks.length >= ORDER_FROM && (
          <Select
            label="Order"
            choices={SHELF_ORDERS}
            chosen={order}
            onChoose={(id) => lookAt({ find: typed, order: shelfOrderIn(id) })}
          />
        )}
        {(places.length > 0 || isSearched) && (
          <div className="shelf-actions">
            <Button onPress={() => setNaming(nextRequest())} aria-keyshortcuts="n" isDisabled={naming !== null}>
              New ink
            </Button>
            {!isSampleAlone && <BringButtons ink={null} />}
            <a href={formatAddress(DYES)}>Dyes of all inks</a>
          </div>
        )}
      </header>
      {problem !== null && <Notice onDismiss={() => setProblem(null)}>{problem}</Notice>}
      {places.length === 0 && shelf.value.sampleProblem !== undefined && (
        <Notice>
          The sample ink could not be brought in: {shelf.value.sampleProblem} The next start of Wetline tries again.
        </Notice>
      )}
      {places.length === 0 && isSearched && (
        <div className="shelf-nothing">
          <p>
            No ink’s name or maker has “{typed.trim()}” in it. Every word that is typed must be there; capitals and
            accents do not count. For colours there is the order by hue.
          </p>
          <Button
            onPress={() => {
              searchFor('');
              search.current?.focus();
            }}
          >
            Show all inks
          </Button>
        </div>
      )}
      {places.length === 0 && !isSearched && naming === null && (
        <EmptyState
          sentence="Lay a written page face down on the scanner with your colour target beside it, scan at 600 dpi with every correction switched off, and bring the file here."
          drawing={<LayOnScanner />}
        >
          <BringButtons ink={null} strong />
        </EmptyState>
      )}
      <ul className="inks">
        {naming !== null && (
          <li>
            <div className="ink-tile">
              <h2>A new ink</h2>
              <InkForm
                name=""
                maker={null}
                doing="Make the ink"
                onCancel={() => setNaming(null)}
                onDone={async (name, maker, claim) => {
                  try {
                    const ink = await makeInk({ name, maker, claim }, naming);
                    setNaming(null);
                    goTo({ page: 'scans', ink, query: {} });
                    return null;
                  } catch (error) {
                    return problemOf(error);
                  }
                }}
              />
            </div>
          </li>
        )}
        {places.slice(0, drawn).map(({ card, isRemoved }) => (
          <li key={card.id}>
            {isRemoved ? (
              <RemovedNotice card={card} onPutBack={() => void restore(card)} />
            ) : (
              <InkTile card={card} onRemove={remove} />
            )}
          </li>
        ))}
        {isSampleAlone && (
          <li className="first-own-place">
            <FirstOwn />
          </li>
        )}
      </ul>
      <OffTheShelf
        inks={shelf.value.removed.filter(({ id }) => removed.every(({ card }) => card.id !== id))}
        onPutBack={(ink) => void restore(ink)}
      />
    </div>
  );
}
