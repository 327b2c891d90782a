/** How large all pictures of the grid are: as the window has room for, in steps, so that few sizes are ever asked for. */
import { useEffect, useState } from 'react';
import { onceLaidOut } from '../look/onceLaidOut.ts';
import { pictureIn, type PictureSize } from './thumbnailPicture.ts';

/** Null until the room is known: no picture is asked for twice. */
export function usePictureSize(table: { readonly current: HTMLElement | null }, columns: number): PictureSize | null {
  const [size, setSize] = useState<PictureSize | null>(null);
  useEffect(
    () =>
      onceLaidOut(() => {
        const room = table.current?.parentElement;
        if (!room) return undefined;
        const observer = new ResizeObserver(([entry]) => {
          const next = pictureIn(entry.contentRect.width, columns);
          setSize((held) => (held?.width === next.width ? held : next));
        });
        observer.observe(room);
        return () => observer.disconnect();
      }),
    [table, columns],
  );
  return size;
}
