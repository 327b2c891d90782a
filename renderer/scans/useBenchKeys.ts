/** What the Scans page does with the keyboard, and the two things that its forms do as well. */
import { afterFrames } from '../look/afterFrames.ts';
import { announce } from '../look/announce.ts';
import type { SheetRegion } from '../../electron/backend/api.ts';
import { useKeys } from '../look/useKeys.ts';
import type { KeyBinding } from '../look/useKeys.ts';
import type { ViewHandle } from '../viewer/ScanViewer.tsx';
import { ARROWS } from './arrows.ts';
import { scanOf } from './bench.ts';
import type { Bench } from './bench.ts';
import { chosenWords, madeWords, placeWords, removedWords, toolWords } from './benchWords.ts';
import { changePins, withPin } from './pins.ts';
import { proposalScan } from './proposalScan.ts';
import { boxInView, keptOnScan, movedBox, resizedBox } from './regionGeometry.ts';
import { withBox } from './regionGesture.ts';
import { REGION_KINDS } from './regionKinds.ts';
import type { RegionKind } from './regionKinds.ts';
import { duplicated, proposedRegion } from './regionProposals.ts';
import { inMm, pxPerMmOf, scanSizeMm } from './scanMeasures.ts';
import { withScanOpened } from './scansAddress.ts';

/** Mm. */
const STEP = 0.1;
const FAR = 1;
const BESIDE = 3;

export interface BenchActions {
  readonly duplicate: () => void;
  readonly remove: () => void;
}

export function useBenchKeys(bench: Bench, lastKind: RegionKind, viewInSight: () => ViewHandle | null): BenchActions {
  const { ink, work, place, drafts, tool, setTool } = bench;
  const active = scanOf(bench, place.active);
  const chosen = drafts.regions.filter(({ id }) => place.chosen.includes(id));

  const makeNew = (): void => {
    const view = viewInSight()?.place;
    if (!active || !view) return;
    if (tool.tool === 'probe') {
      const { x: xPx, y: yPx } = view.view;
      changePins(ink, (board) => withPin(board, { scan: active.id, xPx, yPx, glimpse: null }));
      return;
    }
    const pxPerMm = pxPerMmOf(active);
    const size = scanSizeMm(active);
    if (pxPerMm === null || !size) {
      announce(noResolution(active.id));
      return;
    }
    const [left, top] = inMm([view.boxPx[0], view.boxPx[1]], pxPerMm);
    const [width, height] = inMm([view.boxPx[2], view.boxPx[3]], pxPerMm);
    const box = boxInView([left, top, width, height], size);
    const region = proposedRegion(lastKind, proposalScan(active, size), box, drafts.regions);
    setTool({ tool: 'choose' });
    bench.choose([region.id]);
    void drafts.add(region);
    announce(madeWords(region));
    focusMark(region.id);
  };

  const duplicate = (): void => {
    const copies: SheetRegion[] = [];
    let known = drafts.regions;
    for (const region of chosen) {
      const scan = scanOf(bench, region.scan);
      const size = scan && scanSizeMm(scan);
      if (!region.boxMm || !size) continue;
      const copy = duplicated(region, keptOnScan(movedBox(region.boxMm, BESIDE, BESIDE), size), known);
      known = [...known, copy];
      copies.push(copy);
      void drafts.add(copy);
    }
    if (copies.length === 0) return;
    bench.choose(copies.map(({ id }) => id));
    announce(madeWords(copies[0]));
    focusMark(copies[0].id);
  };

  const remove = (): void => {
    if (chosen.length === 0) return;
    bench.choose([]);
    drafts.remove(chosen.map(({ id }) => id));
    announce(removedWords(chosen));
  };

  const nudge = (byX: number, byY: number, resize: boolean): void => {
    const moved = chosen.flatMap((region) => {
      const scan = scanOf(bench, region.scan);
      const size = scan && scanSizeMm(scan);
      if (!region.boxMm || !size) return [];
      const box = resize ? resizedBox(region.boxMm, 'se', byX, byY) : movedBox(region.boxMm, byX, byY);
      return [withBox(region, keptOnScan(box, size))];
    });
    drafts.preview(moved);
    drafts.save();
    const words = placeWords(moved);
    if (words !== null) announce(words);
  };

  const step = (by: number): void => {
    const at = work.scans.findIndex(({ id }) => id === place.active);
    const next = work.scans.at((at + by + work.scans.length) % work.scans.length);
    if (!next) return;
    bench.setPlace(withScanOpened(place, next.id));
    announce(`Scan “${next.id}”.`);
  };

  useKeys('Scans', [
    ...REGION_KINDS.map(({ kind, key, word, explains }): KeyBinding => ({
      keys: key,
      does: `draw ${word.toLowerCase()}: ${explains}`,
      run: () => {
        if (active?.dpi === null) {
          announce(noResolution(active.id));
          return;
        }
        setTool({ tool: 'draw', kind });
        announce(toolWords(kind));
      },
    })),
    {
      keys: 'n',
      does:
        tool.tool === 'probe' ? 'pin the colour in the middle of the view' : 'a new region in the middle of the view',
      run: makeNew,
    },
    {
      keys: 'p',
      does: 'take or put down the probe',
      run: () => {
        const isTaken = tool.tool !== 'probe';
        setTool({ tool: isTaken ? 'probe' : 'choose' });
        announce(isTaken ? 'Probe: click a colour, or press N for the middle of the view.' : 'The probe is put down.');
      },
    },
    {
      keys: 'e',
      does: 'show or hide the map of ΔE00 from the pinned colour',
      run: () => {
        if (!bench.hasReference) announce('Pin a colour first: take the probe (P) and click on the scan.');
        else bench.setHeat(!bench.heat);
      },
    },
    { keys: '[', does: 'the scan before', run: () => step(-1) },
    { keys: ']', does: 'the next scan', run: () => step(1) },
    {
      keys: 'Ctrl+A',
      does: 'choose all regions on this scan',
      run: () => {
        const here = drafts.regions.filter(({ scan }) => scan === place.active).map(({ id }) => id);
        bench.choose(here);
        announce(chosenWords(here.length));
      },
    },
    {
      keys: 'Escape',
      does: 'give up a drag, put the tool down, or let go of what is chosen',
      run: () => {
        if (bench.drag.escape()) return;
        if (tool.tool !== 'choose') setTool({ tool: 'choose' });
        else bench.choose([]);
      },
    },
  ]);
  useKeys(
    'Chosen regions',
    chosen.length === 0
      ? []
      : [
          ...Object.entries(ARROWS).flatMap(([arrow, way]) => (way ? nudgeKeys(arrow, way, nudge) : [])),
          // Bound by the mark that has the focus (RegionMarks.tsx): links and buttons have an Enter of their own.
          { keys: 'Enter', does: 'from its box on the scan to its fields' },
          { keys: 'd', does: 'duplicate', run: duplicate },
          { keys: 'Delete / Backspace', does: 'remove', run: remove },
        ],
  );
  return { duplicate, remove };
}

/** Whoever made it by a key goes on from it: Tab and Enter lead into its fields. */
function focusMark(id: string): void {
  afterFrames(2, () => document.querySelector<SVGGElement>(`.region-mark [data-region="${CSS.escape(id)}"]`)?.focus());
}

function nudgeKeys(
  arrow: string,
  [x, y]: readonly [number, number],
  nudge: (byX: number, byY: number, resize: boolean) => void,
): KeyBinding[] {
  const by = (mm: number, resize: boolean) => (): void => nudge(x * mm, y * mm, resize);
  return [
    { keys: arrow, does: `move by ${STEP} mm`, run: by(STEP, false) },
    { keys: `Shift+${arrow}`, does: `move by ${FAR} mm`, run: by(FAR, false) },
    { keys: `Alt+${arrow}`, does: `resize by ${STEP} mm`, run: by(STEP, true) },
    { keys: `Alt+Shift+${arrow}`, does: `resize by ${FAR} mm`, run: by(FAR, true) },
  ];
}

function noResolution(scan: string): string {
  return `“${scan}” has no resolution, so nothing can be drawn on it. Enter its dpi first.`;
}
