/** A region's edges as they were found, some of the widths between them, and the hairs that reach beyond. */
import { memo, useMemo } from 'react';
import type { LabValue } from '../../../analysis/quantity.ts';
import type { EdgeDetail, RegionDetail } from '../../../electron/backend/api.ts';
import { CasedPath } from '../scan/cased.tsx';
import { edgePath, hairPath, widthPath } from './edgePaths.ts';

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
export const EdgeMarks = memo(function EdgeMarks({ pxPerScreen, ...lines }: Props) {
  return pxPerScreen > MOST_PX_PER_SCREEN ? null : <SeenEdges {...lines} pxPerScreen={pxPerScreen} />;
});

/** Worked out only while they are seen, and what keeps its place on the scan only once: a flight is of many zooms. */
function SeenEdges({ detail, edge, shown, lineLab, pxPerScreen }: Props) {
  const edges = useMemo(() => (shown.edges ? edgePath(detail, edge) : null), [shown.edges, detail, edge]);
  const hairs = useMemo(() => (shown.hairs ? hairPath(detail, edge) : null), [shown.hairs, detail, edge]);
  return (
    <g className="findings-edges">
      {edges !== null && <CasedPath d={edges} lab={lineLab} width={1} />}
      {shown.widths && <CasedPath d={widthPath(detail, edge, TICK * pxPerScreen)} lab={lineLab} width={1.2} />}
      {hairs !== null && <CasedPath d={hairs} lab={lineLab} width={2} />}
    </g>
  );
}
