/** The engine's frames: all of a page's viewers share them, and wake together. */
import OpenSeadragon from 'openseadragon';
import { RestingFrames } from './restingFrames.ts';

/** What a person does anywhere may move a view. */
const SIGNS = ['pointerdown', 'pointermove', 'pointerup', 'wheel', 'keydown', 'resize'] as const;

const frames = new RestingFrames({
  now: () => performance.now(),
  frame: (run) => requestAnimationFrame(run),
  unframe: (frame) => cancelAnimationFrame(frame),
  after: (ms, run) => {
    const timer = setTimeout(run, ms);
    return () => clearTimeout(timer);
  },
});

/** A view is to be looked at in the next frame. */
export function wakeFrames(): void {
  frames.wake();
}

/** Once for the engine. */
export function letFramesRest(): void {
  if (typeof Reflect.get(OpenSeadragon, 'requestAnimationFrame') !== 'function') {
    throw new Error('the engine asks for its frames in another way; correct engineFrames.ts');
  }
  Object.assign(OpenSeadragon, {
    requestAnimationFrame: (run: () => void) => frames.ask(run),
    cancelAnimationFrame: (id: number) => frames.callOff(id),
  });
  for (const sign of SIGNS) addEventListener(sign, wakeFrames, { capture: true, passive: true });
}
