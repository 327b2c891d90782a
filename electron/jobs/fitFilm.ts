/** One ink's film fitted. Runs in a worker. */
import type { ToneCurve } from '../../analysis/calibrate/calibration.ts';
import { measureFilm } from '../../analysis/measure/film/measureFilm.ts';
import { type TargetPatch, taughtSensors } from '../../analysis/measure/film/targetPatches.ts';
import { contentKey } from './contentKey.ts';
import type { FilmResult, FilmTask } from './tasks.ts';

let last: { readonly key: string; readonly taught: ReturnType<typeof taughtSensors> } | null = null;

/** A target teaches once: what its scanner sees is asked for with each new box. */
function taughtBy(
  target: readonly TargetPatch[],
  curves: readonly [ToneCurve, ToneCurve, ToneCurve],
): ReturnType<typeof taughtSensors> {
  const key = contentKey({ target, curves });
  if (last?.key !== key) last = { key, taught: taughtSensors(target, curves) };
  return last.taught;
}

export async function fitFilmOf({ target, curves, ...input }: FilmTask): Promise<FilmResult> {
  return measureFilm({ taught: taughtBy(target, curves), ...input });
}
