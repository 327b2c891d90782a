/** What a scanner's sharpening leaves beside ink: paper that reads paler than bare paper. */
import { jackknife } from '../../scatter.ts';
import { type MeanProfile, meansOf } from './meanProfile.ts';

/**
 * From this share of the ink's contrast on a scan was sharpened. Unsharpened pages show 0.2 % at most, a mask of 0.5 at 1 px with the usual blur at 300 dpi 2 to 5 %; what
 * takes thin lines' colours out of their u shows 4 % and more, and at 600 dpi, where the same masks do no harm, they show less than 1.5 % (writing pages, seeds 60101 to 60108).
 */
export const SHARPENED = 0.02;
/** … by so many of its standard deviations between parts of the edges: noise and fibres make paper paler here and darker there. */
const LEAST_SIGMAS = 4;
/** Where to look, px outside the crossing: a mask's own breadth, beyond what blur makes of the ink. */
const FROM_PX = 0.75;
const TO_PX = 8;
/** … of what is so broad, px: one place alone is noise. */
const WINDOW_PX = 1;
/** Places that hardly any edge sees tell nothing. */
const LEAST_SEEN = 0.1;

type Places = Pick<MeanProfile, 'atPx' | 'stepPx' | 'groups' | 'all'>;
type Means = Pick<MeanProfile, 'contrast' | 'counts'>;

/**
 * How much paler than bare paper the palest place beside ink is, as a share of the ink's contrast; 0 where nothing is paler or chance may be it.
 * No ink does this: what it sheds darkens.
 * @param profile Contrast is 0 on paper and grows towards the ink. @param core The ink's own contrast.
 */
export function overshootOf(profile: Places, core: number): number {
  const whole = palest(profile);
  if (whole === null || !(core > 0)) return 0;
  const seen = profile.groups.flatMap((group, g) => (group.counts.some((n) => n > 0) ? [g] : []));
  const parts = seen.flatMap((g) => {
    const contrast = windowAt(profile, meansOf(profile, g), whole.place);
    return contrast === null ? [] : [contrast];
  });
  if (parts.length < 3 || -whole.contrast < LEAST_SIGMAS * jackknife(parts)) return 0;
  return Math.max(0, -whole.contrast / core);
}

function palest(profile: Places): { readonly place: number; readonly contrast: number } | null {
  const means = meansOf(profile, null);
  let best: { place: number; contrast: number } | null = null;
  for (let place = 0; place < profile.atPx.length; place++) {
    const away = -profile.atPx[place];
    if (away < FROM_PX || away > TO_PX) continue;
    const contrast = windowAt(profile, means, place);
    if (contrast !== null && (best === null || contrast < best.contrast)) best = { place, contrast };
  }
  return best;
}

/** Mean contrast over a window about a place; null where too few edges are seen in it. */
function windowAt({ stepPx }: Places, { contrast, counts }: Means, place: number): number | null {
  const half = Math.round(WINDOW_PX / 2 / stepPx);
  let most = 0;
  for (const count of counts) most = Math.max(most, count);
  let sum = 0;
  for (let k = place - half; k <= place + half; k++) {
    if (!(counts[k] > LEAST_SEEN * most)) return null;
    sum += contrast[k];
  }
  return sum / (2 * half + 1);
}
