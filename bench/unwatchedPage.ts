/**
 * A page as a person has it: nobody records what it fetches, logs and throws. Whoever drives a page through the usual library has the
 * engine do all three: each error's lines are looked up (React makes three as it is loaded, for which its whole file is read twice: 53 ms
 * for 9), and a picture that the collector takes is first written down as text (20 to 70 ms of a pause of 30 to 80).
 */
import type { Browser, CDPSession } from 'playwright-core';

export interface Size {
  readonly width: number;
  readonly height: number;
}

/** Where on the page, CSS px. */
export type Place = readonly [x: number, y: number];

export interface UnwatchedPage {
  readonly size: () => Size;
  readonly resize: (size: Size) => Promise<void>;
  /** Does not wait for it to be loaded. */
  readonly goto: (address: string) => Promise<void>;
  /** @param script one expression; @returns what it comes to, waited for. @throws what it throws */
  readonly evaluate: (script: string) => Promise<unknown>;
  /** @param key 'm', '?', 'ArrowDown', 'Control+z' */
  readonly press: (key: string) => Promise<void>;
  readonly type: (text: string) => Promise<void>;
  /** The middle of what a script finds, once it is there. */
  readonly placeOf: (element: string) => Promise<Place>;
  readonly click: (element: string) => Promise<void>;
  readonly move: (to: Place) => Promise<void>;
  readonly down: (at: Place) => Promise<void>;
  readonly up: (at: Place) => Promise<void>;
  readonly wheel: (at: Place, byPx: number) => Promise<void>;
  readonly close: () => Promise<void>;
}

const CONTROL = 2;
const FOUND_WITHIN_MS = 5000;
const LOOK_AGAIN_MS = 50;

/** What the keys of an act are to the browser, where it is not their letter. */
const CODES: Readonly<Record<string, number>> = { ArrowLeft: 37, ArrowUp: 38, ArrowRight: 39, ArrowDown: 40 };

export interface Cookie {
  readonly name: string;
  readonly value: string;
  readonly domain: string;
  readonly path: string;
  readonly httpOnly: boolean;
  readonly sameSite?: 'Strict' | 'Lax' | 'None';
}

/** In a window of its own, with nothing held from before but the cookies. */
export async function openUnwatched(browser: Browser, size: Size, cookies: readonly Cookie[]): Promise<UnwatchedPage> {
  const whole = await browser.newBrowserCDPSession();
  const { browserContextId } = await whole.send('Target.createBrowserContext');
  await whole.send('Storage.setCookies', { cookies: [...cookies], browserContextId });
  // Not one of the library's own contexts: it lets go of the page at once.
  const { targetId } = await whole.send('Target.createTarget', {
    url: 'about:blank',
    browserContextId,
    newWindow: true,
    ...size,
  });
  const tell = await talkTo(whole, targetId);
  let now = size;
  const resize = async (to: Size): Promise<void> => {
    await tell('Emulation.setDeviceMetricsOverride', { ...to, deviceScaleFactor: 1, mobile: false });
    now = to;
  };
  const evaluate = async (expression: string): Promise<unknown> => {
    const answer = await tell('Runtime.evaluate', { expression, awaitPromise: true, returnByValue: true });
    if (!isEvaluated(answer)) throw new Error(`the page could not do “${expression}”: ${JSON.stringify(answer)}`);
    return answer.result.value;
  };
  const mouse = async (type: string, [x, y]: Place, more: object = {}): Promise<void> => {
    await tell('Input.dispatchMouseEvent', { type, x, y, ...more });
  };
  let isDown = false;
  const move = (to: Place): Promise<void> =>
    mouse('mouseMoved', to, isDown ? { button: 'left', buttons: 1 } : { button: 'none' });
  const down = (at: Place): Promise<void> => {
    isDown = true;
    return mouse('mousePressed', at, { button: 'left', buttons: 1, clickCount: 1 });
  };
  const up = (at: Place): Promise<void> => {
    isDown = false;
    return mouse('mouseReleased', at, { button: 'left', buttons: 0, clickCount: 1 });
  };
  const placeOf = async (element: string): Promise<Place> => {
    const found = await evaluate(`(async () => {
      for (const from = Date.now(); Date.now() - from < ${FOUND_WITHIN_MS}; ) {
        const element = ${element};
        element?.scrollIntoViewIfNeeded();
        const box = element?.getBoundingClientRect();
        if (box?.width > 0) return [box.x + box.width / 2, box.y + box.height / 2];
        await new Promise((resolve) => setTimeout(resolve, ${LOOK_AGAIN_MS}));
      }
    })()`);
    if (!isPlace(found)) throw new Error(`the page shows nothing that “${element}” finds`);
    return found;
  };
  await tell('Emulation.setFocusEmulationEnabled', { enabled: true });
  await resize(size);
  return {
    size: () => now,
    resize,
    evaluate,
    placeOf,
    move,
    down,
    up,
    goto: async (url) => void (await tell('Page.navigate', { url })),
    press: async (key) => {
      for (const event of keyEvents(key)) await tell('Input.dispatchKeyEvent', event);
    },
    type: async (text) => void (await tell('Input.insertText', { text })),
    click: async (element) => {
      const at = await placeOf(element);
      await move(at);
      await down(at);
      await up(at);
    },
    wheel: (at, byPx) => mouse('mouseWheel', at, { deltaX: 0, deltaY: byPx }),
    close: async () => {
      await whole.send('Target.disposeBrowserContext', { browserContextId });
      await whole.detach();
    },
  };
}

function keyEvents(name: string): readonly object[] {
  const held = name.startsWith('Control+');
  const key = held ? name.slice('Control+'.length) : name;
  const code = CODES[key] ?? key.toUpperCase().charCodeAt(0);
  const press = { key, windowsVirtualKeyCode: code, modifiers: held ? CONTROL : 0 };
  const text = held || key.length > 1 ? {} : { text: key };
  return [
    { ...press, ...text, type: 'text' in text ? 'keyDown' : 'rawKeyDown' },
    { ...press, type: 'keyUp' },
  ];
}

/** Orders to one page, in the browser's own words. */
async function talkTo(
  whole: CDPSession,
  targetId: string,
): Promise<(method: string, params: object) => Promise<unknown>> {
  const { sessionId } = await whole.send('Target.attachToTarget', { targetId, flatten: false });
  const waiting = new Map<number, (answer: Answer) => void>();
  whole.on('Target.receivedMessageFromTarget', ({ sessionId: from, message }) => {
    const answer: Answer = JSON.parse(message);
    if (from !== sessionId || answer.id === undefined) return;
    waiting.get(answer.id)?.(answer);
    waiting.delete(answer.id);
  });
  let last = 0;
  return async (method, params) => {
    const id = ++last;
    const answered = new Promise<Answer>((resolve) => void waiting.set(id, resolve));
    await whole.send('Target.sendMessageToTarget', { sessionId, message: JSON.stringify({ id, method, params }) });
    const { result, error } = await answered;
    if (error) throw new Error(`${method}: ${error.message}`);
    return result;
  };
}

interface Answer {
  readonly id?: number;
  readonly result?: unknown;
  readonly error?: { readonly message: string };
}

function isEvaluated(answer: unknown): answer is { readonly result: { readonly value?: unknown } } {
  return typeof answer === 'object' && answer !== null && 'result' in answer && !('exceptionDetails' in answer);
}

function isPlace(found: unknown): found is Place {
  return Array.isArray(found) && found.length === 2 && found.every((one) => typeof one === 'number');
}
