/** Three scanners for one seed that are unlike one another: lamp, filters, matrix, tone law and light are all drawn anew for each. */
import { normal, seededRandom } from '../analysis/seededRandom.ts';
import {
  drawScanner as drawSampleScanner,
  toneValue,
  toSignal,
  type Scanner,
} from '../sample-scans/generator/scanner.ts';
import { between } from './draw.ts';
import { drawScanner, LAMPS } from './simulatedScanner.ts';
import { WAVELENGTHS } from './spectra.ts';

/**
 * ordinary: a white LED, a line lamp and another LED as the sample scans' generator draws them, near what flatbeds are.
 * mixed: the LED and the line lamp of those, and one of this study's with a smooth lamp.
 * unlike the eye: all three by this study (simulatedScanner.ts), whose matrices and filters go as far as any driver's might.
 */
export const SCANNER_FAMILIES = ['ordinary', 'mixed', 'unlike the eye'] as const;
export type ScannerFamily = (typeof SCANNER_FAMILIES)[number];

export interface NamedScanner {
  readonly name: string;
  readonly scanner: Scanner;
}

export function threeScanners(seed: number, family: ScannerFamily): NamedScanner[] {
  const random = seededRandom(seed * 6007 + 29);
  const generated = (lamp: 'led' | 'line', n: number) => drawSampleScanner(3 * seed + n, { lamp });
  const own = (kind: (typeof LAMPS)[number], n: number): Scanner => ({
    ...drawSampleScanner(3 * seed + n),
    sensitivity: sensorsOf(drawScanner(random, kind).sensors),
  });
  if (family === 'unlike the eye') return LAMPS.map((kind, n) => ({ name: NAMES[kind], scanner: own(kind, n) }));
  return [
    { name: 'LED', scanner: generated('led', 0) },
    { name: 'line lamp', scanner: generated('line', 1) },
    family === 'mixed'
      ? { name: 'smooth lamp', scanner: own('smooth', 2) }
      : { name: 'other LED', scanner: generated('led', 2) },
  ];
}
const NAMES = { LED: 'LED', lines: 'line lamp', smooth: 'smooth lamp' } as const;

/**
 * The same scanner another day: gains off by half a percent, stray light by a tenth, the lamp a little yellower or bluer, and the
 * bed's light leaning otherwise. Ranges are choices of this study, no source.
 */
export function anotherDay(scanner: Scanner, seed: number): Scanner {
  const random = seededRandom(seed * 7351 + 3);
  const tilt = 0.02 * normal(random);
  const [r, g, b] = scanner.sensitivity.map((band) => {
    const aged = band.map((v, i) => v * (1 + (tilt * (WAVELENGTHS[i] - 555)) / 175));
    const [was, is] = [band, aged].map((list) => list.reduce((sum, v) => sum + v, 0));
    return aged.map((v) => (v * was) / is);
  });
  const [t0, t1, t2] = scanner.tone.map((law) => ({ ...law, span: law.span * (1 + 0.005 * normal(random)) }));
  const stray = 1 + 0.1 * normal(random);
  const { light } = scanner;
  return {
    ...scanner,
    sensitivity: [r, g, b],
    tone: [t0, t1, t2],
    flare: [scanner.flare[0] * stray, scanner.flare[1] * stray, scanner.flare[2] * stray],
    light: { ...light, alongLinear: light.alongLinear + between(random, -0.005, 0.005), alongPhase: 6 * random() },
  };
}

/** Device values 0..1 of a reflectance, without noise, in even light. */
export function deviceOf(scanner: Scanner, reflectance: ArrayLike<number>): [number, number, number] {
  const [x, y, z] = toSignal(scanner, reflectance).map((v, c) =>
    toneValue(scanner.tone[c], (v + scanner.flare[c]) / (1 + scanner.flare[c])),
  );
  return [x, y, z];
}

function sensorsOf(sensors: readonly (readonly number[])[]): Scanner['sensitivity'] {
  return [Float64Array.from(sensors[0]), Float64Array.from(sensors[1]), Float64Array.from(sensors[2])];
}
