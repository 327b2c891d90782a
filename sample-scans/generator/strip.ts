/** A chromatography strip on the glass: a lane of parted dyes on filter paper, origin line, tideline at the front. */
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import { xyzToLab } from '../../analysis/colour/lab.ts';
import { runDye } from './chromatography.ts';
import type { Profile } from './chromatography.ts';
import { expose } from './expose.ts';
import { laneOf } from './lane.ts';
import { laneTable, stripMarks } from './laneColour.ts';
import type { StripOrder } from './laneColour.ts';
import { drawPaper } from './paper.ts';
import { stream } from './random.ts';
import { toSignal } from './scanner.ts';
import { paintLid, toScan } from './scene.ts';
import type { Band, Placement } from './scene.ts';
import type { StripRegion } from './sheetFile.ts';
import { layPaper, paintPaper } from './sheetOfPaper.ts';
import { toXyz } from './spectra.ts';
import { STRIP, paintLane, stripPoint } from './stripPaint.ts';
import { stripNumbers } from './stripTruth.ts';
import type { StripTruth } from './stripTruth.ts';
import type { Work } from './work.ts';

/** The region's box lies this far inside the strip's edges. */
const INSET_MM = 1.3;

export interface StripScan {
  readonly raster: DeviceRaster;
  readonly region: StripRegion;
  readonly truth: StripTruth;
}

export function renderStrip(work: Work, run: 'fresh' | 'dried'): StripScan {
  const { seed, ink, scanner, options } = work;
  const paper = drawPaper(options.paperSeed ?? seed, 'filter', 'strip');
  const order: StripOrder = { seed, run, ink, paper, scanner };
  const random = stream(seed, `strip/${run}`);
  const across = options.travel === 'left' || options.travel === 'right';
  const size: readonly [number, number] = [STRIP.breadthMm + 2 * STRIP.roundMm, STRIP.lengthMm + 2 * STRIP.roundMm];
  const [widthMm, heightMm] = across ? [size[1], size[0]] : size;
  const place: Placement = {
    widthMm: across ? STRIP.lengthMm : STRIP.breadthMm,
    heightMm: across ? STRIP.breadthMm : STRIP.lengthMm,
    centreMm: [widthMm / 2 + random.range(-1, 1), heightMm / 2 + random.range(-1, 1)],
    angleDeg: random.range(-0.3, 0.3),
  };
  // Along the strip, from its starting end.
  const originAt = random.range(14, 18);
  const travelledMm = random.range(68, 76);
  const profiles = options.blankStrip ? [] : parted(order, travelledMm);
  const lane = laneOf(seed, run, originAt, travelledMm);
  const signal = toSignal(scanner, paper.reflectance);
  const sheet = layPaper(seed, `strip/${run}`, paper, signal, place, options.texture);
  const colours = profiles.length > 0 ? laneTable(order, profiles) : null;
  const marks = stripMarks(order);
  const scene = {
    widthMm,
    heightMm,
    paint: (band: Band): void => {
      paintLid(band, work.lid);
      paintPaper(band, sheet);
      paintLane(band, place, options.travel, lane, colours, marks);
    },
  };
  const raster = expose(scene, scanner, options, stream(seed, `noise/strip-${run}`));

  const box: [number, number, number, number] = [
    tenth(place.centreMm[0] - place.widthMm / 2 + INSET_MM),
    tenth(place.centreMm[1] - place.heightMm / 2 + INSET_MM),
    tenth(place.widthMm - 2 * INSET_MM),
    tenth(place.heightMm - 2 * INSET_MM),
  ];
  const fromBox = (along: number): number => {
    const p = toScan(place, stripPoint(options.travel, along));
    return Math.round(1000 * (across ? p[0] - box[0] : p[1] - box[1])) / 1000;
  };
  const originMm = fromBox(originAt);
  const frontMm = fromBox(originAt + travelledMm);
  const numbers =
    profiles.length > 0
      ? stripNumbers(ink, paper.reflectance, profiles, travelledMm)
      : { bands: [], originRetainedPercent: 0 };
  return {
    raster,
    region: { id: run, kind: 'strip', boxMm: box, run, originMm, frontMm, travel: options.travel },
    truth: {
      scan: `strip-${run}`,
      run,
      paper: [...paper.reflectance],
      paperColour: xyzToLab(toXyz(paper.reflectance)),
      originMm,
      frontMm,
      travelledMm,
      ...numbers,
    },
  };
}

/** Each dye's profile; a dried spot holds its dyes harder, lets less go, and moves less. */
function parted(order: StripOrder, frontMm: number): Profile[] {
  const { seed, run, ink } = order;
  const setting = stream(seed, 'strip/liquid');
  const spotMm = setting.range(1.6, 2.5);
  const dispersionMm = setting.range(0.03, 0.07);
  const load = setting.range(8, 14);
  const drag = setting.range(0.88, 0.97);
  return ink.dyes.map((dye, i) => {
    const habit = stream(seed, `strip/dye${i}`);
    const releasePerMm = habit.range(5, 11);
    const halfFull = habit.range(2, 6);
    const dried = run === 'dried';
    return runDye(
      { frontMm, spotMm, dispersionMm },
      {
        mobility: dye.mobility * (dried ? drag : 1),
        releasePerMm: releasePerMm * (dried ? 0.85 : 1),
        halfFull,
        load,
        bound: dried ? dye.boundDried : dye.boundFresh,
      },
    );
  });
}

function tenth(mm: number): number {
  return Math.round(mm * 10) / 10;
}
