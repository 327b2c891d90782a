/** Views of scans: places, rulers, one scale for several, and what the address keeps of them. */
import * as fc from 'fast-check';
import { afterAll, describe, expect, test, vi } from 'vitest';
import { readScansPlace, withScanOpened, withScanToggled, writeScansPlace } from '../../renderer/scans/scansAddress.ts';
import { afterFrames } from '../../renderer/look/afterFrames.ts';
import { typeWidth } from '../../renderer/look/typeHeld.ts';
import { transformTo } from '../../renderer/viewer/heldPicture.ts';
import { type Box, nameAtBox } from '../../renderer/viewer/nameAtBox.ts';
import { atOf, readAt, viewAt, writeAt } from '../../renderer/viewer/placeInAddress.ts';
import { niceStepMm, rulerMarks, scaleBarMm } from '../../renderer/viewer/rulerSteps.ts';
import { ViewLink } from '../../renderer/viewer/viewLink.ts';
import { withoutGivenUp } from '../../renderer/viewer/viewerLog.ts';
import type { LinkedView } from '../../renderer/viewer/viewLink.ts';
import { fittingView, viewOfBox, viewPlace } from '../../renderer/viewer/viewPlace.ts';

fc.configureGlobal({ seed: 5 });

const SIZE = { width: 800, height: 600 };

describe('the name of a box', () => {
  const ABOVE = { x: 2, y: -5 };
  const BOX: Box = [100, 200, 300, 80];
  const at = (others: readonly Box[], pxPerScreen = 1) => nameAtBox(BOX, 'm-white', ABOVE, others, pxPerScreen);

  test('stands above it where there is room', () => {
    expect(at([BOX, [100, 100, 300, 80]])).toEqual(ABOVE);
    expect(at([[100, 100, 300, 90]], 0.5)).toEqual(ABOVE);
    // Beside it, below it, and over its top edge.
    expect(
      at([
        [10, 100, 80, 95],
        [100, 290, 300, 80],
        [100, 100, 300, 104],
      ]),
    ).toEqual(ABOVE);
  });

  test('lies in its own edge where that of another box is near', () => {
    expect(at([[100, 100, 300, 90]])).toEqual({ x: 8, y: 4 });
    expect(at([[130, 100, 20, 100]])).toEqual({ x: 8, y: 4 });
    // The name ends before the other begins.
    expect(at([[160, 100, 20, 100]])).toEqual(ABOVE);
  });
});

describe('another size of the window', () => {
  test('what is drawn stays where it lies on the scan', () => {
    const drawn = viewPlace({ x: 1000, y: 500, screenPerPx: 2 }, SIZE);
    const place = viewPlace({ x: 900, y: 520, screenPerPx: 1 }, { width: 600, height: 500 });
    // The drawn corner is px 800, 350 of the scan, 100 px left of the new middle and 170 above it.
    expect(transformTo(drawn, place)).toBe('translate(200px, 80px) scale(0.5)');
  });

  test('type is held until it would be a px off', () => {
    expect([2048, 2560, 3000, 3201].map((width) => typeWidth(2560, width))).toEqual([2560, 2560, 2560, 3201]);
    expect([2047, 1280].map((width) => typeWidth(2560, width))).toEqual([2047, 1280]);
    expect([1024, 1023].map((width) => typeWidth(1280, width))).toEqual([1280, 1023]);
  });

  test('in a small one it follows at once', () => {
    expect([typeWidth(0, 999), typeWidth(999, 998), typeWidth(1100, 999)]).toEqual([999, 998, 999]);
    expect(typeWidth(0, 2560)).toBe(2560);
  });
});

test('what the viewer’s engine says of tiles that nobody waits for is not logged; all else is', () => {
  const said: unknown[][] = [];
  const log = withoutGivenUp((...words) => said.push(words));
  log('Tile %s failed to load: %s - error: %s', '3/1_2', '/tiles/3/1/2', 'Image load aborted or errored out.');
  log('Ignoring tile %s loaded before reset: %s', '3/1_2', '/tiles/3/1/2');
  log('[Viewer.open] no tile source');
  log(new Error('a fault'), 'of ours');
  expect(said).toEqual([['[Viewer.open] no tile source'], [new Error('a fault'), 'of ours']]);
});

describe('frames later', () => {
  /** What waits for the next frame. */
  const waiting = new Map<number, FrameRequestCallback>();
  const frame = (): void => {
    const due = [...waiting.values()];
    waiting.clear();
    for (const run of due) run(0);
  };
  let asked = 0;
  vi.stubGlobal('requestAnimationFrame', (run: FrameRequestCallback) => {
    waiting.set(++asked, run);
    return asked;
  });
  vi.stubGlobal('cancelAnimationFrame', (one: number) => waiting.delete(one));
  afterAll(() => {
    vi.unstubAllGlobals();
  });

  test('it is done in that frame, once', () => {
    const done: number[] = [];
    afterFrames(3, () => done.push(3));
    afterFrames(1, () => done.push(1));
    frame();
    expect(done).toEqual([1]);
    frame();
    expect(done).toEqual([1]);
    frame();
    frame();
    expect(done).toEqual([1, 3]);
  });

  test('called off on its way, it is not done', () => {
    let isDone = false;
    const callOff = afterFrames(2, () => {
      isDone = true;
    });
    frame();
    callOff();
    frame();
    expect([isDone, waiting.size]).toEqual([false, 0]);
  });
});

describe('a view', () => {
  const place = viewPlace({ x: 1000, y: 500, screenPerPx: 2 }, SIZE);

  test('its middle is its centre, its box what is in view', () => {
    expect(place.toScreen([1000, 500])).toEqual([400, 300]);
    expect(place.boxPx).toEqual([800, 350, 400, 300]);
    expect(place.toScan([0, 0])).toEqual([800, 350]);
  });

  test('to the screen and back is where it was', () => {
    const number = fc.double({ min: -1e4, max: 1e4, noNaN: true });
    fc.assert(
      fc.property(number, number, (x, y) => {
        const [backX, backY] = place.toScan(place.toScreen([x, y]));
        expect(backX).toBeCloseTo(x, 6);
        expect(backY).toBeCloseTo(y, 6);
      }),
    );
  });

  test('a fitting view shows the whole scan, a box its box', () => {
    const [x, y, width, height] = viewPlace(fittingView({ width: 4960, height: 7016 }, SIZE), SIZE).boxPx;
    expect(x).toBeLessThanOrEqual(0);
    expect(y).toBeLessThanOrEqual(0);
    expect(x + width).toBeGreaterThanOrEqual(4960);
    expect(y + height).toBeGreaterThanOrEqual(7016);
    const close = viewPlace(viewOfBox([100, 200, 300, 50], SIZE), SIZE).boxPx;
    expect(close[0]).toBeLessThan(100);
    expect(close[0] + close[2]).toBeGreaterThan(400);
    expect(viewOfBox([100, 200, 1, 1], SIZE).screenPerPx).toBe(8);
  });

  test('the address brings it back', () => {
    const view = { x: 1234, y: 567, screenPerPx: 0.5 };
    const at = readAt(writeAt(atOf(view, SIZE)));
    expect(at && viewAt(at, SIZE)).toEqual(view);
    expect(readAt('12,13')).toBeNull();
    expect(readAt('12,13,0')).toBeNull();
    expect(readAt('12,,5')).toBeNull();
    expect(readAt(undefined)).toBeNull();
  });
});

describe('rulers', () => {
  test.each([
    [2, 64, 50],
    [5, 64, 20],
    [11, 64, 10],
    [200, 64, 0.5],
    [6400, 64, 0.01],
  ])('at %d px a mm, %d px apart: a mark every %d mm', (screenPerMm, least, step) => {
    expect(niceStepMm(screenPerMm, least)).toBe(step);
  });

  test('at every zoom steps are 1, 2 or 5 of a power of ten, far enough apart and no farther than need be', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.01, max: 5000, noNaN: true }), (screenPerMm) => {
        const step = niceStepMm(screenPerMm, 64);
        expect(['1', '2', '5']).toContain(step.toExponential(0)[0]);
        expect(step * screenPerMm).toBeGreaterThanOrEqual(64 * (1 - 1e-6));
        expect(step * screenPerMm).toBeLessThan(64 * 2.5 + 1e-6);
        expect(scaleBarMm(screenPerMm, 120) * screenPerMm).toBeLessThanOrEqual(120 * (1 + 1e-6));
      }),
    );
  });

  test('numbers at full steps, thinner marks between, none outside, no rounding dust', () => {
    const marks = rulerMarks(-12, 24, 11);
    expect(marks.filter(({ label }) => label !== null).map(({ label }) => label)).toEqual(['-10', '0', '10', '20']);
    expect(marks.map(({ mm }) => mm)).toEqual(Array.from({ length: 19 }, (_, i) => -12 + 2 * i));
    // Steps of 2 are quartered, so that marks between them stay round.
    expect(rulerMarks(0, 2, 40).map(({ mm }) => mm)).toEqual([0, 0.5, 1, 1.5, 2]);
    expect(rulerMarks(0, 0.35, 1000).map(({ label }) => label)).toContain('0.3');
  });
});

describe('several scans at one scale', () => {
  /** A viewer of so many px a mm that only keeps what it is told. */
  function viewer(pxPerMm: number | null, fits: number | null = null) {
    const told: string[] = [];
    const view: LinkedView = {
      pxPerMm,
      fittingScale: () => fits,
      follow: (scale) => void told.push(`follow ${scale}`),
      moveBy: (x, y) => void told.push(`move ${x} ${y}`),
      showWhole: (scale) => void told.push(`whole ${scale}`),
    };
    return { view, told };
  }

  test('who zooms takes the others along, not itself, and each scale but once', () => {
    const link = new ViewLink();
    const [a, b, unmeasured] = [viewer(12), viewer(24), viewer(null)];
    for (const { view } of [a, b, unmeasured]) link.join(view);
    link.zoomed(a.view, 5);
    link.zoomed(b.view, 5);
    expect([a.told, b.told, unmeasured.told]).toEqual([[], ['follow 5'], []]);
    expect(link.screenPerMm).toBe(5);
  });

  test('until somebody zooms all share the scale that shows each whole', () => {
    const link = new ViewLink();
    const [a, b] = [viewer(12, 4), viewer(24, 3)];
    link.join(a.view);
    link.settle();
    const leave = link.join(b.view);
    link.settle();
    expect(a.told).toEqual(['whole 4', 'whole 3']);
    link.zoomed(a.view, 9);
    link.settle();
    expect(a.told).toEqual(['whole 4', 'whole 3']);
    leave();
    link.fit();
    expect(a.told.at(-1)).toBe('whole 4');
  });

  test('they move together only when asked to', () => {
    const link = new ViewLink();
    const [a, b] = [viewer(12), viewer(24)];
    link.join(a.view);
    link.join(b.view);
    link.moved(a.view, 3, 4);
    link.moveTogether(true);
    link.moved(a.view, 1, 2);
    expect([a.told, b.told]).toEqual([[], ['move 1 2']]);
  });
});

describe('the page’s address', () => {
  const scans = [{ id: 'white' }, { id: 'yellow' }, { id: 'strip' }, { id: 'back' }, { id: 'target' }];
  const regions = [
    { id: 'ef', scan: 'white' },
    { id: 'fresh', scan: 'strip' },
  ];
  const read = (query: Record<string, string>) => readScansPlace(query, scans, regions);

  test('what was written is read again', () => {
    const place = { shown: ['white', 'strip'], active: 'strip', chosen: ['fresh', 'ef'], at: { x: 1, y: 2, width: 3 } };
    expect(read(writeScansPlace(place))).toEqual(place);
    const first = { shown: ['yellow'], active: 'yellow', chosen: [], at: null };
    expect(writeScansPlace(first)).toEqual({ scan: 'yellow' });
    expect(read({ scan: 'yellow' })).toEqual(first);
  });

  test('a region alone leads to its scan, nothing to the first, what has gone is passed over', () => {
    expect(read({ region: 'fresh' })).toMatchObject({ shown: ['strip'], active: 'strip', chosen: ['fresh'] });
    expect(read({})).toMatchObject({ shown: ['white'], active: 'white' });
    expect(read({ scan: 'gone;yellow', region: 'gone', view: 'gone' })).toMatchObject({
      shown: ['yellow'],
      active: 'yellow',
      chosen: [],
    });
    expect(read({ scan: 'white;yellow;strip;back;target' }).shown).toHaveLength(4);
  });

  test('a scan opens in the active one’s place, or lies beside the others; the last one stays', () => {
    const two = read({ scan: 'white;yellow', view: 'yellow' });
    expect(withScanOpened(two, 'strip')).toMatchObject({ shown: ['white', 'strip'], active: 'strip' });
    expect(withScanOpened(two, 'white')).toMatchObject({ shown: ['white', 'yellow'], active: 'white' });
    expect(withScanToggled(two, 'strip')).toMatchObject({ shown: ['white', 'yellow', 'strip'], active: 'strip' });
    const one = withScanToggled(two, 'yellow');
    expect(one).toMatchObject({ shown: ['white'], active: 'white' });
    expect(withScanToggled(one, 'white')).toBe(one);
    const four = read({ scan: 'white;yellow;strip;back' });
    expect(withScanToggled(four, 'target')).toBe(four);
  });
});
