import type { InkCard, StageState } from '../../electron/backend/api.ts';
import { type Address, formatAddress } from '../address/address.ts';
import { lastAddress, lastOpenInk } from '../address/useAddress.ts';
import { useShelf } from '../api/store.ts';
import { StageMark } from './StageMark.tsx';
import { STAGE_WORDS } from './stageWords.ts';

/** The work's stages, and how far this ink has come. */
export function Way({ address: { page, ink: open } }: { readonly address: Address }) {
  const shelf = useShelf();
  const inks = shelf.state === 'ready' ? shelf.value.inks : [];
  const ink = open ?? lastOpenInk();
  const card = inks.find(({ id }) => id === ink);
  return (
    <nav aria-label="The way">
      <ol className="way">
        <li>
          <a
            className="stage"
            href={formatAddress(lastAddress('shelf', null))}
            {...current(page === 'shelf' || page === 'dyes')}
          >
            <span className="stage-name">Shelf</span>
            <span className="stage-state">{shelf.state === 'ready' ? inkCount(inks) : '…'}</span>
          </a>
        </li>
        {ink !== null && (card || (open !== null && shelf.state !== 'ready')) && (
          <>
            <Stage
              name="Scans"
              page="scans"
              ink={ink}
              state={card?.stages.scans}
              card={card}
              isOpen={page === 'scans' || page === 'calibration'}
            />
            <Stage
              name="Findings"
              page="findings"
              ink={ink}
              state={card?.stages.findings}
              card={card}
              isOpen={page === 'findings' || page === 'strips' || page === 'writing' || page === 'papers'}
            />
          </>
        )}
      </ol>
    </nav>
  );
}

interface StageProps {
  readonly name: string;
  readonly page: 'scans' | 'findings';
  readonly ink: number;
  readonly state: StageState | undefined;
  readonly card: InkCard | undefined;
  readonly isOpen: boolean;
}

function Stage({ name, page, ink, state, card, isOpen }: StageProps) {
  const why = state === 'attention' ? card?.attention : undefined;
  return (
    <li>
      <a className="stage" href={formatAddress(lastAddress(page, ink))} title={why} {...current(isOpen)}>
        <span className="stage-name">{name}</span>
        <span className="stage-state">
          {state && <StageMark state={state} />} {state ? STAGE_WORDS[state] : '…'}
        </span>
      </a>
    </li>
  );
}

function current(isOpen: boolean): { 'aria-current'?: 'page' } {
  return isOpen ? { 'aria-current': 'page' } : {};
}

function inkCount(inks: readonly InkCard[]): string {
  return inks.length === 1 ? '1 ink' : `${inks.length} inks`;
}
