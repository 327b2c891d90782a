/** A new ink, made once however often it must be asked for. */
import { createInk } from './client.ts';
import { edit, takeWork } from './store.ts';

export interface NewInk {
  readonly name: string;
  readonly maker: string | null;
  /** What its maker calls the colour. @default null */
  readonly claim?: string | null;
}

/**
 * @param request Of `nextRequest`: an earlier try of this name, whose answer got lost, may have made it. @returns its number
 * @throws ApiProblem
 */
export async function makeInk({ name, maker, claim = null }: NewInk, request: string): Promise<number> {
  const work = await createInk(name, maker, request);
  const { ink } = work;
  takeWork(ink.id, work);
  // It is there by now: what cannot be saved of it is told, and kept, where it is opened. The earlier try may have said another name.
  if (claim !== null || ink.name !== name || ink.maker !== maker) {
    void edit(ink.id, { edit: 'changeInk', name, maker, claim });
  }
  return ink.id;
}
