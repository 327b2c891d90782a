/** How often the engine of tiles is given a frame: at rest, while something happens, and from one to the other. */
import { describe, expect, test } from 'vitest';
import { RestingFrames } from '../../renderer/viewer/restingFrames.ts';

/** A browser of 50 frames a second whose time goes on when it is told. */
class DrawnBrowser {
  nowMs = 0;
  private readonly frames = new Map<number, () => void>();
  private readonly timers = new Map<number, { readonly at: number; readonly run: () => void }>();
  private last = 0;

  readonly clock = {
    now: () => this.nowMs,
    frame: (run: () => void) => {
      this.frames.set(++this.last, run);
      return this.last;
    },
    unframe: (frame: number) => {
      this.frames.delete(frame);
    },
    after: (ms: number, run: () => void) => {
      const id = ++this.last;
      this.timers.set(id, { at: this.nowMs + ms, run });
      return () => {
        this.timers.delete(id);
      };
    },
  };

  pass(ms: number): void {
    for (const end = this.nowMs + ms; this.nowMs < end;) {
      this.nowMs += 20;
      for (const [id, { at, run }] of this.timers) {
        if (at > this.nowMs) continue;
        this.timers.delete(id);
        run();
      }
      const due = [...this.frames];
      this.frames.clear();
      for (const [, run] of due) run();
    }
  }
}

/** As the engine does: in every frame it asks for the next. */
function looking(browser: DrawnBrowser) {
  const frames = new RestingFrames(browser.clock);
  let [looked, id] = [0, 0];
  const look = (): void => {
    looked++;
    id = frames.ask(look);
  };
  id = frames.ask(look);
  const during = (ms: number): number => {
    const before = looked;
    browser.pass(ms);
    return looked - before;
  };
  return { frames, during, end: () => frames.callOff(id) };
}

describe('frames of a view', () => {
  test('all while something happens, a few a second at rest, all again from the first sign on', () => {
    const { frames, during } = looking(new DrawnBrowser());
    expect(during(1000)).toBe(50);
    during(200);
    expect(during(2000)).toBeLessThanOrEqual(10);
    expect(during(2000)).toBeGreaterThanOrEqual(8);
    frames.wake();
    expect(during(20)).toBe(1);
    expect(during(900)).toBe(45);
  });

  test('one that is asked for while it rests waits no longer than a fifth of a second without a sign, and none is given twice', () => {
    const browser = new DrawnBrowser();
    const frames = new RestingFrames(browser.clock);
    browser.pass(2000);
    let looked = 0;
    frames.ask(() => looked++);
    browser.pass(180);
    expect(looked).toBe(0);
    browser.pass(40);
    expect(looked).toBe(1);
    frames.ask(() => looked++);
    frames.wake();
    frames.wake();
    browser.pass(1000);
    expect(looked).toBe(2);
  });

  test('one that is called off never comes, whether it waits or is about to', () => {
    const browser = new DrawnBrowser();
    const { during, end } = looking(browser);
    expect(during(3000)).toBeGreaterThan(50);
    end();
    expect(during(3000)).toBe(0);
    const awake = looking(browser);
    awake.end();
    expect(awake.during(3000)).toBe(0);
  });
});
