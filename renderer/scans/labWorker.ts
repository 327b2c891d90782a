/**
 * The thread of a view's CIELAB: fetches it, hands it to the page and draws the map of differences. A large screen's is 6 MB, which the page's
 * own thread would take 70 ms to receive, for memory that is touched for the first time.
 */
import { getLab, isAbort } from '../api/client.ts';
import { heatDifferences, labOfRaster } from './heatDifferences.ts';
import { heatPicture, veilTone } from './heatClasses.ts';
import type { DrawnHeat, LabAnswer, LabAsk } from './labMessages.ts';
import type { LabView } from './labView.ts';
import type { LabValue } from '../../analysis/quantity.ts';

let stop = new AbortController();
let view: LabView | null = null;
/** Of the view, once a map is wanted. */
let lab: Float32Array | null = null;
let dE = new Float32Array(0);

addEventListener('message', ({ data: asked }: MessageEvent<LabAsk>) => {
  if (asked.ask === 'draw') {
    // Answered in any case: the page asks for no other meanwhile.
    void drawn(asked.reference)
      .catch(() => null)
      .then((heat) => answer({ is: 'picture', drawn: heat }, heat ? [heat.picture] : []));
    return;
  }
  stop.abort();
  if (asked.ask === 'view') {
    stop = new AbortController();
    void fetchView(asked, stop.signal);
  }
});

async function fetchView({ number, of, request }: LabAsk & { ask: 'view' }, signal: AbortSignal): Promise<void> {
  try {
    const raster = await getLab(of.ink, of.scan, of.key, request.box, request.columns, signal);
    // The page takes the other.
    view = { ...raster, data: raster.data.slice(), box: request.box };
    lab = null;
    answer({ is: 'view', number, raster }, [raster.data.buffer]);
  } catch (error) {
    if (!isAbort(error)) answer({ is: 'view', number, raster: null });
  }
}

async function drawn(reference: LabValue): Promise<DrawnHeat | null> {
  const begun = performance.now();
  if (view === null) return null;
  const { data, columns, rows, box } = view;
  if (lab === null) {
    lab = labOfRaster(data);
    dE = new Float32Array(lab.length / 3);
  }
  heatDifferences(lab, reference, dE);
  const pixels = heatPicture(dE, columns, rows, veilTone(reference[0]));
  const picture = await createImageBitmap(new ImageData(pixels, columns, rows));
  return { picture, box, tookMs: performance.now() - begun };
}

function answer(value: LabAnswer, transfer: Transferable[] = []): void {
  postMessage(value, { transfer });
}
