/** How results are named, packed and shared, and which of them a new program still trusts. */
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { contentKey, once } from '../../electron/jobs/contentKey.ts';
import { MEASURING_VERSION, versionOf } from '../../electron/jobs/methodVersions.ts';
import { pack, unpack } from '../../electron/jobs/packed.ts';
import { PixelBudget } from '../../electron/jobs/pixelBudget.ts';
import { RememberingRunner, type ResultStore, taskKey } from '../../electron/jobs/rememberingRunner.ts';
import { SharedWork } from '../../electron/jobs/sharedWork.ts';
import type { RegionResult, RegionTask, TaskRunner } from '../../electron/jobs/tasks.ts';

const INFO: RegionTask['info'] = {
  file: '/here/white.tif',
  widthPx: 800,
  heightPx: 600,
  bits: 16,
  channels: 3,
  dpi: 300,
  icc: null,
  iccHash: null,
  format: 'tiff',
  pages: 1,
  orientation: 1,
  notes: [],
};

function regionTask(more: Partial<RegionTask> = {}): RegionTask {
  return {
    task: 'region',
    info: INFO,
    dpi: 300,
    calibration: nominalCalibration,
    id: 'ef',
    boxPx: [0, 0, 100, 50],
    measure: { kind: 'strokes' },
    paper: null,
    bare: null,
    scannerBlurMm: null,
    scanFlags: [],
    ...more,
  };
}

const RESULT: RegionResult = {
  id: 'ef',
  quantities: [],
  ink: null,
  marks: { data: Uint8Array.of(0, 3, 4), widthPx: 3, heightPx: 1 },
  spread: null,
  strip: null,
};

function storeOf(): ResultStore & { readonly kept: Map<string, Uint8Array> } {
  const kept = new Map<string, Uint8Array>();
  return {
    kept,
    recall: (key) => kept.get(key) ?? null,
    remember: (key, _kind, bytes) => void kept.set(key, bytes),
  };
}

/** A runner whose regions are answered when the test says so. */
function slowRunner() {
  const asked: { readonly task: RegionTask; readonly answer: () => void; readonly fail: (error: Error) => void }[] = [];
  const no = () => Promise.reject(new Error('not asked for here'));
  const runner: TaskRunner = {
    calibrate: no,
    paper: no,
    film: no,
    overlay: no,
    region: (task) =>
      new Promise((resolve, reject) => {
        asked.push({ task, answer: () => resolve({ ...RESULT, id: task.id }), fail: reject });
      }),
  };
  return { runner, asked };
}

const settled = () => new Promise((resolve) => setImmediate(resolve));

describe('the name of content', () => {
  test('does not depend on the order in which fields were written, and tells all else apart', () => {
    expect(contentKey({ a: 1, b: [2, 3], c: undefined })).toBe(contentKey({ b: [2, 3], a: 1 }));
    const others: unknown[] = [
      { a: 1, b: [3, 2] },
      { a: '1', b: [2, 3] },
      { a: 1, b: { 0: 2, 1: 3 } },
      new Map([['a', 1]]),
      { a: 1 },
      [['a', 1]],
      Uint8Array.of(1),
      Uint16Array.of(1),
      null,
      NaN,
      Infinity,
    ];
    expect(new Set(others.map(contentKey)).size).toBe(others.length);
  });

  test('a part that is written out once gives the same name as the part itself', () => {
    const part = { curve: Float64Array.of(1, 2), of: [{ b: 1, a: 'x' }], none: undefined };
    const name = contentKey({ task: 'a', part });
    for (const time of [1, 2]) expect(contentKey({ part: once(part), task: 'a' }), `time ${time}`).toBe(name);
    expect(contentKey({ task: 'a', part: once({ ...part, none: 0 }) })).not.toBe(name);
  });

  test('a task is named by what is in the file, not by where the file lies', () => {
    const here = taskKey(regionTask(), () => 'aa');
    const moved = regionTask({ info: { ...INFO, file: '/there/x.tif', notes: ['a note'] } });
    expect(taskKey(moved, () => 'aa')).toBe(here);
    expect(taskKey(regionTask(), () => 'bb')).not.toBe(here);
    for (const other of [
      { id: 'm' },
      { dpi: 301 },
      { boxPx: [0, 0, 100, 51] as const },
      { measure: { kind: 'swab' } as const },
      { scannerBlurMm: 0.02 },
      { scanFlags: ['uncalibrated'] as const },
      { calibration: { ...nominalCalibration, ridge: 1 } },
    ]) {
      expect(taskKey(regionTask(other), () => 'aa')).not.toBe(here);
    }
  });

  test('with the methods of all that comes out of it', () => {
    expect(versionOf(regionTask())).toMatch(/^region\/\d+ inkColour\/\d+ .*shading\/\d+/);
    expect(versionOf(regionTask({ measure: { kind: 'paper' } }))).toMatch(/paperColour\/\d+ paperTexture\/\d+$/);
  });

  /** Whoever makes the sample's findings change lets kept results go, too: bump a TASK_VERSIONS or a method, then pin both anew. */
  test('the version moves with the accepted findings of the sample', () => {
    const golden = readFileSync(join(import.meta.dirname, '../main/sample-findings.json'));
    expect({
      findings: createHash('sha256').update(golden).digest('hex').slice(0, 16),
      version: createHash('sha256').update(MEASURING_VERSION).digest('hex').slice(0, 16),
    }).toEqual({ findings: '5da10256bd17845e', version: '44efea21c696bcf1' });
  });
});

test('results come back as they were, typed arrays, maps and all', async () => {
  const value = {
    marks: Uint8Array.of(1, 2, 3),
    curve: Float64Array.of(0.1, NaN, -Infinity),
    part: new Float32Array([9, 8, 7, 6]).subarray(1, 3),
    map: new Map([['C01', { lab: [1, 2, 3] }]]),
    nothing: null,
  };
  const back = await unpack(await pack(value));
  expect(back).toEqual(value);
  expect(back).toHaveProperty('curve', value.curve);
  await expect(unpack(Uint8Array.of(1, 2, 3))).rejects.toThrow('incorrect header check');
});

describe('remembering', () => {
  test('asks once for equal tasks, and again when what was kept cannot be read', async () => {
    const { runner, asked } = slowRunner();
    const store = storeOf();
    const kept: boolean[] = [];
    const remembering = new RememberingRunner(runner, store, {
      hashOf: () => 'aa',
      onResult: (_task, _key, was) => kept.push(was),
    });
    const first = remembering.region(regionTask());
    await settled();
    asked[0].answer();
    expect(await first).toEqual(RESULT);
    expect(await remembering.region(regionTask())).toEqual(RESULT);
    expect(asked).toHaveLength(1);
    for (const key of store.kept.keys()) store.kept.set(key, Uint8Array.of(0));
    const again = remembering.region(regionTask());
    await expect.poll(() => asked.length).toBe(2);
    asked[1].answer();
    expect(await again).toEqual(RESULT);
    expect(kept).toEqual([false, true, false]);
  });

  test('keeps nothing of what failed', async () => {
    const { runner, asked } = slowRunner();
    const store = storeOf();
    const failing = new RememberingRunner(runner, store, { hashOf: () => 'aa' }).region(regionTask());
    await settled();
    asked[0].fail(new Error('no'));
    await expect(failing).rejects.toThrow('no');
    expect(store.kept.size).toBe(0);
  });
});

describe('room for pixels', () => {
  const sized = (id: string, width: number) => regionTask({ id, boxPx: [0, 0, width, 1] });

  test('small ones run side by side, a large one alone, each in its turn', async () => {
    const { runner, asked } = slowRunner();
    const budget = new PixelBudget(runner, 100);
    const all = [sized('a', 40), sized('b', 60), sized('large', 500), sized('c', 10)].map((t) => budget.region(t));
    await settled();
    expect(asked.map((a) => a.task.id)).toEqual(['a', 'b']);
    asked[0].answer();
    await settled();
    expect(asked).toHaveLength(2);
    asked[1].fail(new Error('lost'));
    await expect(all[1]).rejects.toThrow('lost');
    await settled();
    expect(asked.map((a) => a.task.id)).toEqual(['a', 'b', 'large']);
    asked[2].answer();
    await settled();
    asked[3].answer();
    expect((await all[3]).id).toBe('c');
  });

  test('who waits can leave, and others come through', async () => {
    const { runner, asked } = slowRunner();
    const budget = new PixelBudget(runner, 100);
    const stop = new AbortController();
    const first = budget.region(sized('a', 40));
    const left = budget.region(sized('large', 500), stop.signal);
    const last = budget.region(sized('b', 50));
    await settled();
    stop.abort(new Error('stopped'));
    await expect(left).rejects.toThrow('stopped');
    await settled();
    expect(asked.map((a) => a.task.id)).toEqual(['a', 'b']);
    for (const { answer } of asked) answer();
    await Promise.all([first, last]);
  });

  test('one that no memory of this machine holds is refused before it is read, and says what fits', async () => {
    const { runner, asked } = slowRunner();
    const budget = new PixelBudget(runner, 100, 4e9);
    const page = { ...sized('page', 0), dpi: 1200, boxPx: [0, 0, 9921, 14031] as const };
    await expect(budget.region(page)).rejects.toThrow(
      'its box holds 139 megapixels, which take about 6.3 GB of memory while they are measured, and this machine has 4.0 GB; ' +
        'expected at most 66.7 megapixels. Draw several smaller boxes, or scan at 830 dpi or less.',
    );
    // A back takes its front's pixels along.
    const half = { ...page, boxPx: [0, 0, 9921, 5000] as const };
    const front = {
      region: 'front',
      info: INFO,
      dpi: 1200,
      calibration: nominalCalibration,
      boxPx: half.boxPx,
      paper: null,
      flags: [],
    };
    void budget.region(half);
    await expect(budget.region({ ...half, measure: { kind: 'reverse', front, page: 'back' } })).rejects.toThrow(
      '99.2 megapixels',
    );
    await settled();
    expect(asked.map((a) => a.task.id)).toEqual(['page']);
  });
});

describe('shared work', () => {
  test('is begun once, and goes on when one of two leaves', async () => {
    const shared = new SharedWork<string>();
    const stop = new AbortController();
    let begun = 0;
    const finish: ((value: string) => void)[] = [];
    const begin = () => {
      begun++;
      return new Promise<string>((resolve) => void finish.push(resolve));
    };
    const leaving = shared.wait('k', begin, stop.signal);
    const staying = shared.wait('k', begin);
    stop.abort(new Error('stopped'));
    await expect(leaving).rejects.toThrow('stopped');
    finish[0]('done');
    expect(await staying).toBe('done');
    expect(begun).toBe(1);
  });

  test('stops when nobody waits any more, and can begin anew', async () => {
    const shared = new SharedWork<string>();
    const stop = new AbortController();
    const signals: AbortSignal[] = [];
    const begin = (signal: AbortSignal) => {
      signals.push(signal);
      return new Promise<string>(() => {});
    };
    const leaving = shared.wait('k', begin, stop.signal);
    stop.abort(new Error('stopped'));
    await expect(leaving).rejects.toThrow('stopped');
    expect(signals[0].aborted).toBe(true);
    void shared.wait('k', begin);
    expect(signals).toHaveLength(2);
    expect(signals[1].aborted).toBe(false);
  });
});
