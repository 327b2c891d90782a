/** What of a target is needed to find it (a TargetLayout and a TargetReference are such). */
import { labToXyz, type LabD50 } from '../../colour/lab.ts';
import { srgbEncode, XYZ_D50_TO_RGB } from '../../colour/srgb.ts';
import { times } from '../../colour/adapt.ts';
import type { Point } from '../../raster/homography.ts';
import type { Rgb } from './colourRaster.ts';

export interface LocatedLayout {
  readonly name: string;
  /** Top left, top right, bottom right, bottom left, mm. */
  readonly pointsMm: readonly [Point, Point, Point, Point];
  readonly fiducial?: { readonly shape: 'disc'; readonly radiusMm: number; readonly eyeMm: number };
  readonly patches: readonly {
    readonly id: string;
    readonly boxMm: readonly [x: number, y: number, width: number, height: number];
  }[];
}

export interface KnownColours {
  readonly patches: ReadonlyMap<string, { readonly lab: LabD50 }>;
}

/** A patch with what a plain device would make of its known colour; null: not known. */
export interface ExpectedPatch {
  readonly boxMm: readonly [x: number, y: number, width: number, height: number];
  readonly centreMm: Point;
  readonly rgb: Rgb | null;
}

export function expectedPatches(layout: LocatedLayout, known: KnownColours | null): ExpectedPatch[] {
  return layout.patches.map(({ id, boxMm }) => {
    const [x, y, w, h] = boxMm;
    const lab = known?.patches.get(id)?.lab;
    return { boxMm, centreMm: [x + w / 2, y + h / 2], rgb: lab === undefined ? null : coded(lab) };
  });
}

/** Box round all patches and discs, mm: left, top, right, bottom. */
export function extentMm(layout: LocatedLayout): readonly [left: number, top: number, right: number, bottom: number] {
  const reach = layout.fiducial?.radiusMm ?? 0;
  const points = layout.fiducial === undefined ? [] : layout.pointsMm;
  const boxes = layout.patches.map((patch) => patch.boxMm);
  return [
    Math.min(...boxes.map((b) => b[0]), ...points.map((p) => p[0] - reach)),
    Math.min(...boxes.map((b) => b[1]), ...points.map((p) => p[1] - reach)),
    Math.max(...boxes.map((b) => b[0] + b[2]), ...points.map((p) => p[0] + reach)),
    Math.max(...boxes.map((b) => b[1] + b[3]), ...points.map((p) => p[1] + reach)),
  ];
}

/** As sRGB would code it, which is near enough to any scanner for telling patches apart. */
function coded(lab: LabD50): Rgb {
  const [r, g, b] = times(XYZ_D50_TO_RGB, labToXyz(lab)).map((v) => Math.min(1, srgbEncode(Math.max(0, v))));
  return [r, g, b];
}
