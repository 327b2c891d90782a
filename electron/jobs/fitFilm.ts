/** One ink's film fitted. Runs in a worker. */
import { measureFilm } from '../../analysis/measure/film/measureFilm.ts';
import { type TargetPatch, taughtSensors } from '../../analysis/measure/film/targetPatches.ts';
import { contentKey } from './contentKey.ts';
import type { FilmResult, FilmTask } from './tasks.ts';

let last: { readonly key: string; readonly taught: ReturnType<typeof taughtSensors> } | null = null;

/** A target teaches once: what its scanner sees is asked for with each new box. */
function taughtBy(target: readonly TargetPatch[]): ReturnType<typeof taughtSensors> {
  const key = contentKey(target);
  if (last?.key !== key) last = { key, taught: taughtSensors(target) };
  return last.taught;
}

export async function fitFilmOf({ target, ...input }: FilmTask): Promise<FilmResult> {
  return measureFilm({ taught: taughtBy(target), ...input });
}
