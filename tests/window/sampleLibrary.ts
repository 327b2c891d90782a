import { basename } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import type { Shelf, Work } from '../../electron/backend/api.ts';
import { ofOneRun } from './ofOneRun.ts';
import { program } from './program.ts';
import { startServer } from './startWindow.ts';

/** What a first start of the program leaves on the disk once the sample is measured: the library's folder, to be copied. */
export async function sampleLibrary(): Promise<string> {
  return ofOneRun(`library-of-${basename(await program())}`, async (folder) => {
    const server = await startServer(folder);
    try {
      const opened = await fetch(server.url, { redirect: 'manual' });
      const cookie = (opened.headers.get('set-cookie') ?? '').split(';', 1)[0];
      const asked = async (path: string) => fetch(new URL(path, server.url), { headers: { cookie } });
      for (const limit = Date.now() + 110_000; !(await isMeasured(asked)); await wait(100)) {
        if (Date.now() > limit) throw new Error(`the sample is not measured: ${server.said()}`);
      }
    } finally {
      await server.stop();
    }
  });
}

/** Its job has ended, too: else the next start would look through it again. */
async function isMeasured(asked: (path: string) => Promise<Response>): Promise<boolean> {
  const { inks }: Shelf = await (await asked('/api/shelf')).json();
  if (inks.length === 0) return false;
  const { job }: Work = await (await asked(`/api/inks/${inks[0].id}`)).json();
  return job?.state === 'done';
}
