/** An invented ink: two to four dyes, each with an absorption curve and habits of its own on a wet strip. */
import { stream } from './random.ts';
import type { Random } from './random.ts';
import { GRID, curve, skewedBell } from './spectra.ts';
import type { Curve } from './spectra.ts';

/** Where a dye's main band lies and how broad it is, nm. Ranges are invented, after textbook dyes. */
const FAMILIES = {
  yellow: { peak: [412, 440], sd: [27, 36] },
  orange: { peak: [468, 490], sd: [28, 36] },
  red: { peak: [505, 528], sd: [27, 35] },
  magenta: { peak: [540, 558], sd: [22, 30] },
  violet: { peak: [572, 590], sd: [26, 34] },
  blue: { peak: [604, 626], sd: [27, 36] },
  cyan: { peak: [632, 666], sd: [26, 36] },
} as const;
export type DyeFamily = keyof typeof FAMILIES;
const DYE_FAMILIES: readonly DyeFamily[] = ['yellow', 'orange', 'red', 'magenta', 'violet', 'blue', 'cyan'];

/** What goes into which kind of ink: families with their share of the absorption. */
const RECIPES: readonly { readonly name: string; readonly dyes: readonly (readonly [DyeFamily, number])[] }[] = [
  {
    name: 'blue-black',
    dyes: [
      ['blue', 1],
      ['red', 0.5],
      ['yellow', 0.35],
    ],
  },
  {
    name: 'teal',
    dyes: [
      ['cyan', 1],
      ['yellow', 0.45],
      ['violet', 0.2],
    ],
  },
  {
    name: 'purple',
    dyes: [
      ['violet', 1],
      ['magenta', 0.6],
      ['cyan', 0.25],
    ],
  },
  {
    name: 'green',
    dyes: [
      ['cyan', 0.9],
      ['yellow', 0.8],
      ['red', 0.15],
    ],
  },
  {
    name: 'brown',
    dyes: [
      ['red', 0.9],
      ['yellow', 0.8],
      ['blue', 0.45],
    ],
  },
  {
    name: 'burgundy',
    dyes: [
      ['magenta', 1],
      ['orange', 0.5],
      ['cyan', 0.25],
    ],
  },
  {
    name: 'rust',
    dyes: [
      ['orange', 1],
      ['yellow', 0.5],
      ['violet', 0.18],
    ],
  },
  {
    name: 'dusk blue',
    dyes: [
      ['blue', 1],
      ['magenta', 0.45],
      ['yellow', 0.12],
    ],
  },
  {
    name: 'grey',
    dyes: [
      ['blue', 0.5],
      ['red', 0.45],
      ['yellow', 0.45],
    ],
  },
];

/** Never drawn by chance: asked for by name. */
const ON_DEMAND: typeof RECIPES = [
  {
    name: 'yellow',
    dyes: [
      ['yellow', 1],
      ['orange', 0.06],
    ],
  },
];

export interface Dye {
  readonly family: DyeFamily;
  /** Absorption per unit dose of the INK, on GRID; the dyes' curves add up to the ink's. */
  readonly absorption: Curve;
  /** R_F that the dye would have without tailing, on the fresh strip. */
  readonly mobility: number;
  /** Share that stays bound at the origin of the fresh strip. */
  readonly boundFresh: number;
  /** The same once the spot has dried. */
  readonly boundDried: number;
}

export interface Ink {
  readonly kind: string;
  readonly dyes: readonly Dye[];
  /** Sum over the dyes, maximum 1, per unit dose. */
  readonly absorption: Curve;
  /** Per unit dose, the same at all wavelengths. */
  readonly scatter: number;
  /** Dose of this ink where a middling ink would lay down 1. */
  readonly strength: number;
}

export interface InkOptions {
  /** 1 to 4; left out: the recipe's two or three. */
  readonly dyes?: number;
  /** Kind of ink by name; left out: drawn from the seed. */
  readonly kind?: string;
}

export function drawInk(seed: number, options: InkOptions = {}): Ink {
  const random = stream(seed, 'ink/recipe');
  const drawn = random.pick(RECIPES);
  const recipe = [...RECIPES, ...ON_DEMAND].find(({ name }) => name === options.kind) ?? drawn;
  const count = options.dyes ?? (random.uniform() < 0.3 ? 2 : 3);
  const parts = recipe.dyes.slice(0, count);
  const rest = DYE_FAMILIES.filter((f) => !parts.some(([used]) => used === f));
  while (parts.length < count) parts.push([rest.splice(random.int(rest.length), 1)[0], random.range(0.2, 0.4)]);

  const mobilities = drawMobilities(stream(seed, 'ink/mobility'), count);
  const binding = stream(seed, 'ink/binding');
  const raw = parts.map(([family, share], i) => dyeCurve(stream(seed, `ink/dye${i}`), family, share));
  const top = Math.max(...raw[0].map((_, l) => raw.reduce((sum, k) => sum + k[l], 0)));
  const dyes = parts.map(([family], i): Dye => {
    const boundFresh = binding.range(0.02, 0.12);
    return {
      family,
      absorption: raw[i].map((k) => k / top),
      mobility: mobilities[i],
      boundFresh,
      boundDried: boundFresh + binding.range(0.1, 0.4),
    };
  });
  const absorption = curve(() => 0);
  for (const dye of dyes) for (let l = 0; l < GRID.count; l++) absorption[l] += dye.absorption[l];
  return {
    kind: recipe.name,
    dyes,
    absorption,
    scatter: stream(seed, 'ink/scatter').logNormal(0.02, 0.6),
    strength: stream(seed, 'ink/strength').logNormal(1.3, 0.25),
  };
}

/** A pen that still held another ink: this share of the absorption and scatter is the other's. */
export function mixedInk(ink: Ink, { inkSeed, share }: { readonly inkSeed: number; readonly share: number }): Ink {
  const other = drawInk(inkSeed);
  return {
    ...ink,
    absorption: ink.absorption.map((k, i) => (1 - share) * k + share * other.absorption[i]),
    scatter: (1 - share) * ink.scatter + share * other.scatter,
  };
}

/** One to three lobes: the main band, often a shoulder on its short side, often a weak lobe near the ultraviolet. */
function dyeCurve(random: Random, family: DyeFamily, share: number): Curve {
  const { peak, sd } = FAMILIES[family];
  const peakNm = random.range(peak[0], peak[1]);
  // Dyes on paper are broader than in a glass of water: they lie on one another.
  const sdNm = 1.3 * random.range(sd[0], sd[1]);
  const skew = random.range(0.08, 0.32);
  const shoulder = random.uniform() < 0.8 ? random.range(0.25, 0.6) : 0;
  const shoulderNm = peakNm - random.range(38, 56);
  const near = random.uniform() < 0.6 ? random.range(0.06, 0.28) : 0;
  const nearNm = random.range(384, 412);
  const floor = random.range(0.003, 0.016);
  const amount = share * random.logNormal(1, 0.15);
  // No dye is clean: a low, broad absorption lies under the bands.
  const under = random.range(0.05, 0.14);
  return curve(
    (nm) =>
      amount *
      (skewedBell(nm, peakNm, sdNm, skew) +
        shoulder * skewedBell(nm, shoulderNm, sdNm * 1.05, 0.1) +
        (peakNm > 480 ? near * skewedBell(nm, nearNm, 26, 0) : 0) +
        under * skewedBell(nm, peakNm, 95, 0.2) +
        floor),
  );
}

/** One place in each of `count` equal parts of 0.18–0.93, kept clear of one another, dealt out at random. */
function drawMobilities(random: Random, count: number): number[] {
  const step = (0.93 - 0.18) / count;
  const places = Array.from({ length: count }, (_, i) => 0.18 + step * (i + random.range(0.35, 0.72)));
  return random.shuffle(places);
}
