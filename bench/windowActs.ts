/** What a person does in the window, one act after another, for the bench to trace. */
import { setTimeout as wait } from 'node:timers/promises';
import type { Place, UnwatchedPage } from './unwatchedPage.ts';

export interface Act {
  readonly name: string;
  /** In a new window, with nothing held from before. */
  readonly anew: boolean;
  /** Whatever was done before, it leads to the same page. */
  readonly leads: boolean;
  readonly run: (page: UnwatchedPage, origin: string) => Promise<void>;
}

const OPENED_MS = 2500;
const TURNED_MS = 1200;
const PRESSED_MS = 700;
const DRAG_STEPS = 20;
const DRAG_STEP_MS = 30;

const PAGES = {
  Shelf: '/shelf',
  Scans: '/ink/1/scans?scan=white',
  'Scans, target': '/ink/1/scans?scan=target',
  'Scans, two beside': '/ink/1/scans?scan=white;yellow',
  Findings: '/ink/1/findings',
  'Findings, chosen': `/ink/1/findings?finding=${encodeURIComponent('shading(b-white)')}`,
  'Findings, a band': `/ink/1/findings?finding=${encodeURIComponent('bandPosition(fresh)#1')}`,
  'Findings, plots': '/ink/1/findings?show=plots',
  'Findings, film': '/ink/1/findings?show=film',
  'Nibs and papers': '/ink/1/writing',
  'On other papers': '/ink/1/papers',
  Strips: '/ink/1/strips',
  'Dyes of all inks': '/dyes',
  'Report card': '/ink/1/calibration?scan=target',
} as const;

const opened = Object.entries(PAGES).map(([name, address]): Act => ({
  name: `open on ${name}`,
  anew: true,
  leads: true,
  run: async (page, origin) => {
    await page.goto(`${origin}/#${address}`);
    await wait(OPENED_MS);
  },
}));

const wentTo = (name: keyof typeof PAGES): Act => ({
  name: `go to ${name}`,
  anew: false,
  leads: true,
  run: async (page) => {
    await page.evaluate(`location.hash = ${JSON.stringify(PAGES[name])}`);
    await wait(TURNED_MS);
  },
});

const pressed = (key: string, does: string): Act => ({
  name: `${key}: ${does}`,
  anew: false,
  leads: false,
  run: async (page) => {
    await page.press(key);
    await wait(PRESSED_MS);
  },
});

const clicked = (does: string, what: string): Act => ({
  name: does,
  anew: false,
  leads: false,
  run: async (page) => {
    await page.click(`document.querySelector(${JSON.stringify(what)})`);
    await wait(PRESSED_MS);
  },
});

/** From the middle of the scan, in steps as a hand makes them; ends where it began when `back`. */
const dragged = (does: string, back = false): Act => ({
  name: does,
  anew: false,
  leads: false,
  run: async (page) => {
    const from = await middleOfView(page);
    const [x, y] = from;
    let at: Place = from;
    await page.move(at);
    await page.down(at);
    for (let i = 1; i <= DRAG_STEPS; i++) {
      const share = back ? Math.sin((i / DRAG_STEPS) * Math.PI) : i / DRAG_STEPS;
      at = [x + 180 * share, y + 90 * share];
      await page.move(at);
      await wait(DRAG_STEP_MS);
    }
    await page.up(at);
    await wait(PRESSED_MS);
  },
});

const zoomed: Act = {
  name: 'the wheel: closer and back',
  anew: false,
  leads: false,
  run: async (page) => {
    const at = await middleOfView(page);
    await page.move(at);
    for (const by of [-300, -300, -300, 300, 300, 300]) {
      await page.wheel(at, by);
      await wait(150);
    }
    await wait(PRESSED_MS);
  },
};

/** To four fifths of it and back, at a stroke. */
const resized: Act = {
  name: 'another size of the window',
  anew: false,
  leads: false,
  run: async (page) => {
    const { width, height } = page.size();
    for (const share of [0.8, 1]) {
      await page.resize({ width: width * share, height: height * share });
      await wait(PRESSED_MS);
    }
  },
};

const newInk: Act = {
  name: 'a new ink',
  anew: false,
  leads: false,
  run: async (page) => {
    await page.click(named('button', 'New ink'));
    await page.click(named('label', 'Name of the ink'));
    await page.type('Heron Grey');
    await page.click(named('button', 'Make the ink'));
    await wait(TURNED_MS);
  },
};

function middleOfView(page: UnwatchedPage): Promise<Place> {
  return page.placeOf(`document.querySelector('.viewer-picture')`);
}

/** A script that finds an element by the words in it. */
function named(selector: string, words: string): string {
  return `[...document.querySelectorAll(${JSON.stringify(selector)})].find((one) => one.textContent.includes(${JSON.stringify(words)}))`;
}

export const ACTS: readonly Act[] = [
  ...opened,
  wentTo('Shelf'),
  wentTo('Scans'),
  wentTo('Scans, target'),
  wentTo('Findings'),
  clicked('choose a figure', '[data-finding="shading(ef-white)"]'),
  clicked('choose one on another scan', '[data-finding="bandColour(dried)#3"]'),
  pressed('ArrowDown', 'the next figure'),
  pressed('t', 'notes in words'),
  pressed('n', 'the next region'),
  resized,
  wentTo('Findings, chosen'),
  wentTo('Findings, a band'),
  wentTo('Findings, plots'),
  wentTo('Findings, film'),
  pressed('.', 'the next nib’s dose'),
  wentTo('Nibs and papers'),
  pressed('v', 'all values'),
  pressed('+', 'pictures enlarged'),
  wentTo('On other papers'),
  clicked('another paper', '.paper-tile:not([data-selected])'),
  wentTo('Strips'),
  pressed('n', 'a band'),
  pressed('+', 'nearer'),
  pressed('2', 'which dye where'),
  pressed('3', 'fresh and dried'),
  wentTo('Dyes of all inks'),
  wentTo('Report card'),
  pressed('n', 'a patch'),
  resized,
  wentTo('Shelf'),
  newInk,
  { ...wentTo('Scans'), name: 'the other ink' },
  zoomed,
  dragged('the scan moved by hand', true),
  resized,
  pressed('1', 'a kind of region taken'),
  dragged('a region drawn'),
  pressed('ArrowRight', 'it is moved'),
  pressed('Control+z', 'undone'),
  pressed('Control+z', 'and the region, too'),
  pressed(']', 'the next scan'),
  wentTo('Scans, two beside'),
  resized,
  wentTo('Scans'),
  pressed('p', 'the probe'),
  pressed('n', 'pin a colour'),
  pressed('e', 'its map'),
  dragged('the pin dragged, its map follows', true),
  pressed('Control+a', 'choose all regions'),
  pressed('?', 'help'),
];

/** An act, and whether its tasks are told. */
export type ChosenAct = Act & { readonly told: boolean };

/** Those whose names hold `text`, and what leads to each of them, untold: what is done from the page that was last gone to. */
export function actsNamed(text: string): readonly ChosenAct[] {
  const words = text.toLowerCase();
  const isMeant = ACTS.map(({ name }) => name.toLowerCase().includes(words));
  if (!isMeant.includes(true))
    throw new Error(`--acts "${text}" is in no act's name; they stand in bench/windowActs.ts.`);
  return ACTS.flatMap((act, i) => {
    const next = ACTS.findIndex(({ leads }, k) => leads && k > i);
    const last = isMeant.lastIndexOf(true, (next < 0 ? ACTS.length : next) - 1);
    return last < i ? [] : [{ ...act, told: isMeant[i] }];
  });
}
