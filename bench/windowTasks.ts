/**
 * How long the window's own thread is busy at a stretch, from the browser's trace of each page: by the processor's clock, which
 * other programs hardly lengthen, and by the one on the wall, which is what a person waits.
 */
import { setTimeout as wait } from 'node:timers/promises';
import type { Browser } from 'playwright-core';
import { startServer } from '../tests/window/startWindow.ts';
import { launchPersonsBrowser } from './personsBrowser.ts';
import { type Cookie, openUnwatched, type UnwatchedPage } from './unwatchedPage.ts';
import { actsNamed } from './windowActs.ts';
import { CATEGORIES, type Task, type TraceEvent, tasksOf } from './windowTrace.ts';

export interface BusySpell {
  /** What a person did. */
  readonly act: string;
  /** The longest task by each clock, ms; 0: nothing ran. */
  readonly processorMs: number;
  readonly wallMs: number;
  /** Tasks of more than 50 ms, by each clock. */
  readonly long: { readonly processor: number; readonly wall: number };
  /** What the processor did in the longest task, ms by the trace's names; the longest first. By the wall where that is over 50 ms. */
  readonly parts: readonly (readonly [name: string, ms: number])[];
}

/** Marks our own thread in the trace: the browser's frame has pages of its own. */
const MARK = 'the window';
/** From here on a person sees that a window does not follow. */
export const LONG_MS = 50;
const LONG_US = LONG_MS * 1000;
/**
 * A window that was just opened begins with pages of the browser's own (its address bar's list, a spare process for the next page) and
 * ends those of the window before: four threads want two processors, whatever page is opened. A person's browser stands open already.
 */
const RESTED_MS = 1500;

export interface ActsWanted {
  /** What the names of those that are told hold. */
  readonly named: string;
  /** How often each is done; the median is told. */
  readonly times: number;
}

export const ALL_ACTS_ONCE: ActsWanted = { named: '', times: 1 };

/** @param library one that is there already, measured */
export async function windowTasks(
  library: string,
  width: number,
  height: number,
  { named, times }: ActsWanted = ALL_ACTS_ONCE,
): Promise<readonly BusySpell[]> {
  const server = await startServer(library);
  const browser = await launchPersonsBrowser();
  try {
    const { origin } = new URL(server.url);
    const cookies = await letIn(browser, server.url);
    const newWindow = async (): Promise<UnwatchedPage> => {
      const opened = await openUnwatched(browser, { width, height }, cookies);
      await wait(RESTED_MS);
      return opened;
    };
    let page = await newWindow();
    await page.goto(origin);
    const acts = actsNamed(named);
    const spells = acts.map((): BusySpell[] => []);
    for (let time = 0; time < times; time++) {
      for (const [i, act] of acts.entries()) {
        if (act.anew) {
          await page.close();
          page = await newWindow();
        }
        spells[i].push({ act: act.name, ...(await traced(browser, page, () => act.run(page, origin))) });
      }
    }
    return spells.filter((_, i) => acts[i].told).map(middle);
  } finally {
    await browser.close();
    await server.stop();
  }
}

/** What the address with the token leaves with whoever asks for it. */
async function letIn(browser: Browser, url: string): Promise<readonly Cookie[]> {
  const context = await browser.newContext();
  try {
    await (await context.newPage()).goto(url);
    const kept = await context.cookies();
    return kept.map(({ name, value, domain, path, httpOnly, sameSite }) => ({
      name,
      value,
      domain,
      path,
      httpOnly,
      ...(sameSite && { sameSite }),
    }));
  } finally {
    await context.close();
  }
}

/** By the processor's clock. */
function middle(spells: readonly BusySpell[]): BusySpell {
  return spells.toSorted((a, b) => a.processorMs - b.processorMs)[Math.floor((spells.length - 1) / 2)];
}

async function traced(
  browser: Browser,
  page: UnwatchedPage,
  run: () => Promise<void>,
): Promise<Omit<BusySpell, 'act'>> {
  await browser.startTracing(undefined, { categories: CATEGORIES });
  await run();
  // Text, for it runs in the page, whose world the bench does not know.
  await page.evaluate(`performance.mark(${JSON.stringify(MARK)})`);
  const trace: { readonly traceEvents: readonly TraceEvent[] } = JSON.parse(String(await browser.stopTracing()));
  return longestTasks(tasksOf(trace.traceEvents, MARK));
}

function longestTasks(tasks: readonly Task[]): Omit<BusySpell, 'act'> {
  const [longest] = tasks.toSorted((a, b) => b.processorUs - a.processorUs);
  const [slowest] = tasks.toSorted((a, b) => b.wallUs - a.wallUs);
  const told = slowest !== undefined && slowest.wallUs > LONG_US ? slowest : longest;
  const processor = tasks.map(({ processorUs }) => processorUs);
  const wall = tasks.map(({ wallUs }) => wallUs);
  const long = (of: readonly number[]): number => of.filter((us) => us > LONG_US).length;
  return {
    processorMs: Math.max(0, ...processor) / 1000,
    wallMs: Math.max(0, ...wall) / 1000,
    long: { processor: long(processor), wall: long(wall) },
    parts: (told?.parts() ?? []).map(([name, us]) => [name, us / 1000]),
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

/** What each act's longest task was made of, as far as a part took a ms. */
export function partsLines(spells: readonly BusySpell[]): readonly string[] {
  return spells.map(({ act, parts }) => {
    const told = parts.filter(([, ms]) => ms >= 1).map(([name, ms]) => `${name} ${ms.toFixed(0)}`);
    return `  ${act}: ${told.join(', ')}`;
  });
}

function sum(spells: readonly BusySpell[], clock: 'processor' | 'wall'): number {
  return spells.reduce((total, { long }) => total + long[clock], 0);
}
