/** Scans with a known target and the printed card on one glass, for studies and tests of teaching. */
import { join } from 'node:path';
import sharp from 'sharp';
import type { PointMm, TargetLayout, TargetReference } from '../analysis/calibrate/calibration.ts';
import type { DeviceRaster } from '../analysis/raster/raster.ts';
import type { CalibrateTask } from '../electron/jobs/tasks.ts';
import { scanInfo } from '../electron/scans/scanInfo.ts';
import { parseReference } from '../electron/sheet/reference.ts';
import { type Card, cardInk, drawCard, paintCard } from '../sample-scans/generator/card.ts';
import { CARD } from '../sample-scans/generator/cardLayout.ts';
import { labText, measuredPatches } from '../sample-scans/generator/cgats.ts';
import { expose } from '../sample-scans/generator/expose.ts';
import { stream } from '../sample-scans/generator/random.ts';
import { type Scanner, toSignal } from '../sample-scans/generator/scanner.ts';
import { paintLid, type Placement } from '../sample-scans/generator/scene.ts';
import { layPaper, paintPaper } from '../sample-scans/generator/sheetOfPaper.ts';
import { WAVELENGTHS } from '../sample-scans/generator/spectra.ts';
import { cardPlacement, paintPrintedCard, printCard, type PrintedCard } from './printedCard.ts';

export interface Pieces {
  readonly known: Card;
  readonly reference: TargetReference;
  readonly printed: PrintedCard;
}

/** A known target of six varied colorants with an instrument's values, and a card from a printer with four. */
export function drawPieces(seed: number): Pieces {
  const known = drawCard(seed);
  const reference = parseReference(labText(known, measuredPatches(seed, known)), 'reference.txt');
  return { known, reference, printed: printCard(seed) };
}

export interface Glass {
  readonly dpi: number;
  /** Chooses noise, texture and places. */
  readonly seed: number;
  /** Where the pieces' middles lie, mm, and how they are turned. @default the known one above, the card below */
  readonly knownAt?: { readonly centreMm: PointMm; readonly angleDeg: number } | null;
  readonly cardAt?: { readonly centreMm: PointMm; readonly angleDeg: number } | null;
  readonly sizeMm?: PointMm;
}

export const GLASS_MM: PointMm = [184, 186];
export const KNOWN_MM: PointMm = [74, 48];
export const CARD_MM: PointMm = [92, 139];

export function scanTogether({ known, printed }: Pieces, scanner: Scanner, glass: Glass): DeviceRaster {
  const { dpi, seed, knownAt, cardAt, sizeMm = GLASS_MM } = glass;
  const random = stream(seed, 'place/together');
  const near = ([x, y]: PointMm): { centreMm: PointMm; angleDeg: number } => ({
    centreMm: [x + random.range(-1, 1), y + random.range(-1, 1)],
    angleDeg: random.range(-1, 1),
  });
  const [first, second] = [near(KNOWN_MM), near(CARD_MM)];
  const knownPlace: Placement | null =
    knownAt === null ? null : { widthMm: CARD.widthMm, heightMm: CARD.heightMm, ...(knownAt ?? first) };
  const { centreMm, angleDeg } = cardAt ?? second;
  const cardPlace = cardAt === null ? null : cardPlacement(centreMm, angleDeg);
  const lid = toSignal(
    scanner,
    WAVELENGTHS.map(() => scanner.lid),
  );
  const knownSheet =
    knownPlace && layPaper(seed, 'known', known.stock, toSignal(scanner, known.stock.reflectance), knownPlace, 0.6);
  const cardSheet =
    cardPlace && layPaper(seed, 'card', printed.stock, toSignal(scanner, printed.stock.reflectance), cardPlace, 0.6);
  const ink = cardInk(known, scanner);
  return expose(
    {
      widthMm: sizeMm[0],
      heightMm: sizeMm[1],
      paint: (band) => {
        paintLid(band, lid);
        if (knownSheet && knownPlace) {
          paintPaper(band, knownSheet);
          paintCard(band, knownPlace, known, ink);
        }
        if (cardSheet && cardPlace) {
          paintPaper(band, cardSheet);
          paintPrintedCard(band, cardPlace, printed, scanner);
        }
      },
    },
    scanner,
    { dpi, bits: 16, converterBits: 16 },
    stream(seed, 'noise/together'),
  );
}

/** Writes a raster as a scan of its own and says what a calibration needs of it. */
export async function asTask(
  folder: string,
  name: string,
  raster: DeviceRaster,
  layout: TargetLayout,
  reference: TargetReference,
): Promise<CalibrateTask> {
  const file = join(folder, `${name}.tif`);
  await sharp(raster.data, { raw: { width: raster.widthPx, height: raster.heightPx, channels: 3 } })
    .toColourspace(raster.bits === 16 ? 'rgb16' : 'srgb')
    .withDensity(raster.dpi)
    .tiff({ compression: 'none' })
    .toFile(file);
  const info = await scanInfo(file);
  return { task: 'calibrate', info, dpi: raster.dpi, layout, reference, pointsMm: null, white: null };
}
