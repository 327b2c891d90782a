/** The tool in hand over one scan: choosing, moving and drawing regions, pinning colours, moving a target's points. */
import { useRef, useState } from 'react';
import type { WorkScan } from '../../electron/backend/api.ts';
import type { Point } from '../../analysis/raster/homography.ts';
import type { ViewPointer, ViewTool } from '../viewer/viewTool.ts';
import { chosenWith } from './bench.ts';
import type { Bench } from './bench.ts';
import { meanLab } from './labView.ts';
import type { LabView } from './labView.ts';
import { showLiveColour } from './liveColour.ts';
import { changePins, pinAt, withPin, withPinMoved } from './pins.ts';
import type { PinBoard } from './pins.ts';
import { drawnBox } from './regionGeometry.ts';
import type { BoxMm } from './regionGeometry.ts';
import { cursorOn, draggedRegions, gestureOn } from './regionGesture.ts';
import type { RegionGesture } from './regionGesture.ts';
import { regionAt } from './regionHits.ts';
import { proposedRegion } from './regionProposals.ts';
import { proposalScan } from './proposalScan.ts';
import { inMm, pxPerMmOf, scanSizeMm } from './scanMeasures.ts';
import type { TargetPoints } from './useTargetPoints.ts';

/** CSS px within which a handle, line or point is caught. */
const REACH = 9;

type Drag =
  | {
      readonly on: 'region';
      readonly gesture: RegionGesture;
      readonly start: Point;
      readonly id: string;
      moved: boolean;
    }
  | { readonly on: 'draw'; readonly from: Point }
  | { readonly on: 'pin'; readonly pin: number }
  | { readonly on: 'point'; readonly index: number };

export interface BenchToolOptions {
  readonly bench: Bench;
  readonly pins: PinBoard;
  readonly scan: WorkScan;
  readonly points: TargetPoints;
  readonly labView: LabView | null;
  readonly radiusPx: number;
}

export function useBenchTool({ bench, pins, scan, points, labView, radiusPx }: BenchToolOptions): {
  readonly tool: ViewTool;
  /** The box that is being drawn, mm. */
  readonly drawing: BoxMm | null;
} {
  const { ink, drafts, place } = bench;
  const drag = useRef<Drag | null>(null);
  const [drawing, setDrawing] = useState<BoxMm | null>(null);
  const pxPerMm = pxPerMmOf(scan);
  const size = scanSizeMm(scan);
  const here = drafts.regions.filter((region) => region.scan === scan.id);
  const hitAt = (p: ViewPointer) =>
    pxPerMm === null
      ? null
      : regionAt(inMm(p.scan, pxPerMm), here, place.chosen, (REACH * p.place.pxPerScreen) / pxPerMm);
  const pinUnder = (p: ViewPointer) => pinAt(pins, scan.id, p.scan, Math.max(radiusPx, REACH * p.place.pxPerScreen));
  const glimpse = (at: Point) => (labView ? meanLab(labView, at, radiusPx) : null);

  const begin = (p: ViewPointer): Drag | null => {
    if (bench.tool.tool === 'draw') return pxPerMm === null ? null : { on: 'draw', from: inMm(p.scan, pxPerMm) };
    const pin = pinUnder(p);
    if (pin) return { on: 'pin', pin: pin.id };
    if (bench.tool.tool === 'probe') return null;
    const point = points.at(p.scan, REACH * p.place.pxPerScreen);
    if (point !== null) return { on: 'point', index: point };
    if (pxPerMm === null || p.shift) return null;
    const hit = hitAt(p);
    const gesture = gestureOn(hit, inMm(p.scan, pxPerMm), here, place.chosen);
    return gesture && hit ? { on: 'region', gesture, start: p.screen, id: hit.id, moved: false } : null;
  };

  const giveUp = (): void => {
    drag.current = null;
    setDrawing(null);
    drafts.drop();
    points.drop();
    changePins(ink, (board) => (board.held === null ? board : { ...board, held: null }));
  };
  const tool: ViewTool = {
    press: (p) => {
      drag.current = begin(p);
      if (drag.current) bench.drag.begin(giveUp);
      if (drag.current?.on === 'pin') {
        const { pin } = drag.current;
        changePins(ink, (board) => ({ ...board, held: pin }));
      }
      return drag.current !== null;
    },
    drag: (p) => {
      const held = drag.current;
      if (held?.on === 'pin') {
        const lab = glimpse(p.scan);
        changePins(ink, (board) => withPinMoved(board, held.pin, p.scan, lab));
        showLiveColour(lab && { scan: scan.id, lab });
      } else if (held?.on === 'point') points.move(held.index, p.scan);
      else if (held && pxPerMm !== null && size) {
        const at = inMm(p.scan, pxPerMm);
        if (held.on === 'draw') setDrawing(drawnBox(held.from, at, size));
        else {
          held.moved ||= Math.hypot(p.screen[0] - held.start[0], p.screen[1] - held.start[1]) > 2;
          if (held.moved) drafts.preview(draggedRegions(held.gesture, at));
        }
      }
    },
    release: (p) => {
      const held = drag.current;
      drag.current = null;
      bench.drag.end();
      if (held?.on === 'pin') changePins(ink, (board) => ({ ...board, held: null }));
      else if (held?.on === 'point') points.settle();
      else if (held?.on === 'region') {
        if (held.moved) drafts.save();
        else bench.choose([held.id]);
      } else if (held?.on === 'draw' && pxPerMm !== null && size && bench.tool.tool === 'draw') {
        setDrawing(null);
        const box = drawnBox(held.from, inMm(p.scan, pxPerMm), size);
        if (!box) return;
        const region = proposedRegion(bench.tool.kind, proposalScan(scan, size), box, drafts.regions);
        bench.setTool({ tool: 'choose' });
        bench.choose([region.id]);
        void drafts.add(region);
      }
    },
    click: (p) => {
      if (bench.tool.tool === 'probe') {
        changePins(ink, (board) =>
          withPin(board, { scan: scan.id, xPx: p.scan[0], yPx: p.scan[1], glimpse: glimpse(p.scan) }),
        );
        return;
      }
      const hit = hitAt(p);
      if (hit) bench.choose(chosenWith(place.chosen, hit.id, p.shift));
      else if (!p.shift) bench.choose([]);
    },
    move: (p) => {
      const lab = p && labView ? meanLab(labView, p.scan, radiusPx) : null;
      showLiveColour(lab ? { scan: scan.id, lab } : null);
    },
    cursor: (p) => {
      if (bench.tool.tool === 'draw') return 'crosshair';
      if (pinUnder(p)) return 'move';
      if (bench.tool.tool === 'probe') return 'crosshair';
      if (points.at(p.scan, REACH * p.place.pxPerScreen) !== null) return 'move';
      return cursorOn(hitAt(p), place.chosen, here);
    },
  };
  return { tool, drawing };
}
