/** The boxes of a scan's regions with their names; the chosen ones stand out by weight. */
import type { LabValue } from '../../../analysis/quantity.ts';
import type { SheetRegion } from '../../../electron/backend/api.ts';
import { CasedPath } from './cased.tsx';
import { boxPxOf } from './regionBox.ts';

interface Props {
  readonly regions: readonly SheetRegion[];
  readonly dpi: number;
  readonly chosen: readonly string[];
  readonly lineLab: LabValue;
  readonly pxPerScreen: number;
}

export function RegionBoxes({ regions, dpi, chosen, lineLab, pxPerScreen }: Props) {
  // The chosen ones last, over their neighbours.
  const order = regions.toSorted((a, b) => Number(chosen.includes(a.id)) - Number(chosen.includes(b.id)));
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
            <RegionName words={region.id} x={x} y={y} strong={isChosen} pxPerScreen={pxPerScreen} />
          </g>
        );
      })}
    </g>
  );
}

interface NameProps {
  readonly words: string;
  readonly x: number;
  readonly y: number;
  readonly strong: boolean;
  readonly pxPerScreen: number;
}

/** On a plate of panel grey above the box's corner, so that it reads on any scan. */
function RegionName({ words, x, y, strong, pxPerScreen }: NameProps) {
  const width = words.length * 7.2 + 10;
  return (
    <g transform={`translate(${x} ${y}) scale(${pxPerScreen})`} className="findings-region-name">
      <rect x={-1} y={-20} width={width} height={18} {...(strong && { 'data-chosen': true })} />
      <text x={4} y={-6.5} textLength={undefined} {...(strong && { 'data-chosen': true })}>
        {words}
      </text>
    </g>
  );
}
