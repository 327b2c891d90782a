/** Over the grid: what is shown of it, at which scale, and how to take it along. */
import { copyTable } from '../findings/tables/clipboardTable.ts';
import { announce } from '../look/announce.ts';
import { Button } from '../look/Button.tsx';
import { PapersLink } from '../opacity/PapersLink.tsx';
import { gridTable } from './gridTable.ts';
import type { NibGrid } from './nibGrid.ts';
import { PictureScale } from './PictureScale.tsx';

interface Props {
  readonly inkId: number;
  /** Its name. */
  readonly ink: string;
  readonly grid: NibGrid;
  readonly values: boolean;
  readonly onValues: () => void;
  readonly mmPerPx: number;
  readonly onZoom: (by: 1 | -1) => void;
  /** Address of the tables of findings. */
  readonly tables: string;
}

export function GridHead({ inkId, ink, grid, values, onValues, mmPerPx, onZoom, tables }: Props) {
  return (
    <div className="writing-head headed-page-head">
      <h2>
        {/* On paper nothing else says which ink it is. */}
        <span className="writing-ink">{ink}: </span>Nibs and papers
      </h2>
      <Button kind="plain" chosen={values} onPress={onValues} aria-keyshortcuts="v">
        Values
      </Button>
      <PictureScale label="Scale of all pictures" mmPerPx={mmPerPx} onZoom={onZoom} />
      <span className="writing-ways">
        <Button kind="plain" onPress={() => copyTable(gridTable(grid))}>
          Copy as a table
        </Button>
        <Button kind="plain" onPress={() => void print()}>
          Print
        </Button>
        <PapersLink ink={inkId} group="Nibs and papers" />
        <a href={tables} aria-keyshortcuts="g">
          Tables of findings
        </a>
      </span>
    </div>
  );
}

/** An A4 page across with margins of 8 mm, CSS px. */
const PRINTED_WIDTH = 1060;

/** Pictures below the fold may not have come yet: they go onto the paper, too. */
async function print(): Promise<void> {
  const pictures = [...document.querySelectorAll<HTMLImageElement>('.writing img')];
  const waiting = pictures.filter(({ complete }) => !complete);
  if (waiting.length > 0) announce('Fetching the pictures that have not been seen yet…');
  for (const picture of pictures) picture.loading = 'eager';
  await Promise.allSettled(waiting.map((picture) => picture.decode()));
  const page = document.querySelector<HTMLElement>('.writing');
  const table = document.querySelector<HTMLElement>('.nib-grid');
  // The scale's bar shrinks along, so that it stays true.
  if (page && table) page.style.setProperty('--print-zoom', String(Math.min(1, PRINTED_WIDTH / table.offsetWidth)));
  window.print();
}
