/** A piece of a sample's lines as scanned, in calibrated colour and at the scale of all others. */
import type { SheetRegion, Work } from '../../electron/backend/api.ts';
import { type PictureSize, thumbnailOf } from './thumbnailPicture.ts';

interface Props {
  readonly work: Work;
  readonly region: SheetRegion;
  readonly mmPerPx: number;
  readonly size: PictureSize;
}

export function SamplePicture({ work, region, mmPerPx, size }: Props) {
  const scan = work.scans.find(({ id }) => id === region.scan);
  const url = scan ? thumbnailOf(work.ink.id, scan, region, mmPerPx, size, window.devicePixelRatio) : null;
  if (url === null) {
    const why =
      scan?.problem ?? (scan?.dpi === null ? 'The scan’s resolution is not known, so no scale is.' : 'No picture.');
    return (
      <span className="nib-no-picture" style={size}>
        {why}
      </span>
    );
  }
  return <img src={url} alt="" width={size.width} height={size.height} loading="lazy" decoding="async" />;
}
