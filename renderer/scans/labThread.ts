/** The page's side of the thread of a view's CIELAB. */
import type { LabValue } from '../../analysis/quantity.ts';
import type { LabRaster } from '../api/client.ts';
import type { DrawnHeat, LabAnswer, LabAsk, LabOf } from './labMessages.ts';
import type { LabRequest } from './labView.ts';

/** One worker, begun when it is needed; while it draws, only the latest wish waits. */
export class LabThread {
  private worker: Worker | null = null;
  private asked = 0;
  private take: ((raster: LabRaster | null) => void) | null = null;
  private show: ((drawn: DrawnHeat) => void) | null = null;
  private busy = false;
  private waiting: LabValue | null = null;

  /** @param take is told the raster, or null if it did not come. @returns how to call it off */
  view(of: LabOf, request: LabRequest, take: (raster: LabRaster | null) => void): () => void {
    const number = ++this.asked;
    this.take = take;
    this.ask({ ask: 'view', number, of, request });
    return () => {
      if (number !== this.asked) return;
      this.take = null;
      if (this.worker) this.ask({ ask: 'stop' });
    };
  }

  /** Pictures of the map go there; to nobody when null. */
  showHeat(show: ((drawn: DrawnHeat) => void) | null): void {
    this.show = show;
  }

  draw(reference: LabValue): void {
    if (this.busy) {
      this.waiting = reference;
      return;
    }
    this.busy = true;
    this.ask({ ask: 'draw', reference });
  }

  /** With the memory of its view; another wish begins it anew. */
  end(): void {
    this.worker?.terminate();
    this.worker = null;
    this.busy = false;
    this.waiting = null;
  }

  private ask(asked: LabAsk): void {
    this.worker ??= this.begin();
    this.worker.postMessage(asked, []);
  }

  private begin(): Worker {
    const worker = new Worker(new URL('./labWorker.ts', import.meta.url), { type: 'module' });
    worker.addEventListener('message', ({ data }: MessageEvent<LabAnswer>) => {
      // What was on its way from one that has ended.
      if (worker !== this.worker) {
        if (data.is === 'picture') data.drawn?.picture.close();
      } else if (data.is === 'view') {
        if (data.number === this.asked) this.take?.(data.raster);
      } else {
        this.shown(data.drawn);
      }
    });
    return worker;
  }

  private shown(drawn: DrawnHeat | null): void {
    this.busy = false;
    if (drawn && this.show) this.show(drawn);
    else drawn?.picture.close();
    const next = this.waiting;
    this.waiting = null;
    if (next) this.draw(next);
  }
}
