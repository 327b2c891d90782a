/** One region of a sheet: read, linearised, measured by what is loaded for its kind. Runs in a worker. */
import { linearRoom } from '../../analysis/calibrate/apply.ts';
import { scaleCounter } from '../../analysis/calibrate/scaleUse.ts';
import { type InkMeasure, measureStrokes, measureSwab } from '../../analysis/measure/ink.ts';
import { isMostlyCut } from '../../analysis/measure/mostlyCut.ts';
import { measurePaper } from '../../analysis/measure/paper.ts';
import type { RegionInput } from '../../analysis/measure/region.ts';
import type { Rooms } from '../../analysis/raster/rooms.ts';
import type { Flag } from '../../analysis/quantity.ts';
import { keepsItsScale } from '../scans/otherSettings.ts';
import { compiled } from './compiled.ts';
import { freeRoom } from './freeRoom.ts';
import { readFront } from './frontOf.ts';
import { withRoom } from './keptRoom.ts';
import { isLarge } from './largeRegion.ts';
import { linearBox } from './scanBands.ts';
import type { RegionResult, RegionTask } from './tasks.ts';
import { withFlags } from './withFlags.ts';

export function measureRegion(task: RegionTask): Promise<RegionResult> {
  return withRoom(task.boxPx, (rooms) => measureIn(rooms, task));
}

async function measureIn(rooms: Rooms, task: RegionTask): Promise<RegionResult> {
  const { id, info, dpi, measure } = task;
  const calibration = compiled(task.calibration);
  const [, , width, height] = task.boxPx;
  const scale = measure.kind === 'strip' && keepsItsScale(info) ? scaleCounter(info.bits) : null;
  const signal = await linearBox(info, dpi, task.boxPx, calibration, linearRoom(width * height, rooms), (band) =>
    scale?.take(band),
  );
  const large = isLarge(task.boxPx);
  if (large) freeRoom();
  const input: RegionInput = {
    id,
    signal,
    spendSignal: true,
    rooms,
    ...(large && { onLetGo: freeRoom }),
    calibration,
    paper: task.paper,
    bare: task.bare,
    resampled: task.resampled === true,
    scannerBlurMm: task.scannerBlurMm,
    scanFlags: task.scanFlags,
  };
  const nothing = { id, ink: null, marks: null, spread: null, strip: null };
  switch (measure.kind) {
    case 'paper':
      return { ...nothing, quantities: measurePaper(input) };
    case 'strokes':
      return ofWholeStrokes(inkResult(input, measureStrokes({ ...input, nibWidthMm: measure.nibWidthMm ?? null })));
    case 'swab':
      return inkResult(input, measureSwab(input));
    case 'bar': {
      const { measureBar } = await import('../../analysis/measure/opacity/measureBar.ts');
      const { quantities, bar, marks } = measureBar(input);
      const { widthPx, heightPx } = signal;
      return { ...nothing, quantities, bar, marks: marks && { data: marks, widthPx, heightPx } };
    }
    case 'reverse': {
      const { measureReverse } = await import('../../analysis/measure/showThrough/measureReverse.ts');
      const front = measure.front && (await readFront(measure.front));
      const { quantities, marks, registration } = measureReverse({
        id,
        back: signal,
        calibration,
        front,
        scanFlags: task.scanFlags,
        page: measure.page,
      });
      const { widthPx, heightPx } = signal;
      return { ...nothing, quantities, registration, marks: marks && { data: marks, widthPx, heightPx } };
    }
    case 'strip': {
      const { measureStrip } = await import('../../analysis/measure/strip/measureStrip.ts');
      const strip = measureStrip({ ...measure, id, signal, calibration });
      const quantities = strip.quantities.map((q) => ({ ...q, flags: [...new Set([...task.scanFlags, ...q.flags])] }));
      return { ...nothing, quantities, strip: { ...strip, quantities }, ...(scale && { scale: scale.done() }) };
    }
  }
}

/** Pieces of strokes are too little to tell a sample by, however many pixels they have. */
function ofWholeStrokes(result: RegionResult): RegionResult {
  const { marks } = result;
  if (marks === null || !isMostlyCut(marks.data, marks.widthPx)) return result;
  return withFlags(result, (flags) => [...new Set<Flag>([...flags, 'few-pixels'])]);
}

function inkResult(input: RegionInput, measured: InkMeasure): RegionResult {
  const { widthPx, heightPx } = input.signal;
  return {
    id: input.id,
    quantities: measured.quantities,
    ink: measured.ink,
    marks: measured.marks && { data: measured.marks, widthPx, heightPx },
    spread: measured.spread,
    doses: measured.doses,
    edge: measured.edge,
    strip: null,
  };
}
