/** A document in the words of a sheet: the same work, its files by names instead of content. */
import type { Sheet, SheetTarget } from '../sheet/sheetSchema.ts';
import type { DocumentTarget, InkDocument } from './document.ts';
import { sheetRegion } from './firstId.ts';

/** @param nameOf The name that a file gets in the sheet; `known` is the one it came with, where the document says it. */
export function documentSheet(document: InkDocument, nameOf: (hash: string, known?: string) => string): Sheet {
  const { ink, target, scans, regions, bench } = document;
  return {
    format: 'wetline-sheet/1',
    ink,
    ...(target && { target: { ...sheetTarget(target, nameOf), scan: target.scan } }),
    scans: scans.map(({ id, hash, name, target: own, ...rest }) => ({
      id,
      file: nameOf(hash, name),
      ...rest,
      ...(own && { target: sheetTarget(own, nameOf) }),
    })),
    regions: regions.map(sheetRegion),
    ...(bench && { bench }),
  };
}

function sheetTarget(target: DocumentTarget, nameOf: (hash: string) => string): SheetTarget {
  const { scan, layout, reference, pointsMm, white } = target;
  const points = pointsMm?.map(([x, y]): [number, number] => [x, y]);
  return {
    scan,
    layout: nameOf(layout),
    reference: nameOf(reference),
    ...(points && { pointsMm: [points[0], points[1], points[2], points[3]] }),
    ...(white !== undefined && { white }),
  };
}
