import { useRef } from 'react';
import { Button } from '../look/Button.tsx';
import { useKeys } from '../look/useKeys.ts';
import { bring } from './bringing.ts';
import { filesIn } from './walkDropped.ts';

export interface BringButtonsProps {
  /** The ink that takes the scans; null: a new one, whose name is asked for. */
  readonly ink: number | null;
  /** Whether choosing files is the one thing to do here. */
  readonly strong?: boolean;
  /** What the files are here. @default 'Bring scans…' */
  readonly words?: string;
}

/** Two ways to choose what else could be dropped: files, or a whole folder. */
export function BringButtons({ ink, strong = false, words = 'Bring scans…' }: BringButtonsProps) {
  const files = useRef<HTMLInputElement>(null);
  const folder = useRef<HTMLInputElement>(null);
  const take = (input: HTMLInputElement): void => {
    const brought = filesIn(input);
    if (brought.length > 0) void bring(brought, ink);
    // The same file may be chosen again.
    input.value = '';
  };
  useKeys('Files', [
    { keys: 'o', does: 'bring scans, a sheet or a target’s files', run: () => files.current?.click() },
    { keys: 'Shift+O', does: 'bring a folder', run: () => folder.current?.click() },
  ]);
  return (
    <span className="bring-buttons">
      <Button kind={strong ? 'strong' : 'usual'} onPress={() => files.current?.click()} aria-keyshortcuts="o">
        {words}
      </Button>
      <Button kind={strong ? 'usual' : 'plain'} onPress={() => folder.current?.click()} aria-keyshortcuts="Shift+O">
        Bring a folder…
      </Button>
      <input ref={files} type="file" multiple hidden aria-label="Files" onChange={(event) => take(event.target)} />
      <input
        ref={folder}
        type="file"
        webkitdirectory=""
        hidden
        aria-label="Folder"
        onChange={(event) => take(event.target)}
      />
    </span>
  );
}

declare module 'react' {
  interface InputHTMLAttributes<T> {
    /** A folder instead of files; Chromium and Electron know it. */
    webkitdirectory?: T extends HTMLInputElement ? '' : never;
  }
}
