/** A strip on its scan: origin, front and bands on the strip itself, and its profile beside or under it, aligned at every zoom. */
import { memo } from 'react';
import type { LabValue } from '../../../analysis/quantity.ts';
import type { RegionDetail, StripDetail } from '../../../electron/backend/api.ts';
import { CasedPath } from '../scan/cased.tsx';
import type { ProfileSize } from './stripPlace.ts';
import { StripProfile } from './StripProfile.tsx';

export interface StripOverlayProps {
  readonly detail: RegionDetail;
  readonly strip: StripDetail;
  readonly dpi: number;
  readonly pxPerScreen: number;
  readonly size: ProfileSize;
  readonly lineLab: LabValue;
  /** R_F with its ± by band, in words. */
  readonly bandWords: ReadonlyMap<number, string>;
  readonly chosenBand: number | null;
}

/** Drawn anew when the zoom changes, not while the view moves. */
export const StripOverlay = memo(function StripOverlay(props: StripOverlayProps) {
  const { detail, strip, dpi, lineLab, chosenBand } = props;
  const across = acrossLines(detail.boxPx, strip, dpi);
  return (
    <g>
      <CasedPath d={across(strip.originMm, 1) + across(strip.frontMm, 1)} lab={lineLab} width={1.3} dashes="8 4" />
      {strip.bands.map((band) => (
        <CasedPath
          key={band.band}
          d={across(band.centreMm, band.band === chosenBand ? 0.22 : 0.16)}
          lab={lineLab}
          width={band.band === chosenBand ? 3 : 1.6}
        />
      ))}
      <StripProfile {...props} />
    </g>
  );
});

/** Path data of a line across the strip at a place along it: whole, or a tick at either edge. */
function acrossLines(
  [x, y, width, height]: RegionDetail['boxPx'],
  { travel }: StripDetail,
  dpi: number,
): (mm: number | null, share: number) => string {
  const standing = travel === 'up' || travel === 'down';
  return (mm, share) => {
    if (mm === null) return '';
    const along = (mm * dpi) / 25.4;
    const whole = share >= 1;
    if (standing) {
      const [at, tick] = [y + along, width * share];
      return whole ? `M${x} ${at}h${width}` : `M${x} ${at}h${tick}M${x + width} ${at}h${-tick}`;
    }
    const [at, tick] = [x + along, height * share];
    return whole ? `M${at} ${y}v${height}` : `M${at} ${y}v${tick}M${at} ${y + height}v${-tick}`;
  };
}
