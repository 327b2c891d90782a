import { type ReactNode, useEffect, useState } from 'react';
import type { Address } from '../address/address.ts';
import { useShelf } from '../api/store.ts';
import { announce } from '../look/announce.ts';
import { bring, isBringing } from './bringing.ts';
import { Tray } from './Tray.tsx';
import { filesOf } from './walkDropped.ts';

interface BringProps {
  readonly address: Address;
  /** Words by the way, over the files: they would hide what became of those. */
  readonly said: ReactNode;
  readonly children: ReactNode;
}

/** Takes files dropped or pasted anywhere in the window, and shows them on their way at its foot. */
export function Bring({ address, said, children }: BringProps) {
  const [over, setOver] = useState(false);
  const ink = address.page === 'shelf' ? null : address.ink;
  useEffect(() => {
    let depth = 0;
    const carriesFiles = (event: DragEvent): boolean => event.dataTransfer?.types.includes('Files') ?? false;
    const enter = (event: DragEvent): void => {
      if (!carriesFiles(event)) return;
      event.preventDefault();
      depth++;
      setOver(true);
    };
    const hover = (event: DragEvent): void => {
      if (!carriesFiles(event) || !event.dataTransfer) return;
      event.preventDefault();
      event.dataTransfer.dropEffect = 'copy';
    };
    const leave = (event: DragEvent): void => {
      if (!carriesFiles(event)) return;
      depth = Math.max(0, depth - 1);
      if (depth === 0) setOver(false);
    };
    const drop = (event: DragEvent): void => {
      if (!carriesFiles(event) || !event.dataTransfer) return;
      event.preventDefault();
      depth = 0;
      setOver(false);
      void bringFrom(event.dataTransfer, ink);
    };
    const paste = (event: ClipboardEvent): void => {
      if (!event.clipboardData || event.clipboardData.files.length === 0) return;
      event.preventDefault();
      void bringFrom(event.clipboardData, ink);
    };
    window.addEventListener('dragenter', enter);
    window.addEventListener('dragover', hover);
    window.addEventListener('dragleave', leave);
    window.addEventListener('drop', drop);
    window.addEventListener('paste', paste);
    return () => {
      window.removeEventListener('dragenter', enter);
      window.removeEventListener('dragover', hover);
      window.removeEventListener('dragleave', leave);
      window.removeEventListener('drop', drop);
      window.removeEventListener('paste', paste);
    };
  }, [ink]);
  useEffect(() => {
    const hold = (event: BeforeUnloadEvent): void => {
      if (isBringing()) event.preventDefault();
    };
    window.addEventListener('beforeunload', hold);
    return () => window.removeEventListener('beforeunload', hold);
  }, []);
  return (
    <div className="bring">
      {children}
      {over && <DropWords ink={ink} />}
      <div className="foot">
        {said}
        <Tray />
      </div>
    </div>
  );
}

function DropWords({ ink }: { readonly ink: number | null }) {
  const shelf = useShelf();
  const name = shelf.state === 'ready' ? shelf.value.inks.find(({ id }) => id === ink)?.name : undefined;
  return (
    <div className="drop-words" aria-hidden="true">
      <p>{name === undefined ? 'Scans become a new ink.' : `Scans join “${name}”.`}</p>
      <p>A sheet with its files becomes a new ink. A target’s layout and reference are kept to choose from.</p>
    </div>
  );
}

async function bringFrom(transfer: DataTransfer, ink: number | null): Promise<void> {
  try {
    await bring(await filesOf(transfer), ink);
  } catch {
    announce('A file in that could not be read; see that it is still there and bring it again.');
  }
}
