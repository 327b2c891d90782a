/** Thin lines around areas, and a hatch within them, dot by dot: the ink between them stays visible at every zoom. */

/** What a dot of the picture shows. */
export const LINE = { none: 0, line: 1, light: 2, dark: 3 } as const;

/**
 * The line runs on the area's own rim; outside it lie a light and a dark dot, so that it reads on any ground.
 * @param inside nonzero within the area, row by row.
 */
export function outlineOf(inside: Uint8Array, width: number, height: number): Uint8Array {
  const out = new Uint8Array(inside.length);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const i = y * width + x;
      if (inside[i] !== 0 && touches(inside, width, height, x, y, (v) => v === 0)) out[i] = LINE.line;
    }
  }
  casing(out, inside, width, height, LINE.line, LINE.light);
  casing(out, inside, width, height, LINE.light, LINE.dark);
  return out;
}

function casing(out: Uint8Array, inside: Uint8Array, width: number, height: number, around: number, as: number): void {
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const i = y * width + x;
      if (inside[i] !== 0 || out[i] !== LINE.none) continue;
      if (touches(out, width, height, x, y, (v) => v === around)) out[i] = as;
    }
  }
}

function touches(
  of: Uint8Array,
  width: number,
  height: number,
  x: number,
  y: number,
  is: (value: number) => boolean,
): boolean {
  const i = y * width + x;
  return (
    (x > 0 && is(of[i - 1])) ||
    (x + 1 < width && is(of[i + 1])) ||
    (y > 0 && is(of[i - width])) ||
    (y + 1 < height && is(of[i + width]))
  );
}

/** Diagonals through an area, `every` dots apart. `phase` keeps them in place on the scan while the picture moves. */
export function hatchInto(
  out: Uint8Array,
  inside: (i: number) => boolean,
  width: number,
  every: number,
  phase: number,
): void {
  for (let i = 0; i < out.length; i++) {
    if (!inside(i)) continue;
    const x = i % width;
    const along = (((x + (i - x) / width + phase) % every) + every) % every;
    if (along < 1.5) out[i] = LINE.line;
    else if (along < 2.5 && out[i] === LINE.none) out[i] = LINE.light;
  }
}
