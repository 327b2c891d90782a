/** The card on the glass: its scan, layout, reference and truth. */
import type { TargetLayout } from '../../analysis/calibrate/calibration.ts';
import { xyzToLab } from '../../analysis/colour/lab.ts';
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import { cardInk, drawCard, paintCard } from './card.ts';
import { CARD } from './cardLayout.ts';
import { labText, measuredPatches, spectraText } from './cgats.ts';
import { expose } from './expose.ts';
import { stream } from './random.ts';
import { toSignal } from './scanner.ts';
import { paintLid, toScan } from './scene.ts';
import type { Placement, Scene } from './scene.ts';
import { layPaper, paintPaper } from './sheetOfPaper.ts';
import { toXyz } from './spectra.ts';
import type { TargetTruth } from './truth.ts';
import type { Work } from './work.ts';

export interface CardFiles {
  readonly layout: TargetLayout;
  readonly referenceText: string;
  readonly referenceSpectraText: string;
}

/** Lid seen around the card, mm. */
const AROUND_MM = 4;

export function renderTarget(work: Work): { raster: DeviceRaster; card: CardFiles; truth: TargetTruth } {
  const { seed, options, scanner } = work;
  const cardSeed = options.cardSeed ?? seed;
  const card = drawCard(cardSeed);
  const random = stream(seed, 'place/card');
  const drawn = random.range(-2, 2);
  const angleDeg = options.cardRotationDeg ?? drawn;
  const a = (angleDeg * Math.PI) / 180;
  const spread = (w: number, h: number): number => Math.abs(w * Math.cos(a)) + Math.abs(h * Math.sin(a));
  const widthMm = Math.ceil(spread(CARD.widthMm, CARD.heightMm) + 2 * AROUND_MM);
  const heightMm = Math.ceil(spread(CARD.heightMm, CARD.widthMm) + 2 * AROUND_MM);
  const place: Placement = {
    widthMm: CARD.widthMm,
    heightMm: CARD.heightMm,
    centreMm: [widthMm / 2 + random.range(-1.5, 1.5), heightMm / 2 + random.range(-1.5, 1.5)],
    angleDeg,
  };
  const stock = toSignal(scanner, card.stock.reflectance);
  const sheet = layPaper(seed, 'card', card.stock, stock, place, 0.6 * options.texture);
  const print = cardInk(card, scanner);
  const scene: Scene = {
    widthMm,
    heightMm,
    paint: (band) => {
      paintLid(band, work.lid);
      paintPaper(band, sheet);
      paintCard(band, place, card, print);
    },
  };
  const raster = expose(scene, scanner, options, stream(seed, 'noise/target'));
  const measured = measuredPatches(cardSeed, card);
  const fiducialsMm = card.layout.pointsMm.map((p) => toScan(place, [p[0] + CARD.marginMm, p[1] + CARD.marginMm]));
  const pxPerMm = options.dpi / 25.4;
  return {
    raster,
    card: {
      layout: card.layout,
      referenceText: labText(card, measured),
      referenceSpectraText: spectraText(card, measured),
    },
    truth: {
      place,
      fiducialsMm,
      fiducialsPx: fiducialsMm.map((p) => [p[0] * pxPerMm, p[1] * pxPerMm] as const),
      stock: xyzToLab(toXyz(card.stock.reflectance)),
      patches: Object.fromEntries(card.layout.patches.map((p, i) => [p.id, xyzToLab(toXyz(card.patches[i]))])),
    },
  };
}
