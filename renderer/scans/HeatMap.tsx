import { useEffect, useRef, useState } from 'react';
import type { LabValue } from '../../analysis/quantity.ts';
import type { ViewPlace } from '../viewer/viewPlace.ts';
import { HEAT_LIMITS, VEILS, veilTone } from './heatClasses.ts';
import type { HeatAnswer, HeatAsk } from './heatMessages.ts';
import type { BoxPx, LabView } from './labView.ts';

export interface HeatMapProps {
  readonly place: ViewPlace;
  readonly view: LabView | null;
  readonly reference: LabValue | null;
}

/** The map of differences over the tiles: worked out in a thread of its own, drawn by handing the picture over. */
export function HeatMap({ place, view, reference }: HeatMapProps) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const heat = useRef<HeatThread | null>(null);
  const [box, setBox] = useState<BoxPx | null>(null);
  useEffect(() => {
    const thread = new HeatThread((picture, of) => {
      const element = canvas.current;
      if (!element) return;
      element.width = picture.width;
      element.height = picture.height;
      element.getContext('bitmaprenderer')?.transferFromImageBitmap(picture);
      setBox(of);
    });
    heat.current = thread;
    return () => {
      heat.current = null;
      thread.end();
    };
  }, []);
  useEffect(() => {
    if (view) heat.current?.take(view);
  }, [view]);
  useEffect(() => {
    if (reference && view) heat.current?.draw(reference);
  }, [reference, view]);
  const [left, top] = box ? place.toScreen([box.x, box.y]) : [0, 0];
  return (
    <canvas
      ref={canvas}
      className="heat-map"
      aria-hidden="true"
      hidden={box === null || reference === null}
      style={
        box
          ? {
              transform: `translate(${left}px, ${top}px)`,
              width: box.width * place.screenPerPx,
              height: box.height * place.screenPerPx,
            }
          : {}
      }
    />
  );
}

/** One worker; while it draws, only the latest wish waits. */
class HeatThread {
  private readonly worker = new Worker(new URL('./heatWorker.ts', import.meta.url), { type: 'module' });
  private readonly show: (picture: ImageBitmap, box: BoxPx) => void;
  private box: BoxPx | null = null;
  private drawnBox: BoxPx | null = null;
  private busy = false;
  private waiting: LabValue | null = null;

  constructor(show: (picture: ImageBitmap, box: BoxPx) => void) {
    this.show = show;
    this.worker.addEventListener('message', ({ data }: MessageEvent<HeatAnswer>) => {
      this.busy = false;
      if (data.picture && this.drawnBox) {
        this.show(data.picture, this.drawnBox);
        performance.measure('heat map', { start: performance.now() - data.tookMs, duration: data.tookMs });
      }
      const next = this.waiting;
      this.waiting = null;
      if (next) this.draw(next);
    });
  }

  take({ data, columns, rows, box }: LabView): void {
    // The page keeps its own for the probe.
    const copy = data.slice();
    this.ask({ ask: 'raster', data: copy, columns, rows }, [copy.buffer]);
    this.box = box;
  }

  draw(reference: LabValue): void {
    if (this.busy) {
      this.waiting = reference;
      return;
    }
    this.busy = true;
    this.drawnBox = this.box;
    this.ask({ ask: 'draw', reference });
  }

  end(): void {
    this.worker.terminate();
  }

  private ask(asked: HeatAsk, transfer: Transferable[] = []): void {
    this.worker.postMessage(asked, transfer);
  }
}

const CLASS_WORDS = [
  `below ${HEAT_LIMITS[0]}`,
  ...HEAT_LIMITS.slice(1).map((limit, i) => `${HEAT_LIMITS[i]} to ${limit}`),
  `${HEAT_LIMITS[HEAT_LIMITS.length - 1]} or more`,
];

/** What the veils mean, in numbers. */
export function HeatLegend({ reference }: { readonly reference: LabValue }) {
  const tone = veilTone(reference[0]);
  return (
    <div className="heat-legend">
      <p>ΔE00 from the pinned colour</p>
      <dl>
        {VEILS.map((veil, i) => (
          <div key={veil}>
            <dt aria-hidden="true">
              <span
                style={{ background: tone === 'dark' ? `rgb(12 12 12 / ${veil})` : `rgb(243 243 243 / ${veil})` }}
              />
            </dt>
            <dd>{CLASS_WORDS[i]}</dd>
          </div>
        ))}
      </dl>
    </div>
  );
}
