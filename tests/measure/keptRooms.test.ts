/** A region measured in rooms that another was measured in before. */
import { expect, test } from 'vitest';
import { compileCalibration } from '../../analysis/calibrate/apply.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { barePaperOf } from '../../analysis/measure/barePaper.ts';
import { measureStrokes } from '../../analysis/measure/ink.ts';
import { KeptRooms, type Rooms } from '../../analysis/raster/rooms.ts';
import { draw, type Drawing, flatPaper } from './drawInk.ts';

const drawing: Drawing = {
  widthMm: 14,
  heightMm: 11,
  dpi: 600,
  paper: [0.86, 0.85, 0.82],
  absorption: [1.9, 1.2, 0.45],
  blurMm: 0.04,
  noise: 0.004,
  lines: [3, 6, 9].map((y) => ({ fromMm: [1, y], toMm: [13, y - 1], widthMm: 0.6, dose: (t) => 0.7 + 0.5 * t })),
};
const calibration = compileCalibration(nominalCalibration);
const signal = draw(drawing);

function measured(rooms?: Rooms) {
  return measureStrokes({
    id: 'r',
    signal,
    calibration,
    paper: flatPaper(drawing.paper),
    bare: barePaperOf(drawing.paper, calibration),
    scannerBlurMm: 0.045,
    scanFlags: [],
    ...(rooms && { rooms }),
  });
}

/** Rasters as text, which is quicker compared than number by number. */
function told(found: ReturnType<typeof measured>): string {
  return JSON.stringify(found, (_, value: unknown) =>
    ArrayBuffer.isView(value)
      ? Buffer.from(value.buffer, value.byteOffset, value.byteLength).toString('latin1')
      : value,
  );
}

test('reads the same, and keeps nothing that lies in them', () => {
  const plain = told(measured());
  const first: Uint8Array[] = [];
  const rooms = new KeptRooms();
  // Every room that is taken is remembered, so that it can be filled with what no raster holds.
  const watched: Rooms = {
    floats: (n) => seen(rooms.floats(n)),
    zeroFloats: (n) => seen(rooms.zeroFloats(n)),
    zeroCounts: (n) => seen(rooms.zeroCounts(n)),
    bytes: (n) => seen(rooms.bytes(n)),
    zeroBytes: (n) => seen(rooms.zeroBytes(n)),
  };
  function seen<T extends { readonly buffer: ArrayBuffer }>(room: T): T {
    first.push(new Uint8Array(room.buffer));
    return room;
  }
  const found = measured(watched);
  expect(told(found)).toBe(plain);
  expect(first.filter((room) => room.byteLength >= 65_536).length).toBeGreaterThan(10);
  for (const room of first) room.fill(0xab);
  expect(told(found)).toBe(plain);
  rooms.letGo();
  expect(told(measured(rooms))).toBe(plain);
});
