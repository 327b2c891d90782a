/** Which papers lie where on the scans of a sheet. */
import type { BoxPx } from '../scans/readScan.ts';
import type { ScanInfo } from '../scans/scanInfo.ts';
import type { LoadedRegion, LoadedScan } from '../sheet/loadedSheet.ts';

/** A paper is known by its scan and its name; a region without a name is on the scan's one paper. */
export function paperKey(region: LoadedRegion): string {
  return `${region.scan}\n${region.paper ?? ''}`;
}

export function paperName(region: LoadedRegion): string {
  return region.paper ?? region.scan;
}

export interface PaperGroup {
  readonly scan: LoadedScan;
  readonly paper: string;
  readonly boxPx: BoxPx;
  readonly markedPx: readonly BoxPx[];
  readonly writtenPx: readonly BoxPx[];
}

/** Bare paper is looked for this far around a paper's regions, mm. */
const AROUND_MM = 6;

export function papersOf(
  scans: ReadonlyMap<string, LoadedScan>,
  regions: readonly LoadedRegion[],
): ReadonlyMap<string, PaperGroup> {
  const groups = new Map<string, LoadedRegion[]>();
  // Strips and reverses are judged against the paper next to what is on them.
  for (const region of regions) {
    if (region.kind === 'strip' || region.kind === 'reverse') continue;
    groups.set(paperKey(region), [...(groups.get(paperKey(region)) ?? []), region]);
  }
  return new Map(
    [...groups].map(([key, members]) => {
      const scan = scans.get(members[0].scan)!;
      const boxes = members.map((m) => m.boxMm!);
      const left = Math.min(...boxes.map((b) => b[0])) - AROUND_MM;
      const top = Math.min(...boxes.map((b) => b[1])) - AROUND_MM;
      const right = Math.max(...boxes.map((b) => b[0] + b[2])) + AROUND_MM;
      const bottom = Math.max(...boxes.map((b) => b[1] + b[3])) + AROUND_MM;
      return [
        key,
        {
          scan,
          paper: paperName(members[0]),
          boxPx: toPx([left, top, right - left, bottom - top], scan),
          markedPx: members.filter((m) => m.kind === 'paper').map((m) => toPx(m.boxMm!, scan)),
          writtenPx: members.filter((m) => m.kind === 'strokes').map((m) => toPx(m.boxMm!, scan)),
        },
      ];
    }),
  );
}

/** What of a scan its boxes need. */
export interface OfSize {
  readonly dpi: number;
  readonly info: Pick<ScanInfo, 'widthPx' | 'heightPx'>;
}

/** mm → whole pixels, clipped to the scan. */
export function toPx([x, y, width, height]: readonly [number, number, number, number], scan: OfSize): BoxPx {
  const k = scan.dpi / 25.4;
  const left = Math.max(0, Math.round(x * k));
  const top = Math.max(0, Math.round(y * k));
  const right = Math.min(scan.info.widthPx, Math.round((x + width) * k));
  const bottom = Math.min(scan.info.heightPx, Math.round((y + height) * k));
  return [left, top, Math.max(1, right - left), Math.max(1, bottom - top)];
}
