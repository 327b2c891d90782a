/** Under the page: a bar of known length, and what each mark on it means. */
import { GHOST_VEILS } from '../../analysis/measure/showThrough/ghostMap.ts';
import { GHOSTING_LIMITS } from '../../analysis/measure/showThrough/reverseInput.ts';
import { cutCorner, LINE, PAD, SMALL } from './card.ts';
import { CHANNELS } from './stripPanel.ts';
import { widthPath } from './edgeShapes.ts';
import { diamond, diamonds, dot, dots, ring, rings, triangle, triangles } from './markShapes.ts';
import { box, cased, circlePath, line, path, rectPath, text } from './svg.ts';
import { TONES } from './tones.ts';
import { textWidth } from './typeface.ts';

export interface LegendEntry {
  readonly words: string;
  /** Drawn in a field of 26 × 18 points whose top left is given. */
  readonly sign: (x: number, y: number) => string;
}

const SIGN = 26;

/** Signs on a chip of the ink itself, as they look on the page. */
export function inkLegend(colour: string, inkHex: string, paperHex: string): readonly LegendEntry[] {
  const chip = (x: number, y: number, from = 0): string =>
    box(x, y, SIGN, 18, `fill="${paperHex}"`) + box(x, y + from, SIGN, 18 - from, `fill="${inkHex}"`);
  return [
    { words: 'found to be ink', sign: (x, y) => chip(x, y, 9) + cased(`M${x} ${y + 9}h${SIGN}`, colour, 1.1) },
    {
      words: 'counted: clear of the edge',
      sign: (x, y) => chip(x, y) + dots(dot(x + 5, y + 9) + dot(x + 13, y + 9) + dot(x + 21, y + 9), colour),
    },
    { words: 'darkest tenth', sign: (x, y) => chip(x, y) + diamonds(diamond(x + 13, y + 9), colour) },
    { words: 'lightest tenth', sign: (x, y) => chip(x, y) + rings(ring(x + 13, y + 9), colour) },
    {
      words: 'two layers of ink, left out',
      sign: (x, y) =>
        chip(x, y) +
        path(`M${x + 1} ${y + 15}l13 -13M${x + 8} ${y + 16}l13 -13`, `stroke="${colour}" stroke-width="1"`),
    },
  ];
}

/** Marks of edges on a chip of the ink, as an inset shows them. @param has which of them there are. */
export function edgeLegend(
  colour: string,
  inkHex: string,
  paperHex: string,
  has: { readonly edges: boolean; readonly hairs: boolean; readonly halo: boolean; readonly sheen: boolean },
): readonly LegendEntry[] {
  const half = (x: number, y: number): string =>
    box(x, y, SIGN, 18, `fill="${paperHex}"`) + box(x, y + 9, SIGN, 9, `fill="${inkHex}"`);
  const bar = (x: number, y: number): string =>
    box(x, y, SIGN, 18, `fill="${paperHex}"`) + box(x, y + 4, SIGN, 10, `fill="${inkHex}"`);
  const entries: readonly (readonly [is: boolean, entry: LegendEntry])[] = [
    [
      has.edges,
      {
        words: 'edges and widths between them',
        sign: (x, y) =>
          bar(x, y) +
          cased(`M${x} ${y + 4}h${SIGN}M${x} ${y + 14}h${SIGN}`, colour, 0.9) +
          cased(widthPath([x + 13, y + 4], [x + 13, y + 14]), colour, 0.9),
      },
    ],
    [
      has.hairs,
      {
        words: 'hairs beyond the edge',
        sign: (x, y) => half(x, y) + cased(`M${x + 7} ${y + 9}l2 -6M${x + 18} ${y + 9}l-1 -5`, colour, 1.6),
      },
    ],
    [
      has.halo,
      {
        words: 'halo',
        sign: (x, y) => half(x, y) + cased(`M${x} ${y + 5}h${SIGN}`, colour, 0.8, 'stroke-dasharray="3 2.5"'),
      },
    ],
    [
      has.sheen,
      {
        words: 'sheen',
        sign: (x, y) => box(x, y, SIGN, 18, `fill="${inkHex}"`) + triangles(triangle(x + 13, y + 9), colour),
      },
    ],
  ];
  return entries.flatMap(([is, entry]) => (is ? [entry] : []));
}

/** Marks on the back of a page. @param has which of them there are. */
export function reverseLegend(
  colour: string,
  has: { readonly ghost: boolean; readonly bleed: boolean },
): readonly LegendEntry[] {
  const steps = GHOST_VEILS.slice(1);
  const width = SIGN / steps.length;
  const ghost: LegendEntry = {
    words: `ghost behind lines: ΔL* above ${GHOSTING_LIMITS.join(', ')}`,
    sign: (x, y) =>
      steps.map((veil, i) => box(x + i * width, y, width, 18, `fill="${colour}" fill-opacity="${veil}"`)).join(''),
  };
  const front: LegendEntry = {
    words: 'the front’s writing',
    sign: (x, y) => cased(`M${x} ${y + 13}c6 -16 9 6 13 -4s6 8 13 -4`, colour, 0.9),
  };
  const bleed: LegendEntry = {
    words: 'came through',
    sign: (x, y) => cased(circlePath(x + 13, y + 9, 6), colour, 1.2),
  };
  return [...(has.ghost ? [front, ghost] : []), ...(has.bleed ? [bleed] : [])];
}

export function boxLegend(words: string, colour: string, dashed: boolean): LegendEntry {
  return {
    words,
    sign: (x, y) => cased(rectPath(x + 3, y + 2, 20, 12), colour, 1.2, dashed ? 'stroke-dasharray="5 3"' : ''),
  };
}

/** @param pointsPerMm of the page. */
export function legend(
  entries: readonly LegendEntry[],
  pointsPerMm: number,
  width: number,
): { readonly shapes: string; readonly height: number } {
  const bar = scaleBar(pointsPerMm, width);
  let x = PAD + bar.width + 28;
  let y = PAD - 4;
  let shapes = bar.shapes;
  for (const { words, sign } of entries) {
    const needs = SIGN + 6 + textWidth(words, SMALL);
    if (x + needs > width - PAD && x > PAD) {
      x = PAD;
      y += LINE + 4;
    }
    shapes += sign(x, y) + text(words, x + SIGN + 6, y + 13, SMALL, TONES.text);
    x += needs + 20;
  }
  const height = y + 16 + PAD - 4;
  return { shapes: box(0, 0, width, height, `fill="${TONES.panel}"`) + shapes, height };
}

/** About a fifth of the page, a round number of mm. */
function scaleBar(pointsPerMm: number, width: number): { readonly shapes: string; readonly width: number } {
  const wanted = width / 5 / pointsPerMm;
  const mm = [1, 2, 5, 10, 20, 50, 100].findLast((length) => length <= wanted) ?? 1;
  const length = mm * pointsPerMm;
  const words = `${mm} mm`;
  const look = `stroke="${TONES.text}" stroke-width="2"`;
  const y = PAD + 4;
  return {
    shapes:
      line(PAD, y, PAD + length, y, look) +
      line(PAD + 1, y - 6, PAD + 1, y + 6, look) +
      line(PAD + length - 1, y - 6, PAD + length - 1, y + 6, look) +
      text(words, PAD + length + 8, y + 5, SMALL, TONES.text),
    width: length + 8 + textWidth(words, SMALL),
  };
}

export function cutCornerLegend(): LegendEntry {
  return {
    words: 'a colour beyond sRGB, shown by the nearest',
    sign: (x, y) => box(x + 5, y + 1, 16, 16, `fill="${TONES.quietText}"`) + cutCorner(x + 21, y + 1, 16),
  };
}

/** @param crossed whether some patches were left out of every fit. */
export function targetLegend(crossed: boolean): readonly LegendEntry[] {
  return [
    { words: 'part of a patch that was read', sign: (x, y) => cased(rectPath(x + 7, y + 2, 12, 12), TONES.text, 0.9) },
    ...(crossed
      ? [
          {
            words: 'clipped or covered: no fit saw it',
            sign: (x: number, y: number) =>
              cased(`M${x + 6} ${y + 1}l14 14M${x + 20} ${y + 1}l-14 14`, TONES.text, 1.2),
          },
        ]
      : []),
    {
      words: 'the target’s points as found',
      sign: (x, y) => cased(`M${x + 6} ${y + 8}h14M${x + 13} ${y + 1}v14`, TONES.text, 1.2),
    },
    {
      words: 'ΔE₀₀ of the patches missed most, left out',
      sign: (x, y) =>
        box(x + 1, y, 24, 16, `rx="4" fill="${TONES.panel}" stroke="${TONES.text}" stroke-opacity="0.6"`) +
        text('2.1', x + 5, y + 12, { size: 11, weight: 'bold' }, TONES.text),
    },
  ];
}

export function stripLegend(colour: string): readonly LegendEntry[] {
  return [
    { words: 'origin, front', sign: (x, y) => cased(`M${x + 2} ${y + 8}h22`, colour, 1.2, 'stroke-dasharray="8 4"') },
    { words: 'a band’s crown', sign: (x, y) => cased(`M${x + 9} ${y + 8}h8`, colour, 1.6) },
    ...CHANNELS.map(({ name, dash }) => ({
      words: `absorbance in ${name}`,
      sign: (x: number, y: number) =>
        path(wave(x, y), `fill="none" stroke="${TONES.text}" stroke-width="1.2" stroke-dasharray="${dash}"`),
    })),
    { words: 'its fit', sign: (x, y) => path(wave(x, y), `fill="none" stroke="${TONES.pale}" stroke-width="3"`) },
  ];
}

function wave(x: number, y: number): string {
  return `M${x + 2} ${y + 12}q6 -14 11 -5t11 -3`;
}
