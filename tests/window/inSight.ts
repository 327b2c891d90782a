/** What a test may look at only once it is there and stands still. */
import type { Locator } from 'playwright-core';
import { expect } from 'vitest';

export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Waits until there are so many images, and all have come and hold pixels; tells their widths, px of the file. */
export async function picturesCome(images: Locator, count: number): Promise<readonly number[]> {
  const widths = () =>
    images.evaluateAll((all) =>
      all.map((image) => (image instanceof HTMLImageElement && image.complete ? image.naturalWidth : 0)),
    );
  const come = async () => (await widths()).filter((width) => width > 0).length;
  await expect.poll(come, { timeout: 30_000, message: 'all pictures have come' }).toBe(count);
  return widths();
}

/** Where something lies on the screen once two frames show it at the same place. */
export async function settledBox(thing: Locator): Promise<Box> {
  let found: Box | null = null;
  const standsStill = async () => {
    const before = found;
    found = await thing.boundingBox();
    return found !== null && JSON.stringify(found) === JSON.stringify(before);
  };
  await expect.poll(standsStill, { timeout: 20_000, message: 'it is in sight and stands still' }).toBe(true);
  if (found === null) throw new Error('it is not in sight');
  return found;
}
