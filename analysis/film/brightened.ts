/** Whether a sheet looks brightened: it glows blue by daylight, and a scanner's lamp excites that less. */
import { chroma, type LabD50 } from '../colour/lab.ts';

/** b* by the target's map below which an undyed sheet is brightened. */
const BELOW_B = -2;
/**
 * A brightener is put into white sheets: light, of small chroma, and blue to violet in hue (a* from a little below 0 up to 4, b* down to −12). A sheet that is darker, stronger, or
 * of another hue is dyed. Widened by what a scanner may err; common practice, no source.
 */
const LEAST_L = 90;
const MOST_CHROMA = 15;
const LEAST_A = -2;
const MOST_A = 6;

/** @param lab by the target's map @param belowB @default −2 */
export function looksBrightened(lab: LabD50, belowB = BELOW_B): boolean {
  const [L, a, b] = lab;
  return b < belowB && L > LEAST_L && a > LEAST_A && a < MOST_A && chroma(lab) < MOST_CHROMA;
}
