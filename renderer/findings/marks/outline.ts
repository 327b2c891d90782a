/** Thin lines around areas, and a hatch within them, dot by dot: the ink between them stays visible at every zoom. */

/** What a dot of the picture shows. */
export const LINE = { none: 0, line: 1, light: 2, dark: 3 } as const;

/**
 * The line runs on the area's own rim; outside it lie a light and a dark dot, so that it reads on any ground.
 * @param inside nonzero within the area, row by row.
 */
export function outlineOf(inside: Uint8Array, width: number, height: number): Uint8Array {
  const out = new Uint8Array(inside.length);
  ring(out, inside, width, height, { around: inside, is: 0, within: true, as: LINE.line });
  ring(out, inside, width, height, { around: out, is: LINE.line, within: false, as: LINE.light });
  ring(out, inside, width, height, { around: out, is: LINE.light, within: false, as: LINE.dark });
  return out;
}

interface Ring {
  /** Dots that touch one of these … */
  readonly around: Uint8Array;
  readonly is: number;
  /** … and lie within the area, or outside it, become `as`. */
  readonly within: boolean;
  readonly as: number;
}

/** Plain loops: a large screen has two million dots. */
function ring(
  out: Uint8Array,
  inside: Uint8Array,
  width: number,
  height: number,
  { around, is, within, as }: Ring,
): void {
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const i = y * width + x;
      if ((inside[i] !== 0) !== within || out[i] !== LINE.none) continue;
      const touches =
        (x > 0 && around[i - 1] === is) ||
        (x + 1 < width && around[i + 1] === is) ||
        (y > 0 && around[i - width] === is) ||
        (y + 1 < height && around[i + width] === is);
      if (touches) out[i] = as;
    }
  }
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

/** The rim of an area as a dashed line on its inside, cased outside it: what it encloses stays in sight. `long` dots on, as many off. */
export function dashInto(
  out: Uint8Array,
  inside: (i: number) => boolean,
  width: number,
  height: number,
  long: number,
): void {
  const area = Uint8Array.from({ length: out.length }, (_, i) => (inside(i) ? 1 : 0));
  const rim = outlineOf(area, width, height);
  for (let i = 0; i < out.length; i++) {
    if (rim[i] === LINE.none || out[i] !== LINE.none) continue;
    const [x, y] = [i % width, Math.floor(i / width)];
    // Along both ways a rim runs through squares of a chequer: on in the one, off in the next.
    if ((Math.floor(x / long) + Math.floor(y / long)) % 2 === 0 || rim[i] !== LINE.line) out[i] = rim[i];
  }
}
