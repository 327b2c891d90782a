/** The boxes of a scan's regions with their names; the chosen ones stand out by weight. */
import { memo } from 'react';
import type { LabValue } from '../../../analysis/quantity.ts';
import type { SheetRegion } from '../../../electron/backend/api.ts';
import { nameAtBox, nameWidth } from '../../viewer/nameAtBox.ts';
import { CasedPath } from './cased.tsx';
import { boxPxOf } from './regionBox.ts';

/** Where a name stands, CSS px from its box's corner. */
const ABOVE = { x: 1, y: -6 } as const;

interface Props {
  readonly regions: readonly SheetRegion[];
  readonly dpi: number;
  readonly chosen: readonly string[];
  readonly lineLab: LabValue;
  readonly pxPerScreen: number;
}

/** Drawn anew when the zoom changes, not while the view moves. */
export const RegionBoxes = memo(function RegionBoxes({ regions, dpi, chosen, lineLab, pxPerScreen }: Props) {
  // The chosen ones last, over their neighbours.
  const order = regions.toSorted((a, b) => Number(chosen.includes(a.id)) - Number(chosen.includes(b.id)));
  const boxes = regions.map((region) => boxPxOf(region, dpi)).filter((box) => box !== null);
  return (
    <g>
      {order.map((region) => {
        const box = boxPxOf(region, dpi);
        if (box === null) return null;
        const [x, y, width, height] = box;
        const isChosen = chosen.includes(region.id);
        return (
          <g key={region.id} data-region={region.id} {...(isChosen && { 'data-chosen': true })}>
            <CasedPath
              d={`M${x} ${y}h${width}v${height}h${-width}Z`}
              lab={lineLab}
              width={isChosen ? 2.5 : 1}
              {...(region.kind === 'paper' && { dashes: '6 4' })}
            />
            {(isChosen || width > nameWidth(region.id, pxPerScreen)) && (
              <RegionName
                words={region.id}
                x={x}
                y={y}
                at={nameAtBox(box, region.id, ABOVE, boxes, pxPerScreen)}
                strong={isChosen}
                pxPerScreen={pxPerScreen}
              />
            )}
          </g>
        );
      })}
    </g>
  );
});

interface NameProps {
  readonly words: string;
  readonly x: number;
  readonly y: number;
  /** CSS px from there. */
  readonly at: { readonly x: number; readonly y: number };
  readonly strong: boolean;
  readonly pxPerScreen: number;
}

/** Above the box's corner or in its edge, with a halo, so that it reads on any scan and hides little. */
function RegionName({ words, x, y, at, strong, pxPerScreen }: NameProps) {
  return (
    <g transform={`translate(${x} ${y}) scale(${pxPerScreen})`} className="findings-region-name">
      <text {...at} {...(strong && { 'data-chosen': true })}>
        {words}
      </text>
    </g>
  );
}
