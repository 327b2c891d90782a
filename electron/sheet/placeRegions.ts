/** Regions on their scans: which lie where they can be measured, and why not the others. */
import { axisOf, axisOfBox, usualTravel } from '../../analysis/measure/strip/travelByBox.ts';
import type { ScanInfo } from '../scans/scanInfo.ts';
import type { LoadedRegion, LoadedScan, LoadedSheet } from './loadedSheet.ts';
import type { Sheet, SheetRegion } from './sheetSchema.ts';

/** A box may stick out by half a millimetre: people measure with a ruler. (And by what arithmetic makes of it.) */
const TOLERANCE_MM = 0.5 + 1e-6;

/** What of a scan its regions lie on. */
type Bed = Pick<LoadedScan, 'id' | 'dpi' | 'paper'> & { readonly info: Pick<ScanInfo, 'widthPx' | 'heightPx'> };

export function placeRegions(
  sheet: Pick<Sheet, 'regions'>,
  scans: ReadonlyMap<string, Bed>,
  unusable: ReadonlyMap<string, string>,
  warnings: string[],
): Pick<LoadedSheet, 'regions' | 'problems'> {
  const regions: LoadedRegion[] = [];
  const problems: { region: string; message: string }[] = [];
  for (const asGiven of sheet.regions) {
    const region = asGiven.kind === 'strip' ? lengthwise(asGiven, warnings) : asGiven;
    const scan = scans.get(region.scan);
    const message = unusable.get(region.scan) ?? (scan ? regionOffScan(region, scan) : null);
    if (message !== null) problems.push({ region: region.id, message });
    else
      regions.push({
        ...(region.kind === 'strip' ? withTravel(region, warnings) : region),
        paper: region.paper ?? scan?.paper ?? null,
      });
  }
  const asked = new Set(sheet.regions.map((r) => r.scan));
  for (const [id, message] of unusable) if (!asked.has(id)) warnings.push(`${message} (no region lies on it)`);
  return { regions, problems };
}

/** Why a region's box or distances do not lie on its scan; null: they do. */
export function regionOffScan(region: SheetRegion, scan: Omit<Bed, 'paper'>): string | null {
  const { boxMm } = region;
  if (!boxMm) return null;
  const [x, y, width, height] = boxMm;
  const scanWidth = (scan.info.widthPx / scan.dpi) * 25.4;
  const scanHeight = (scan.info.heightPx / scan.dpi) * 25.4;
  if (
    x < -TOLERANCE_MM ||
    y < -TOLERANCE_MM ||
    x + width > scanWidth + TOLERANCE_MM ||
    y + height > scanHeight + TOLERANCE_MM
  ) {
    return (
      `boxMm [${boxMm.map(mm).join(', ')}] reaches from (${mm(x)}, ${mm(y)}) to (${mm(x + width)}, ${mm(y + height)}) mm, ` +
      `but scan "${scan.id}" is ${mm(scanWidth)} × ${mm(scanHeight)} mm at ${scan.dpi} dpi; expected the box inside it. ` +
      `Correct the box or the dpi.`
    );
  }
  if (region.kind !== 'strip') return null;
  const along = region.travel === 'left' || region.travel === 'right' ? width : height;
  for (const [name, at] of [
    ['originMm', region.originMm],
    ['frontMm', region.frontMm],
  ] as const) {
    if (at !== undefined && at > along + TOLERANCE_MM) {
      return `${name} ${mm(at)} lies beyond its box, which is ${mm(along)} mm long; it counts from the box's edge. Correct it.`;
    }
  }
  if (region.originMm !== undefined && region.originMm === region.frontMm) {
    return `originMm and frontMm are both ${region.originMm}; expected the distance that the solvent ran between them. Correct one.`;
  }
  return null;
}

/** A strip that lies on its side, and of which nothing else is said, ran along its box. */
function lengthwise<R extends SheetRegion & { kind: 'strip' }>(region: R, warnings: string[]): R {
  const { boxMm, travel } = region;
  const axis = boxMm ? axisOfBox(boxMm) : null;
  if (!boxMm || axis === null || (travel !== undefined && axisOf(travel) === axis)) return region;
  if (travel === undefined) return axis === 'x' ? { ...region, travel: usualTravel(boxMm) } : region;
  warnings.push(
    `region "${region.id}": "travel" is "${travel}", across its box of ${mm(boxMm[2])} × ${mm(boxMm[3])} mm; a strip runs lengthwise. ` +
      `If the scan was turned, turn the travel with it: ${axis === 'x' ? '"left" or "right"' : '"up" or "down"'}`,
  );
  return region;
}

/** Two distances say which way the solvent went; a travel that says otherwise is a slip, and the distances are measured. */
function withTravel<R extends SheetRegion & { kind: 'strip' }>(region: R, warnings: string[]): R {
  const { originMm, frontMm, travel } = region;
  if (originMm === undefined || frontMm === undefined) return region;
  const across = travel === 'left' || travel === 'right';
  const told = frontMm < originMm ? (across ? 'left' : 'up') : across ? 'right' : 'down';
  if (travel !== undefined && travel !== told) {
    warnings.push(
      `region "${region.id}": "travel" is "${travel}", but from originMm ${originMm} to frontMm ${frontMm} the solvent ` +
        `went ${told}; the distances are taken`,
    );
  }
  return { ...region, travel: told };
}

function mm(value: number): string {
  return String(Math.round(value * 10) / 10);
}
