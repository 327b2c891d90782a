import { useEffect, useMemo, useState } from 'react';
import type { RegionDetail, WorkScan } from '../../electron/backend/api.ts';
import { cropUrl, getMarks, isAbort } from '../api/client.ts';
import type { ShownColour } from './shownColours.ts';
import { type BoxPx, type Marks, stripPiece, textureSquare } from './texturePlace.ts';

/** How much of the page a square of texture shows, mm: a stroke's dark or light end closely, else a few strokes. */
const SIDE_MM = { dark: 2.5, light: 2.5, halo: 2.5, ink: 4, paper: 4 } as const;
/** Pixels asked for across: enough for twice the density of most screens. */
const COLUMNS = 320;

export interface TextureProps {
  readonly ink: number;
  readonly scan: WorkScan;
  readonly detail: RegionDetail;
  readonly colour: ShownColour;
}

/** The piece of the real scan that a flat colour stands for. */
export function Texture({ ink, scan, detail, colour }: TextureProps) {
  const box = useTextureBox(ink, scan, detail, colour);
  if (!box) return <span className="reading-texture" aria-hidden="true" />;
  return (
    <img
      className="reading-texture"
      src={cropUrl(ink, scan.id, scan.colours.key, box, COLUMNS)}
      alt={`${colour.label}, as scanned`}
      decoding="async"
    />
  );
}

/** Null while it is not known where to look. */
function useTextureBox(ink: number, { dpi }: WorkScan, detail: RegionDetail, { part }: ShownColour): BoxPx | null {
  const marks = useMarks(ink, detail);
  return useMemo(() => {
    const pxPerMm = (dpi ?? 300) / 25.4;
    if (typeof part !== 'string') return stripPiece(detail, part, pxPerMm);
    return marks === 'on its way' ? null : textureSquare(detail, part, SIDE_MM[part] * pxPerMm, marks);
  }, [dpi, detail, part, marks]);
}

/** Null: there are none, and the middle of the box is the next best. */
function useMarks(ink: number, detail: RegionDetail): Marks | null | 'on its way' {
  const [got, setGot] = useState<{ readonly of: RegionDetail; readonly marks: Marks | null } | null>(null);
  useEffect(() => {
    if (!detail.marks) return;
    const stop = new AbortController();
    getMarks(ink, detail.region, stop.signal).then(
      (marks) => setGot({ of: detail, marks }),
      (error: unknown) => {
        if (!isAbort(error)) setGot({ of: detail, marks: null });
      },
    );
    return () => {
      stop.abort();
    };
  }, [ink, detail]);
  if (!detail.marks) return null;
  return got?.of === detail ? got.marks : 'on its way';
}
