/**
 * The plan of the card that is printed at home: where everything lies and which device colours are asked of the printer.
 * 170 × 84 mm: it fits on A4 and US Letter alike, and beside a page of A5 or a reflection target on an A4 bed.
 * Sizes, steps and order are this program's own choice; the colours have no source but the corners of the RGB cube.
 */
import type { BoxMm, PointMm, TargetLayout } from '../calibration.ts';

/** A colour as it is sent to the printer, 0..1, in steps of 1/255. */
export type DeviceRgb = readonly [r: number, g: number, b: number];

/** mm; the origin is the middle of the first disc, x right, y down. */
export const CARD_PLACES = {
  widthMm: 170,
  heightMm: 84,
  /** From the card's top left corner to the first disc's middle. */
  marginMm: 6,
  discRadiusMm: 2.5,
  eyeRadiusMm: 1,
  columns: 16,
  rows: 6,
  patchMm: 7.2,
  /** 2.2 mm of bare card between patches: the light over the bed is read there, at 150 dpi too. */
  pitchMm: 9.4,
  firstPatchMm: [4.9, 0.4],
  /** From disc to disc. */
  spanMm: [158, 55],
  edgeBoxMm: [0, 61.5, 12, 12],
  /** Its dark side leans by this much: about 5°, as slanted-edge charts do (ISO 12233). */
  edgeTurnDeg: 5,
  /** Left end and length of the line that is held against a ruler. */
  scaleFromMm: [20, 66],
  scaleLengthMm: 50,
} as const;

/** Saturation and value of the six steps of a hue: two tints, full, two shades, dull. */
const STEPS: readonly (readonly [saturation: number, value: number])[] = [
  [0.22, 1],
  [0.5, 1],
  [1, 1],
  [1, 0.6],
  [0.85, 0.32],
  [0.5, 0.64],
];
const HUES = 12;
const GREYS = 24;
/** Every fourth cell of a row is a grey, shifted from row to row, so that greys see the light all over the card. */
const GREY_SHIFT = [0, 2, 1, 3, 0, 2] as const;
/**
 * Greys and colours are dealt out in strides, and the layout's test holds what they are for: neighbours differ, a dirty
 * quarter takes no family whole, light and dark greys are balanced left and right, top and bottom.
 */
const GREY_STRIDE = 7;
const GREY_START = 19;
const COLOUR_STRIDE = 19;

/** G01–G24 from bare paper to black, C01–C72 hue by hue from red, each in six steps. */
export const WETLINE_CARD: { readonly layout: TargetLayout; readonly patches: ReadonlyMap<string, DeviceRgb> } =
  planCard();

/** The dark side of the slanted edge, four corners in layout mm; what is right of it in the box is bare card. */
export function slantedEdgeDark([x, y, w, h]: BoxMm): readonly PointMm[] {
  const lean = (h / 2) * Math.tan((CARD_PLACES.edgeTurnDeg * Math.PI) / 180);
  return [
    [x, y],
    [x + w / 2 + lean, y],
    [x + w / 2 - lean, y + h],
    [x, y + h],
  ];
}

function planCard(): typeof WETLINE_CARD {
  const { spanMm, discRadiusMm, eyeRadiusMm, edgeBoxMm } = CARD_PLACES;
  const [right, bottom] = spanMm;
  const { greys, colours } = cells();
  const patches = [
    ...Array.from({ length: GREYS }, (_, k) => ({
      patch: { id: numbered('G', k), boxMm: boxOf(greys[(GREY_START + k * GREY_STRIDE) % GREYS]), grey: true },
      rgb: greyOf(k),
    })),
    ...Array.from({ length: HUES * STEPS.length }, (_, k) => ({
      patch: { id: numbered('C', k), boxMm: boxOf(colours[(k * COLOUR_STRIDE) % colours.length]) },
      rgb: colourOf((360 * Math.floor(k / STEPS.length)) / HUES, ...STEPS[k % STEPS.length]),
    })),
  ];
  return {
    layout: {
      format: 'wetline-target/1',
      name: 'Wetline card, 24 greys and 72 colours',
      pointsMm: [
        [0, 0],
        [right, 0],
        [right, bottom],
        [0, bottom],
      ],
      fiducial: { shape: 'disc', radiusMm: discRadiusMm, eyeMm: eyeRadiusMm },
      slantedEdge: { boxMm: edgeBoxMm },
      patches: patches.map(({ patch }) => patch),
    },
    patches: new Map(patches.map(({ patch, rgb }) => [patch.id, rgb])),
  };
}

function cells(): { readonly greys: readonly number[]; readonly colours: readonly number[] } {
  const { columns, rows } = CARD_PLACES;
  const all = Array.from({ length: columns * rows }, (_, cell) => cell);
  const isGrey = (cell: number): boolean => (cell % columns) % 4 === GREY_SHIFT[Math.floor(cell / columns)];
  return { greys: all.filter(isGrey), colours: all.filter((cell) => !isGrey(cell)) };
}

function boxOf(cell: number): BoxMm {
  const { columns, patchMm, pitchMm, firstPatchMm } = CARD_PLACES;
  const at = (first: number, step: number): number => Math.round(1000 * (first + step * pitchMm)) / 1000;
  return [at(firstPatchMm[0], cell % columns), at(firstPatchMm[1], Math.floor(cell / columns)), patchMm, patchMm];
}

function greyOf(k: number): DeviceRgb {
  const v = inSteps(1 - k / (GREYS - 1));
  return [v, v, v];
}

function colourOf(hueDeg: number, saturation: number, value: number): DeviceRgb {
  const channel = (shift: number): number => {
    const k = (shift + hueDeg / 60) % 6;
    return inSteps(value * (1 - saturation * Math.max(0, Math.min(k, 4 - k, 1))));
  };
  return [channel(5), channel(3), channel(1)];
}

function inSteps(v: number): number {
  return Math.round(255 * v) / 255;
}

function numbered(letter: string, k: number): string {
  return `${letter}${String(k + 1).padStart(2, '0')}`;
}
