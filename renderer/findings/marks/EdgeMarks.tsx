/** A region's edges as they were found, some of the widths between them, and the hairs that reach beyond. */
import { memo, useMemo } from 'react';
import type { LabValue } from '../../../analysis/quantity.ts';
import type { EdgeDetail, RegionDetail } from '../../../electron/backend/api.ts';
import { CasedPath } from '../scan/cased.tsx';
import { edgePaths } from './edgePaths.ts';

/** Where a scan's pixel is smaller than this on the screen, an edge's line would hide the ink between two of them. */
const MOST_PX_PER_SCREEN = 0.75;
/** Half of a whisker's tick, CSS px. */
const TICK = 3;

interface Props {
  readonly detail: RegionDetail;
  readonly edge: EdgeDetail;
  readonly shown: { readonly edges: boolean; readonly widths: boolean; readonly hairs: boolean };
  readonly lineLab: LabValue;
  readonly pxPerScreen: number;
}

/** Drawn anew when the zoom changes, not while the view moves. */
export const EdgeMarks = memo(function EdgeMarks({ detail, edge, shown, lineLab, pxPerScreen }: Props) {
  const paths = useMemo(() => edgePaths(detail, edge, TICK * pxPerScreen), [detail, edge, pxPerScreen]);
  if (pxPerScreen > MOST_PX_PER_SCREEN) return null;
  return (
    <g className="findings-edges">
      {shown.edges && <CasedPath d={paths.edges} lab={lineLab} width={1} />}
      {shown.widths && <CasedPath d={paths.widths} lab={lineLab} width={1.2} />}
      {shown.hairs && <CasedPath d={paths.hairs} lab={lineLab} width={2} />}
    </g>
  );
});
