/** What one region looks like when it is measured: for overlays and plots. */
import { Hono } from 'hono';
import { calibrationThrough } from '../../answers/coloursDoubt.ts';
import { regionDetailInJson, regionMarks } from '../../answers/regionDetail.ts';
import { inJson } from '../inJson.ts';
import { nameOf, wholeOf } from '../door.ts';
import type { Host } from '../host.ts';
import { Refusal } from '../refusal.ts';

export function regionRoutes({ library, measuring }: Host): Hono {
  return new Hono()
    .get('/inks/:ink/regions/:region/detail', async (c) => {
      const region = nameOf(c, 'region');
      const ink = wholeOf(c, 'ink');
      const through = (scan: string) => calibrationThrough(library, measuring, ink, scan, c.req.raw.signal);
      const detail = await regionDetailInJson(library, ink, region, through);
      if (detail === null) throw notMeasured(region);
      return inJson(detail);
    })
    .get('/inks/:ink/regions/:region/marks', async (c) => {
      const region = nameOf(c, 'region');
      const marks = await regionMarks(library, wholeOf(c, 'ink'), region);
      if (marks === null) throw notMeasured(region);
      return c.body(new Uint8Array(marks.data), 200, {
        'content-type': 'application/octet-stream',
        'x-columns': String(marks.columns),
        'x-rows': String(marks.rows),
      });
    });
}

function notMeasured(region: string): Refusal {
  return new Refusal(404, 'not-measured', `“${region}”: not measured as it is now. Measure, then look again.`);
}
