/** The bench's figures of looking, in words. */
import type { Timings } from './stages.ts';

export function viewLines(t: Timings): string[] {
  const ms = (seconds: number): string => `${(1000 * seconds).toFixed(0)} ms`;
  const times = (by: '' | 'Processor'): string => (t[`overview${by}`] / t[`bareDecode${by}`]).toFixed(1);
  return [
    'Looking at the page, best of five runs:',
    `first sight of a cold page: ${ms(t.overview)}, ${times('')} times sharp's bare decode of it (aim below 3), ${times('Processor')} times by the processor`,
    `tile at full zoom: median ${ms(t.tileMedian)}, 95 of 100 within ${ms(t.tile95)}; with all cores busy ${ms(t.busyTileMedian)} and ${ms(t.busyTile95)}`,
    `pyramid of the page: ${ms(t.pyramid)}, the process ${t.pyramidMb.toFixed(0)} MB larger meanwhile (aim below 120)`,
    `heat map of a screenful: ${ms(t.labScreen)} for its CIELAB, ${ms(t.heatMap)} for the ΔE00 of it`,
  ];
}
