import type { Sharp } from 'sharp';

/** The image library, loaded when a file is first opened with it: a tenth of a second of each thread's, which those that read plain rows never need. */
export async function openImage(file: string, oddTags?: true): Promise<Sharp> {
  const { openedBy } = await import('./imageLibrary.ts');
  return openedBy(file, oddTags);
}
