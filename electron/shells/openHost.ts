/** Everything behind the window, opened in order and closed in order. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { viewScan } from '../answers/viewScan.ts';
import type { Hello } from '../backend/api.ts';
import { createBackend } from '../backend/createBackend.ts';
import { Measuring } from '../jobs/measuring.ts';
import type { StartJobsProcess } from '../jobs/processMessages.ts';
import { ProcessPool } from '../jobs/processPool.ts';
import { Library } from '../library/library.ts';
import { readScansAnew } from '../library/readScansAnew.ts';
import type { StoredFile } from '../library/storedFile.ts';
import { View } from '../view/view.ts';
import { faultWords } from './faultWords.ts';
import { firstStart } from './firstStart.ts';
import type { Backend } from './serveBrowser.ts';

export interface OpenedHost {
  readonly backend: Backend;
  readonly library: Library;
  /** Jobs cancelled, threads ended, the library closed. */
  close(): Promise<void>;
}

export interface HostOptions {
  /** The project's folder, or the packaged program's. */
  readonly root: string;
  /** The library's folder; made when it is not there. */
  readonly folder: string;
  readonly shell: Hello['shell'];
  /** How the process that measures is started. @default as a child of Node.js */
  readonly startJobs?: StartJobsProcess;
}

/** @throws LibraryError when the library is in use or cannot be used. */
export function openHost({ root, folder, shell, startJobs }: HostOptions): OpenedHost {
  const library = Library.open(folder);
  const view = new View({ cacheFolder: join(folder, 'cache') });
  const measuring = new Measuring(library, { pool: (threads) => new ProcessPool(threads, startJobs) });
  const onDefect = (error: unknown) => {
    process.stderr.write(faultWords(error));
  };
  const assets = join(root, 'dist', 'window');
  let lacking: string | null = null;
  const sampleProblem = () => lacking;
  const version = versionOf(root);
  const backend = createBackend({ library, view, measuring, shell, version, assets, onDefect, sampleProblem });
  const look = async (ink: number, scan: string): Promise<void> => {
    await view.overviewAhead(await viewScan(library, measuring, ink, scan, null));
  };
  const decode = async ({ path: file, hash, info }: StoredFile): Promise<void> => {
    if (info) await view.decode({ file, hash, info });
  };
  const watched = untilPicture(backend);
  const first = firstStart(library, measuring, { decode, look, shown: watched.shown }).catch((error: unknown) => {
    onDefect(error);
    lacking = error instanceof Error ? library.named(error.message) : String(error);
    library.lookAgain();
  });
  const closing = new AbortController();
  const read = watched.shown.then(() => readScansAnew(library, closing.signal)).catch(onDefect);
  return {
    backend: watched.backend,
    library,
    close: async () => {
      closing.abort();
      watched.leave();
      await Promise.all([first, read]);
      await Promise.allSettled([measuring.close(), view.close()]);
      library.close();
    },
  };
}

/** The same backend, and when it has answered with its first picture: after so long nobody is looking at one. */
function untilPicture(backend: Backend): {
  readonly backend: Backend;
  readonly shown: Promise<void>;
  readonly leave: () => void;
} {
  const { promise, resolve } = withResolvers();
  const timer = setTimeout(resolve, PICTURE_MS).unref();
  const fetch = async (request: Request): Promise<Response> => {
    const answer = await backend.fetch(request);
    if (PICTURE.test(request.url)) resolve();
    return answer;
  };
  const leave = (): void => {
    clearTimeout(timer);
    resolve();
  };
  return { backend: { fetch }, shown: promise, leave };
}

const PICTURE = /\/overview\//;
const PICTURE_MS = 1500;

function withResolvers(): { readonly promise: Promise<void>; readonly resolve: () => void } {
  let resolve = (): void => {};
  const promise = new Promise<void>((settle) => {
    resolve = settle;
  });
  return { promise, resolve };
}

function versionOf(root: string): string {
  const { version }: { version: string } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
  return version;
}
