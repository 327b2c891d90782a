/**
 * How long the window's own thread is busy at a stretch, from the browser's trace of each page: by the processor's clock, which
 * other programs hardly lengthen, and by the one on the wall, which is what a person waits.
 */
import { type Browser, type Page, chromium } from 'playwright-core';
import { findBrowser } from '../tests/window/findBrowser.ts';
import { startServer } from '../tests/window/startWindow.ts';
import { ACTS } from './windowActs.ts';

export interface BusySpell {
  /** What a person did. */
  readonly act: string;
  /** The longest task by each clock, ms; 0: nothing ran. */
  readonly processorMs: number;
  readonly wallMs: number;
  /** Tasks of more than 50 ms, by each clock. */
  readonly long: { readonly processor: number; readonly wall: number };
}

/** As the browser writes it; times in µs, `tdur` by the processor's clock. */
interface TraceEvent {
  readonly name: string;
  readonly ph: string;
  readonly pid: number;
  readonly tid: number;
  readonly dur?: number;
  readonly tdur?: number;
  readonly args: { readonly name?: string };
}

export const BROWSER_ARGS = [
  '--no-sandbox',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];
const CATEGORIES = ['toplevel', 'disabled-by-default-devtools.timeline', 'blink.user_timing', '__metadata'];
/** Marks our own thread in the trace: the browser's frame has pages of its own. */
const MARK = 'the window';
const LONG_US = 50_000;
/**
 * A window that was just opened begins with pages of the browser's own (its address bar's list, a spare process for the next page) and
 * ends those of the window before: four threads want two processors, whatever page is opened. A person's browser stands open already.
 */
const RESTED_MS = 1500;

/** @param library one that is there already, measured */
export async function windowTasks(library: string, width: number, height: number): Promise<readonly BusySpell[]> {
  const server = await startServer(library);
  const browser = await chromium.launch({ executablePath: findBrowser(), args: BROWSER_ARGS });
  try {
    const { origin } = new URL(server.url);
    let page = await browser.newPage({ viewport: { width, height } });
    await page.goto(server.url);
    const storageState = await page.context().storageState();
    const spells: BusySpell[] = [];
    for (const act of ACTS) {
      if (act.anew) {
        await page.context().close();
        page = await browser.newPage({ viewport: { width, height }, storageState });
        await page.waitForTimeout(RESTED_MS);
      }
      spells.push({ act: act.name, ...(await traced(browser, page, () => act.run(page, origin))) });
    }
    return spells;
  } finally {
    await browser.close();
    await server.stop();
  }
}

async function traced(browser: Browser, page: Page, run: () => Promise<void>): Promise<Omit<BusySpell, 'act'>> {
  await browser.startTracing(page, { categories: CATEGORIES });
  await run();
  // Text, for it runs in the page, whose world the bench does not know.
  await page.evaluate(`performance.mark(${JSON.stringify(MARK)})`);
  const trace: { readonly traceEvents: readonly TraceEvent[] } = JSON.parse(String(await browser.stopTracing()));
  return longestTasks(trace.traceEvents);
}

function longestTasks(events: readonly TraceEvent[]): Omit<BusySpell, 'act'> {
  const ours = new Set(events.filter(({ name }) => name === MARK).map(({ pid }) => pid));
  const threads = new Set(
    events
      .filter(({ name, pid, args }) => name === 'thread_name' && args.name === 'CrRendererMain' && ours.has(pid))
      .map(({ pid, tid }) => `${pid}/${tid}`),
  );
  const tasks = events.filter(
    ({ name, ph, pid, tid }) => name === 'RunTask' && ph === 'X' && threads.has(`${pid}/${tid}`),
  );
  // A virtual machine's clocks drift: no task takes more of the processor than time.
  const processor = tasks.map(({ tdur = 0, dur = 0 }) => Math.min(tdur, dur));
  const wall = tasks.map(({ dur = 0 }) => dur);
  const long = (of: readonly number[]): number => of.filter((us) => us > LONG_US).length;
  return {
    processorMs: Math.max(0, ...processor) / 1000,
    wallMs: Math.max(0, ...wall) / 1000,
    long: { processor: long(processor), wall: long(wall) },
  };
}

/** A table of many screens, one line an act. */
export function tasksTable(byScreen: Readonly<Record<string, readonly BusySpell[]>>): readonly string[] {
  const screens = Object.entries(byScreen);
  const cell = ({ processorMs, wallMs }: BusySpell): string => `${processorMs.toFixed(0)} (${wallMs.toFixed(0)})`;
  const line = (first: string, rest: readonly string[]): string =>
    first.padEnd(28) + rest.map((one) => one.padStart(16)).join('');
  const acts = screens[0]?.[1] ?? [];
  return [
    line(
      '',
      screens.map(([screen]) => screen),
    ),
    ...acts.map(({ act }, i) =>
      line(
        act,
        screens.map(([, spells]) => cell(spells[i])),
      ),
    ),
    line(
      'over 50 ms',
      screens.map(([, spells]) => `${sum(spells, 'processor')} (${sum(spells, 'wall')})`),
    ),
  ];
}

function sum(spells: readonly BusySpell[], clock: 'processor' | 'wall'): number {
  return spells.reduce((total, { long }) => total + long[clock], 0);
}
