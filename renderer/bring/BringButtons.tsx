import { Button } from '../look/Button.tsx';
import { useKeys } from '../look/useKeys.ts';
import { chooseFiles } from './chooseFiles.ts';

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
  const files = (): void => chooseFiles('files', ink);
  const folder = (): void => chooseFiles('folder', ink);
  useKeys('Files', [
    { keys: 'o', does: 'bring scans, a sheet or a target’s files', run: files },
    { keys: 'Shift+O', does: 'bring a folder', run: folder },
  ]);
  return (
    <span className="bring-buttons">
      <Button kind={strong ? 'strong' : 'usual'} onPress={files} aria-keyshortcuts="o">
        {words}
      </Button>
      <Button kind={strong ? 'usual' : 'plain'} onPress={folder} aria-keyshortcuts="Shift+O">
        Bring a folder…
      </Button>
    </span>
  );
}
