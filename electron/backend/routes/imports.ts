/** Files come in: into the store by their content first, then to the ink that they belong to. */
import { Hono } from 'hono';
import { z } from 'zod';
import { LibraryError } from '../../library/libraryError.ts';
import { openSheetFiles } from '../../library/openSheet.ts';
import type { AddedFile } from '../../library/storedFile.ts';
import { workOf } from '../../answers/workOf.ts';
import type { ImportAnswer, Upload } from '../api.ts';
import { bodyOf, queryOf, requestName, wholeOf, words } from '../door.ts';
import type { Host } from '../host.ts';
import { Refusal } from '../refusal.ts';
import { scansFromUploads } from '../scansFromUploads.ts';

/** An A4 page at 4800 dpi and 16 bits has 13 GB; beyond that it is no scan. */
const MOST_FILE_BYTES = 16 * 1024 ** 3;

const hash = z.string().regex(/^[0-9a-f]{64}$/, 'a SHA-256 in hexadecimal');
const many = <T>(one: z.ZodType<T>) => z.array(one).min(1).max(2000);
const importRequest = z.strictObject({
  uploads: many(z.strictObject({ name: words, hash, isAgain: z.boolean().default(false) })),
});
const sheetRequest = z.strictObject({ uploads: many(z.strictObject({ name: words, hash })), request: requestName });
const pathsRequest = z.strictObject({ paths: z.array(z.string().min(1)).min(1).max(2000) });
const uploadQuery = z.strictObject({ name: words });

export function importRoutes({ library, measuring, shell }: Host): Hono {
  return new Hono()
    .post('/uploads', async (c) => {
      const { name } = queryOf(c, uploadQuery);
      const { body } = c.req.raw;
      if (body === null) throw new Refusal(400, 'no-bytes', `${name}: an upload without bytes; send the file's bytes.`);
      refuseTooLarge(name, Number(c.req.header('content-length') ?? 0));
      return c.json(uploadOf(name, await library.addFile(counted(body, name), name)), 201);
    })
    .post('/paths', async (c) => {
      if (shell !== 'electron') {
        throw new Refusal(
          403,
          'desktop-only',
          'Files by their paths are for the desktop window; from a browser send their bytes to /api/uploads.',
        );
      }
      const { paths } = await bodyOf(c, pathsRequest);
      const uploads: Upload[] = [];
      for (const path of paths) {
        try {
          // One after the other: the disk is the limit, and a folder of scans must not be in memory at once.
          uploads.push(uploadOf(path, await library.addFileFrom(path)));
        } catch (error) {
          if (!(error instanceof LibraryError) || error.code !== 'file-missing') throw error;
          uploads.push({ name: path, hash: '', kind: 'other', problem: error.message, already: null });
        }
      }
      return c.json(uploads, 201);
    })
    .post('/inks/:ink/import', async (c) => {
      const ink = wholeOf(c, 'ink');
      const { uploads } = await bodyOf(c, importRequest);
      const { scans, added, problems } = scansFromUploads(uploads, library.document(ink), (one) => library.file(one));
      if (scans.length > 0) library.edit(ink, { edit: 'addScans', scans });
      const work = workOf(library, measuring, ink);
      const answer: ImportAnswer = { work, added, problems };
      return c.json(answer);
    })
    .post('/sheets', async (c) => {
      const { uploads, request = null } = await bodyOf(c, sheetRequest);
      const { ink, problems } = await openSheetFiles(library, uploads, { request });
      const work = workOf(library, measuring, ink);
      const answer: ImportAnswer = { work, added: work.scans.map(({ id }) => id), problems };
      return c.json(answer, 201);
    });
}

function uploadOf(name: string, { hash, kind, problem, already }: AddedFile): Upload {
  return { name, hash, kind, problem, already };
}

/** The body as it streams in: no more than a scan can have, and one that stops before its end is no defect of ours. */
async function* counted(body: AsyncIterable<Uint8Array>, name: string): AsyncGenerator<Uint8Array> {
  let bytes = 0;
  const parts = body[Symbol.asyncIterator]();
  for (;;) {
    const part = await parts.next().catch(() => {
      throw new Refusal(
        400,
        'broken-off',
        `${name}: its bytes broke off after ${bytes}; expected all of the file. Nothing was kept; bring it in again.`,
      );
    });
    if (part.done === true) return;
    bytes += part.value.byteLength;
    refuseTooLarge(name, bytes);
    yield part.value;
  }
}

function refuseTooLarge(name: string, bytes: number): void {
  if (bytes <= MOST_FILE_BYTES) return;
  const gigabytes = (n: number) => (n / 1024 ** 3).toFixed(0);
  throw new Refusal(
    413,
    'too-large',
    `${name}: more than ${gigabytes(bytes)} GB; expected at most ${gigabytes(MOST_FILE_BYTES)} GB. Scan with fewer dpi.`,
  );
}
