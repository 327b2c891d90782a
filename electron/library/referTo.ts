/** What refers to a scan or a region goes along when it is renamed or removed. */
import type { DocumentScan, DocumentTarget, InkDocument } from './document.ts';
import type { DocumentRegion } from './firstId.ts';

export function renamedRegion(document: InkDocument, from: string, to: string): InkDocument {
  if (from === to) return document;
  const regions = document.regions.map((region) =>
    'of' in region && region.of === from ? { ...region, of: to } : region,
  );
  return { ...document, regions };
}

/** The scan itself bears its new name already. */
export function renamedScan(document: InkDocument, from: string, to: string): InkDocument {
  if (from === to) return document;
  const target = (t: DocumentTarget): DocumentTarget => ({
    ...t,
    ...(t.scan === from && { scan: to }),
    ...(t.white === from && { white: to }),
  });
  return {
    ...document,
    ...(document.target && { target: target(document.target) }),
    scans: document.scans.map((scan) => ({
      ...scan,
      ...(scan.of === from && { of: to }),
      ...(scan.target && { target: target(scan.target) }),
    })),
    regions: document.regions.map((region) => (region.scan === from ? { ...region, scan: to } : region)),
  };
}

/** Regions that named a removed one stay, without the link. */
export function withoutRegions(document: InkDocument, ids: readonly string[]): InkDocument {
  const regions = document.regions
    .filter((region) => !ids.includes(region.id))
    .map((region): DocumentRegion => {
      if (!('of' in region) || region.of === undefined || !ids.includes(region.of)) return region;
      const { of: _, ...rest } = region;
      return rest;
    });
  return { ...document, regions };
}

/** Scans leave with their regions and with targets that lie in them; a back that loses its front stays, a target its white sheet, too. */
export function withoutScans(document: InkDocument, ids: readonly string[]): InkDocument {
  const { target: all, ...rest } = document;
  const left = (named: DocumentTarget | undefined): DocumentTarget | null => {
    if (!named || ids.includes(named.scan)) return null;
    const { white, ...target } = named;
    return white === undefined || ids.includes(white) ? target : named;
  };
  const target = left(all);
  const scans = document.scans
    .filter((scan) => !ids.includes(scan.id))
    .map(({ of, target: named, ...scan }): DocumentScan => {
      const own = left(named);
      return { ...scan, ...(of !== undefined && !ids.includes(of) && { of }), ...(own && { target: own }) };
    });
  const gone = document.regions.filter((region) => ids.includes(region.scan)).map((region) => region.id);
  return withoutRegions({ ...rest, ...(target && { target }), scans }, gone);
}
