/** Measured colours as a picture's paint. */
import { type LabTriple, shown } from '../../analysis/colour/shown.ts';

export type Paint = (lab: LabTriple) => string;

/** For the window: the screen shows as much of the colour as it can. */
export const screenPaint: Paint = ([L, a, b]) => `lab(${L.toFixed(2)} ${a.toFixed(2)} ${b.toFixed(2)})`;

/** For files: sRGB, which every program reads. */
export const filePaint: Paint = (lab) => shown(lab).hex;

/** What a picture is drawn on and with. */
export interface Surface {
  readonly width: number;
  readonly height: number;
  readonly paint: Paint;
  readonly document: Document;
}
