/** One file's way into the store. */
import type { Problem, Upload } from '../../electron/backend/api.ts';
import { ApiProblem, sendPaths } from '../api/client.ts';

/** The file is no longer what was brought: sending it again is no use. */
export const FILE_GONE: Problem = {
  code: 'file-gone',
  message: 'can no longer be read: it was moved, renamed or changed since it was brought. Bring it in again.',
};

declare global {
  interface Window {
    /** Only in the desktop shell: where a file that the person brought lies. */
    readonly wetline?: { pathOf(file: File): string };
  }
}

/**
 * By its path in the desktop shell; else by its bytes, which the browser reads from disk as it sends them.
 * @param onPart 0..1; null: not known.
 * @throws ApiProblem, or the abort
 */
export async function upload(
  file: File,
  name: string,
  onPart: (part: number | null) => void,
  signal: AbortSignal,
): Promise<Upload> {
  const path = window.wetline?.pathOf(file) ?? '';
  if (path === '') return await sendBytes(file, name, onPart, signal);
  onPart(null);
  const [answer] = await sendPaths({ paths: [path] });
  signal.throwIfAborted();
  return { ...answer, name };
}

/** XMLHttpRequest, since fetch does not tell how far an upload is. */
function sendBytes(file: File, name: string, onPart: (part: number) => void, signal: AbortSignal): Promise<Upload> {
  return new Promise((resolve, reject) => {
    const request = new XMLHttpRequest();
    const abort = (): void => request.abort();
    const fail = (code: string, message: string): void => {
      reject(new ApiProblem({ code, message }, request.status));
    };
    request.open('POST', `/api/uploads?${new URLSearchParams({ name }).toString()}`);
    request.setRequestHeader('content-type', 'application/octet-stream');
    request.upload.addEventListener('progress', ({ loaded, total }) => {
      if (total > 0) onPart(loaded / total);
    });
    request.addEventListener('load', () => {
      signal.removeEventListener('abort', abort);
      const answer = parsed(request.responseText);
      if (request.status >= 200 && request.status < 300 && isUpload(answer)) resolve(answer);
      else if (isProblem(answer)) fail(answer.code, answer.message);
      else fail(`status-${request.status}`, `did not arrive (status ${request.status}). Send it again.`);
    });
    request.addEventListener('error', () => {
      signal.removeEventListener('abort', abort);
      // The browser does not say which of the two it was; asked for the file itself, it does.
      file
        .slice(0, 1)
        .arrayBuffer()
        .then(
          () => fail('no-connection', 'did not arrive: the way to Wetline was cut. Send it again.'),
          () => reject(new ApiProblem(FILE_GONE)),
        );
    });
    request.addEventListener('abort', () => reject(new DOMException('Cancelled.', 'AbortError')));
    signal.addEventListener('abort', abort, { once: true });
    request.send(file);
  });
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

function isUpload(value: unknown): value is Upload {
  return value !== null && typeof value === 'object' && 'hash' in value && 'kind' in value;
}

function isProblem(value: unknown): value is { code: string; message: string } {
  return (
    value !== null &&
    typeof value === 'object' &&
    'code' in value &&
    typeof value.code === 'string' &&
    'message' in value &&
    typeof value.message === 'string'
  );
}
