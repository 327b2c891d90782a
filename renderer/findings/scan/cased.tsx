/** Lines that read on any scan: a colour far from what lies under them, cased in light and dark. */
import type { LabValue } from '../../../analysis/quantity.ts';
import { cssLab } from '../../look/Swatch.tsx';

interface Props {
  readonly d: string;
  readonly lab: LabValue;
  /** CSS px. */
  readonly width: number;
  readonly dashes?: string;
}

/** A path in scan px whose lines keep their width on the screen. */
export function CasedPath({ d, lab, width, dashes }: Props) {
  const dash = dashes === undefined ? {} : { strokeDasharray: dashes };
  return (
    <g fill="none" vectorEffect="non-scaling-stroke">
      <path
        d={d}
        vectorEffect="non-scaling-stroke"
        stroke="#000"
        strokeOpacity={0.35}
        strokeWidth={width + 3}
        {...dash}
      />
      <path
        d={d}
        vectorEffect="non-scaling-stroke"
        stroke="#fff"
        strokeOpacity={0.75}
        strokeWidth={width + 1.6}
        {...dash}
      />
      <path d={d} vectorEffect="non-scaling-stroke" stroke={cssLab(lab)} strokeWidth={width} {...dash} />
    </g>
  );
}
