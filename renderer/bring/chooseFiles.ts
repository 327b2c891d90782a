/** The system's dialog for files or for a folder. */
import { bring } from './bringing.ts';
import { filesIn } from './walkDropped.ts';

/**
 * The input is no part of a page: one may be left while the dialog is open, by a batch that ends meanwhile and shows its ink, and what is chosen
 * then would be brought to nobody.
 * @param ink The ink that takes the scans; null: a new one.
 */
export function chooseFiles(what: 'files' | 'folder', ink: number | null): void {
  const input = document.createElement('input');
  input.type = 'file';
  input.hidden = true;
  if (what === 'folder') input.webkitdirectory = true;
  else input.multiple = true;
  input.addEventListener('change', () => {
    input.remove();
    void bring(filesIn(input), ink);
  });
  input.addEventListener('cancel', () => input.remove());
  document.body.append(input);
  input.click();
}
