/** The heat map's thread. */
import { heatDifferences, labOfRaster } from './heatDifferences.ts';
import { heatPicture, veilTone } from './heatClasses.ts';
import type { HeatAnswer, HeatAsk } from './heatMessages.ts';

let lab = new Float32Array(0);
let dE = new Float32Array(0);
let columns = 0;
let rows = 0;

addEventListener('message', ({ data: asked }: MessageEvent<HeatAsk>) => {
  if (asked.ask === 'raster') {
    lab = labOfRaster(asked.data);
    dE = new Float32Array(lab.length / 3);
    columns = asked.columns;
    rows = asked.rows;
    return;
  }
  const begun = performance.now();
  if (dE.length === 0) {
    answer({ picture: null, tookMs: 0 });
    return;
  }
  heatDifferences(lab, asked.reference, dE);
  const pixels = heatPicture(dE, columns, rows, veilTone(asked.reference[0]));
  void createImageBitmap(new ImageData(pixels, columns, rows)).then((picture) =>
    answer({ picture, tookMs: performance.now() - begun }),
  );
});

function answer(value: HeatAnswer): void {
  postMessage(value, { transfer: value.picture ? [value.picture] : [] });
}
