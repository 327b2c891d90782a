/** Scans as pictures and as numbers of colour: tiles, overviews, crops, Lab rasters, the probe. */
import { type Context, Hono } from 'hono';
import { z } from 'zod';
import type { BoxPx } from '../../scans/readScan.ts';
import { viewScan } from '../../answers/viewScan.ts';
import type { Probe } from '../probeAnswer.ts';
import { nameOf, number, positive, queryOf, wholeOf } from '../door.ts';
import type { PictureBytes } from '../../view/view.ts';
import type { Host } from '../host.ts';
import { Refusal } from '../refusal.ts';

const FOR_GOOD = 'private, max-age=31536000, immutable';
/** As many columns as the largest screen has. */
const MOST_COLUMNS = 4096;
const MOST_RASTER_PIXELS = 4_000_000;
const MOST_CROP_PIXELS = 1_000_000;

const box = { x: number, y: number, width: positive, height: positive };
const boxQuery = z.strictObject({ ...box, columns: positive.pipe(z.int().max(MOST_COLUMNS)) });
const cropQuery = boxQuery.extend({ key: z.string().min(1).optional() });
/** A picture in a cell of a table, twice as dense as most screens. */
const MOST_THUMBNAIL_PIXELS = 600_000;
const thumbnailQuery = z.strictObject({
  ...box,
  mmPerPixel: positive.pipe(z.number().min(0.002).max(2)),
  columns: positive.pipe(z.int().max(MOST_COLUMNS)),
  rows: positive.pipe(z.int().max(MOST_COLUMNS)),
});
const probeQuery = z.strictObject({
  x: number,
  y: number,
  radius: z.preprocess((text) => (text === undefined ? 0 : Number(text)), z.number().nonnegative().max(500)),
});

export function pictureRoutes({ library, measuring, view }: Host): Hono {
  const scanOf = (c: Context, key: string | null) =>
    viewScan(library, measuring, wholeOf(c, 'ink'), nameOf(c, 'scan'), key, c.req.raw.signal);
  return new Hono()
    .get('/inks/:ink/scans/:scan/tiles/:key/:level/:column/:row', async (c) => {
      const place = [wholeOf(c, 'level'), wholeOf(c, 'column'), wholeOf(c, 'row')] as const;
      const scan = await scanOf(c, nameOf(c, 'key'));
      return png(await view.tile(scan, ...place, c.req.raw.signal));
    })
    .get('/inks/:ink/scans/:scan/overview/:key', async (c) => {
      return png(await view.overview(await scanOf(c, nameOf(c, 'key')), c.req.raw.signal));
    })
    .get('/inks/:ink/scans/:scan/lab/:key', async (c) => {
      const { columns, ...place } = queryOf(c, boxQuery);
      refuseTooMany(place, columns, MOST_RASTER_PIXELS);
      const scan = await scanOf(c, nameOf(c, 'key'));
      const raster = await view.lab(scan, boxOf(place), columns, c.req.raw.signal);
      const { buffer, byteOffset, byteLength } = raster.data;
      // Copied once: the answer outlives the raster, whose memory may be shared with the worker.
      return c.body(new Uint8Array(buffer, byteOffset, byteLength).slice(), 200, {
        'content-type': 'application/octet-stream',
        'cache-control': FOR_GOOD,
        'x-columns': String(raster.columns),
        'x-rows': String(raster.rows),
      });
    })
    .get('/inks/:ink/scans/:scan/crop', async (c) => {
      const { columns, key, ...place } = queryOf(c, cropQuery);
      refuseTooMany(place, columns, MOST_CROP_PIXELS);
      const scan = await scanOf(c, key ?? null);
      const picture = await view.crop(scan, boxOf(place), columns, c.req.raw.signal);
      return png(picture, key === undefined ? 'no-store' : FOR_GOOD);
    })
    .get('/inks/:ink/scans/:scan/thumbnail/:key', async (c) => {
      const { mmPerPixel, columns, rows, ...place } = queryOf(c, thumbnailQuery);
      refuseTooMany({ ...place, width: columns, height: rows }, columns, MOST_THUMBNAIL_PIXELS);
      const scan = await scanOf(c, nameOf(c, 'key'));
      if (scan.dpi === null) {
        const why = `Scan “${nameOf(c, 'scan')}” has no resolution, so that its scale is not known; say its dpi on the Scans page.`;
        throw new Refusal(409, 'no-resolution', why);
      }
      const size = { mmPerPixel, columns, rows };
      return png(await view.thumbnail(scan, scan.dpi, boxOf(place), size, c.req.raw.signal));
    })
    .get('/inks/:ink/scans/:scan/probe', async (c) => {
      const { x, y, radius } = queryOf(c, probeQuery);
      const scan = await scanOf(c, null);
      const { by, key } = scan.colours;
      const probe: Probe = { ...(await view.probe(scan, x, y, radius)), colours: by, key };
      return c.json(probe);
    });
}

function png(bytes: PictureBytes, caching = FOR_GOOD): Response {
  return new Response(bytes, {
    headers: { 'content-type': 'image/png', 'content-length': String(bytes.length), 'cache-control': caching },
  });
}

interface Place {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

function boxOf({ x, y, width, height }: Place): BoxPx {
  return [x, y, width, height];
}

function refuseTooMany({ width, height }: Place, columns: number, most: number): void {
  const rows = Math.ceil((columns * height) / width);
  if (columns * rows <= most) return;
  throw new Refusal(
    400,
    'too-many-pixels',
    `${columns} × ${rows} pixels asked for; expected at most ${most} in all. Ask for fewer columns or a flatter box.`,
  );
}
