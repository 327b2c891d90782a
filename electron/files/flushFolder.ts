import { open } from 'node:fs/promises';

/** Makes new names in a folder last through a power cut; not every system can. */
export async function flushFolder(folder: string): Promise<void> {
  try {
    const handle = await open(folder, 'r');
    await handle.sync().finally(() => handle.close());
  } catch {
    // The file is whole and in place; only the guarantee against power loss is missing.
  }
}
