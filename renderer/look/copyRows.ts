/** A table onto the clipboard: as tabs for spreadsheets, as CSV for programs that ask for it. */
import { announce } from './announce.ts';
import type { Field } from './shownNumber.ts';

/** What writes it comes when it is asked for: every page with figures would run it as it opens. @param rows the head first */
export function copyRows(title: string, rows: () => Promise<readonly (readonly Field[])[]>): void {
  Promise.all([import('./spreadsheet.ts'), rows()]).then(
    ([{ tabText, csvText }, all]) => {
      const isCopied = copyBoth({ tabs: tabText(all), csv: csvText(all) });
      announce(isCopied ? `Copied the table “${title}”.` : 'The clipboard is not open to this window.');
    },
    () => announce('What copies tables did not come: see that Wetline runs, then load the window again.'),
  );
}

/** The copy command needs no permission and takes both. @returns whether it did */
function copyBoth({ tabs, csv }: { readonly tabs: string; readonly csv: string }): boolean {
  const fill = (event: ClipboardEvent): void => {
    event.clipboardData?.setData('text/plain', tabs);
    event.clipboardData?.setData('text/csv', csv);
    event.preventDefault();
    event.stopImmediatePropagation();
  };
  document.addEventListener('copy', fill, { capture: true, once: true });
  const copied = document.execCommand('copy');
  document.removeEventListener('copy', fill, { capture: true });
  return copied;
}
