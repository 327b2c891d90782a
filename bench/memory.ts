/**
 * The window's process while it is asked for the most: a whole A4 page at 600 dpi with the target on it is calibrated and
 * measured, and looked at meanwhile. Its peak memory, worker threads included, is what the bench is after.
 */
import { existsSync, openAsBlob, readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { FindingsReport, ImportAnswer, Job, Upload, Work } from '../electron/backend/api.ts';
import type { SheetRegion } from '../electron/sheet/sheetSchema.ts';
import { type Ask, built, firstInk, startProgram } from './windowStart.ts';

const SAMPLE = fileURLToPath(new URL('../sample-scans/', import.meta.url));
/** Four nibs' lines, two swabs: what a page of one paper holds. Its bare paper is looked for between them. Boxes mm. */
const REGIONS: readonly SheetRegion[] = [
  { id: 'ef', scan: 'page', kind: 'strokes', boxMm: [8, 120, 190, 24], nib: 'EF', nibWidthMm: 0.4 },
  { id: 'f', scan: 'page', kind: 'strokes', boxMm: [8, 145, 190, 30], nib: 'F', nibWidthMm: 0.6 },
  { id: 'm', scan: 'page', kind: 'strokes', boxMm: [8, 176, 190, 30], nib: 'M', nibWidthMm: 0.8 },
  { id: 'b', scan: 'page', kind: 'strokes', boxMm: [8, 207, 190, 30], nib: 'B', nibWidthMm: 1 },
  { id: 'swab-1', scan: 'page', kind: 'swab', boxMm: [8, 137.5, 190, 7] },
  { id: 'swab-2', scan: 'page', kind: 'swab', boxMm: [8, 258.1, 190, 7] },
];

export interface WindowPeak {
  readonly seconds: number;
  readonly findings: number;
  /** Resident pages at their most, worker threads included; null: this system does not tell. */
  readonly peakMb: number | null;
}

/** @param page What `writeTargetPage` (targetPage.ts) wrote. @param folder For the library; made when it is not there. */
export async function measureAndLook(page: string, folder: string): Promise<WindowPeak> {
  await built();
  const { ask, pid, end } = await startProgram(folder);
  try {
    // The sample that a first start measures is done with first.
    await jobEnded(ask, await firstInk(ask));
    const send = async <T>(path: string, body: unknown): Promise<T> => {
      const headers = { 'content-type': 'application/json' };
      return answerOf<T>(await ask(path, { method: 'POST', headers, body: JSON.stringify(body) }), path);
    };
    const bring = async (file: string): Promise<Upload> => {
      const path = `/api/uploads?name=${basename(file)}`;
      return answerOf<Upload>(await ask(path, { method: 'POST', body: await openAsBlob(file) }), path);
    };
    const scan = await bring(page);
    const layout = await bring(join(SAMPLE, 'layout.json'));
    const reference = await bring(join(SAMPLE, 'reference.txt'));
    const { ink } = await send<Work>('/api/inks', { name: 'Bench', maker: null });
    const at = `/api/inks/${ink.id}`;
    const { added } = await send<ImportAnswer>(`${at}/import`, { uploads: [{ name: 'page.tif', hash: scan.hash }] });
    const target = { scan: added[0], layout: layout.hash, reference: reference.hash };
    await send(`${at}/edits`, { edit: { edit: 'setTarget', serves: 'all', target } });
    for (const region of REGIONS) {
      await send(`${at}/edits`, { edit: { edit: 'addRegion', region: { ...region, scan: added[0] } } });
    }
    const from = performance.now();
    await send(`${at}/measure`, {});
    let ended = false;
    const looking = look(ask, at, () => ended);
    const job = await jobEnded(ask, ink.id);
    ended = true;
    await looking;
    const seconds = (performance.now() - from) / 1000;
    if (job.state !== 'done') throw new Error(job.problem ?? 'the job did not end well');
    const { findings, problems } = await answerOf<FindingsReport>(await ask(`${at}/findings`), 'findings');
    if (problems.length > 0) throw new Error(problems.map((p) => `${p.region}: ${p.message}`).join('; '));
    return { seconds, findings: findings.length, peakMb: peakOf(pid) };
  } finally {
    await end();
  }
}

async function answerOf<T>(answer: Response, what: string): Promise<T> {
  const text = await answer.text();
  if (!answer.ok) throw new Error(`${what}: status ${answer.status}: ${text}`);
  const value: T = JSON.parse(text);
  return value;
}

async function jobEnded(ask: Ask, ink: number): Promise<Job> {
  for (;;) {
    const { job } = await answerOf<Work>(await ask(`/api/inks/${ink}`), 'work');
    if (job !== null && job.state !== 'running') return job;
    await new Promise((resolve) => setTimeout(resolve, 200));
  }
}

/** Overview and tiles all over the page, one after the other, until the measuring has ended. */
async function look(ask: Ask, at: string, isOver: () => boolean): Promise<void> {
  const { scans } = await answerOf<Work>(await ask(at), 'work');
  const { id, colours, levels } = scans[0];
  const see = async (path: string) => (await ask(`${at}/scans/${id}/${path}`)).arrayBuffer();
  await see(`overview/${colours.key}`);
  for (let n = 0; n < 12 || (!isOver() && n < 500); n++) {
    await see(`tiles/${colours.key}/${levels - 1}/${(7 * n) % 19}/${(11 * n) % 27}`);
  }
}

function peakOf(pid: number): number | null {
  const file = `/proc/${pid}/status`;
  const [, kB] = existsSync(file) ? (/^VmHWM:\s+(\d+) kB$/m.exec(readFileSync(file, 'utf8')) ?? []) : [];
  return kB === undefined ? null : Number(kB) / 1024;
}
