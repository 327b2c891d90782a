/** On the back of a page: the ghost behind the lines' cores, and the dots that came through, marked and counted. */
import { memo, useEffect, useMemo, useState } from 'react';
import { shown as onScreen } from '../../analysis/colour/shown.ts';
import { bleedDots } from '../../analysis/measure/showThrough/bleedDots.ts';
import type { LabValue } from '../../analysis/quantity.ts';
import type { WorkScan } from '../../electron/backend/api.ts';
import { getLab } from '../api/client.ts';
import type { MarksRaster } from '../findings/marks/marksRaster.ts';
import { CasedPath } from '../findings/scan/cased.tsx';
import { ghostPicture } from './ghostPicture.ts';

interface Props {
  readonly ink: number;
  readonly scan: WorkScan;
  readonly raster: MarksRaster;
  readonly shown: { readonly ghost: boolean; readonly bleed: boolean };
  /** How many dots were told; null: not told. */
  readonly dots: number | null;
  readonly lineLab: LabValue;
  readonly pxPerScreen: number;
}

/** Drawn anew when the zoom changes, not while the view moves. */
export const ReverseMarks = memo(function ReverseMarks(props: Props) {
  const { ink, scan, raster, shown, dots, lineLab, pxPerScreen } = props;
  return (
    <>
      {shown.ghost && <Ghost ink={ink} scan={scan} raster={raster} lineLab={lineLab} />}
      {shown.bleed && <Dots raster={raster} told={dots} lineLab={lineLab} pxPerScreen={pxPerScreen} />}
    </>
  );
});

/** Larger boxes are mapped coarser; the map is for the eye. */
const MOST_CELLS = 1_500_000;

type GhostProps = Pick<Props, 'ink' | 'scan' | 'raster' | 'lineLab'>;

function Ghost({ ink, scan, raster, lineLab }: GhostProps) {
  const url = useGhostPicture({ ink, scan, raster, lineLab });
  const [x, y, width, height] = raster.boxPx;
  if (url === null) return null;
  return (
    <image href={url} x={x} y={y} width={width} height={height} preserveAspectRatio="none" className="ghost-map" />
  );
}

function useGhostPicture({ ink, scan, raster, lineLab }: GhostProps): string | null {
  const { id, dpi } = scan;
  const { key } = scan.colours;
  const [held, setHeld] = useState<{ readonly of: MarksRaster; readonly url: string } | null>(null);
  useEffect(() => {
    if (dpi === null) return;
    const stop = new AbortController();
    let url: string | null = null;
    const paint = async (): Promise<void> => {
      const [x, y, width, height] = raster.boxPx;
      const share = Math.min(1, Math.sqrt(MOST_CELLS / (width * height)));
      const lab = await getLab(
        ink,
        id,
        key,
        { x, y, width, height },
        Math.max(1, Math.floor(width * share)),
        stop.signal,
      );
      const canvas = document.createElement('canvas');
      canvas.width = lab.columns;
      canvas.height = lab.rows;
      const picture = new ImageData(
        ghostPicture(raster, lab, dpi / 25.4, onScreen(lineLab).rgb),
        lab.columns,
        lab.rows,
      );
      canvas.getContext('2d')?.putImageData(picture, 0, 0);
      canvas.toBlob((blob) => {
        if (!blob || stop.signal.aborted) return;
        url = URL.createObjectURL(blob);
        setHeld({ of: raster, url });
      });
    };
    // The tiles say what is wrong with the scan; without the map all else still tells.
    paint().catch(() => undefined);
    return () => {
      stop.abort();
      if (url !== null) URL.revokeObjectURL(url);
    };
  }, [ink, id, key, dpi, raster, lineLab]);
  return held?.of === raster ? held.url : null;
}

/** Rings keep clear of the dot, and are never too small to be seen, CSS px. */
const CLEAR = 4;
const LEAST = 7;

function Dots({
  raster,
  told,
  lineLab,
  pxPerScreen,
}: Pick<Props, 'raster' | 'lineLab' | 'pxPerScreen'> & { readonly told: number | null }) {
  const dots = useMemo(() => {
    const { data, columns, rows, boxPx } = raster;
    const [across, down] = [boxPx[2] / columns, boxPx[3] / rows];
    return bleedDots({ data, widthPx: columns, heightPx: rows }).map(({ x, y, r }) => ({
      x: boxPx[0] + x * across,
      y: boxPx[1] + y * down,
      r: r * Math.max(across, down),
    }));
  }, [raster]);
  const rings = dots.map(({ x, y, r }) => ({ x, y, r: Math.max(LEAST * pxPerScreen, r + CLEAR * pxPerScreen) }));
  // Two dots that touch are one mark: then numbers would contradict what was told.
  const numbered = told === null || told === dots.length;
  return (
    <g className="bleed-dots">
      <CasedPath d={rings.map(({ x, y, r }) => circle(x, y, r)).join('')} lab={lineLab} width={1.6} />
      {numbered &&
        rings.map(({ x, y, r }, i) => (
          <g
            // oxlint-disable-next-line react/no-array-index-key -- a dot has no name but its number
            key={i}
            transform={`translate(${x + 0.75 * r} ${y - 0.75 * r}) scale(${pxPerScreen})`}
            className="findings-region-name"
          >
            <text x={2} y={0}>
              {i + 1}
            </text>
          </g>
        ))}
    </g>
  );
}

function circle(x: number, y: number, r: number): string {
  return `M${x - r} ${y}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0Z`;
}
