/** How large all pictures of the grid are: as the window has room for, in steps, so that few sizes are ever asked for. */
import { useEffect, useState } from 'react';
import { onceLaidOut } from '../look/onceLaidOut.ts';
import { PICTURE, pictureIn, type PictureSize } from './thumbnailPicture.ts';

export function usePictureSize(table: { readonly current: HTMLElement | null }, columns: number): PictureSize {
  const [size, setSize] = useState<PictureSize>(PICTURE);
  useEffect(
    () =>
      onceLaidOut(() => {
        const room = table.current?.parentElement;
        if (!room) return undefined;
        const observer = new ResizeObserver(([entry]) => {
          const next = pictureIn(entry.contentRect.width, columns);
          setSize((held) => (held.width === next.width ? held : next));
        });
        observer.observe(room);
        return () => observer.disconnect();
      }),
    [table, columns],
  );
  return size;
}
