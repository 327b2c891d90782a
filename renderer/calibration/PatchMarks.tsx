/** Marks on the scan: every patch as it was found, the worst with their figures, the chosen one by weight. */
import { memo } from 'react';
import type { LabValue } from '../../analysis/quantity.ts';
import { fixed } from '../../analysis/report/valueText.ts';
import type { ReportPatch } from '../../electron/backend/api.ts';
import { CasedPath } from '../findings/scan/cased.tsx';
import { isLeftOut } from './patchOrder.ts';
import { crossesOf, outlinesOf, patchBox, readPartsOf } from './patchPlaces.ts';

export interface PatchMarksProps {
  readonly patches: readonly ReportPatch[];
  readonly worst: readonly ReportPatch[];
  readonly chosen: ReportPatch | null;
  readonly lineLab: LabValue;
  readonly pxPerScreen: number;
}

/** Drawn anew when the zoom changes, not while the view moves. */
export const PatchMarks = memo(function PatchMarks({ patches, worst, chosen, lineLab, pxPerScreen }: PatchMarksProps) {
  const leftOut = patches.filter(isLeftOut);
  return (
    <g className="card-marks">
      <CasedPath d={outlinesOf(readPartsOf(patches))} lab={lineLab} width={0.6} />
      {leftOut.length > 0 && <CasedPath d={crossesOf(leftOut)} lab={lineLab} width={1} />}
      <CasedPath d={outlinesOf(worst)} lab={lineLab} width={1.4} />
      {chosen && <CasedPath d={outlinesOf([chosen])} lab={lineLab} width={3} />}
      {worst.map((patch) => (
        <PatchFigure key={patch.id} patch={patch} strong={patch === chosen} pxPerScreen={pxPerScreen} />
      ))}
      {chosen && !worst.includes(chosen) && <PatchFigure patch={chosen} strong pxPerScreen={pxPerScreen} />}
    </g>
  );
});

interface PatchFigureProps {
  readonly patch: ReportPatch;
  readonly strong: boolean;
  readonly pxPerScreen: number;
}

/** In the patch's middle, with a halo, so that it reads on any colour. */
function PatchFigure({ patch, strong, pxPerScreen }: PatchFigureProps) {
  const [x, y, width, height] = patchBox(patch);
  return (
    <g
      transform={`translate(${x + width / 2} ${y + height / 2}) scale(${pxPerScreen})`}
      data-worst={patch.id}
      {...(strong && { 'data-chosen': true })}
    >
      <text textAnchor="middle" y={5}>
        {fixed(patch.dE00LeftOut, 1)}
      </text>
    </g>
  );
}
