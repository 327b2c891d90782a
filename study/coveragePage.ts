/** docs/study/coverage.md: whole images, spectra alone, and scans without a target. */
import { disagreement } from '../analysis/calibrate/disagreement.ts';
import { labMetric } from '../analysis/calibrate/colourMetric.ts';
import { linearSignals } from '../analysis/calibrate/channelCurves.ts';
import { predictColour } from '../analysis/calibrate/colourFit.ts';
import type { Common } from '../analysis/calibrate/sharedDoubt.ts';
import { colourUncertainty, differenceBetweenScans, differenceUncertainty } from '../analysis/calibrate/uncertainty.ts';
import { deltaE2000 } from '../analysis/colour/deltaE.ts';
import { labD50, xyzToLab } from '../analysis/colour/lab.ts';
import type { Quantity } from '../analysis/quantity.ts';
import { triple } from '../analysis/triple.ts';
import { colourOutcome, differenceOutcome, type Outcome, outcomesOver, outcomeTable } from './coverage.ts';
import type { SheetColour, SheetSeen } from './scannerSheets.ts';
import { xyzOf } from './spectra.ts';
import { SWAB_TARGETS, swabWorld } from './swabWorlds.ts';
import { SCANNER_FAMILIES } from './unlikeScanners.ts';
import { untargeted, WAYS } from './withoutTarget.ts';

export interface CoverageOptions {
  /** By a seed's three scanners, and the first of them another day. */
  readonly sheets: readonly (readonly SheetSeen[])[];
  readonly firstSeed: number;
  /** Seeds of the spectra part, a multiple of 12: every family with every target. */
  readonly worlds: number;
}

export function coveragePage({ sheets, firstSeed, worlds: count }: CoverageOptions): string {
  const worlds = Array.from({ length: count }, (_, i) => firstSeed + i);
  return [
    '# How often truth lies within ± 2u',
    '',
    `Made by \`npm run study sheets ${sheets.length} ${firstSeed}\`; seeds from ${firstSeed} on, on which nothing was tuned (constants were chosen on seeds below 1000). Of`,
    'colours the share of components counts. "rms u" beside "rms error" says whether u is as wide as it need be: equal would be exact for errors',
    'that are normal, and u is made somewhat wider, since they have long tails. Differences are of ΔE00, whose error is what the found one and the true one',
    'differ by. "two scanners": each calibrated by its own scan of one target; "two days": one scanner, gains off by 0.5 %, stray light by 10 %, the',
    'lamp’s colour by 2 % from end to end, and the target scanned each day. "told": as the program tells it, through the film where that is believed;',
    '"map": through the target’s map alone.',
    '',
    `## Whole images: ${16 * sheets.length} scans of pages with swabs and of targets, rendered, written, measured as the command line does`,
    '',
    'Scanners, inks and papers as in [scanner independence](scanners.md). Strokes, shading and tone shift are in [accuracy](accuracy.md). u here holds the',
    'swabs’ own scatter and edges on both sides, as for any two regions; one swab scanned twice has these in common, which makes u idle there:',
    'see the spectra for what the calibrations alone leave.',
    '',
    outcomeTable(sheets.flatMap(sheetOutcomes)),
    '',
    ...SCANNER_FAMILIES.flatMap((family, f) => [
      `## Spectra alone: ${family} scanners, ${worlds.filter((_, i) => i % 3 === f).length} seeds of four scans, the four kinds of target in turn`,
      '',
      outcomeTable(
        SWAB_TARGETS.flatMap((target, t) =>
          outcomesOver(
            worlds.filter((_, i) => i % 3 === f && Math.floor(i / 3) % 4 === t),
            family,
            target,
          ),
        ),
      ),
      '',
    ]),
    '## Without a target',
    '',
    'Untreated scanners read as sRGB; scanners whose driver turns their signals into sRGB and gives them a contrast of its own, read the same way; and',
    'scanners read through a profile that was made of another specimen with a target of three dyes. Nobody can tell the first from the second, so u',
    'is wide enough for the first.',
    '',
    outcomeTable(worlds.slice(0, Math.ceil(count / 2)).flatMap(untargetedOutcomes)),
    '',
  ].join('\n');
}

function sheetOutcomes([one, two, three, later]: readonly SheetSeen[]): Outcome[] {
  return [
    ...[one, two, three].flatMap(onOneScan),
    ...onTwoScans('two scanners', one, two),
    ...onTwoScans('two scanners', one, three),
    ...onTwoScans('two scanners', two, three),
    ...onTwoScans('two days', one, later),
  ];
}

function onOneScan({ colours, calibration, findings, variations }: SheetSeen): Outcome[] {
  const out = colours.flatMap((c): Outcome[] =>
    c.subject === 'paper'
      ? [colourOutcome('paper', c.truth, c.lab, c.u)]
      : [colourOutcome('swab, told', c.truth, c.lab, c.u), colourOutcome('swab, map', c.truth, c.byMap.lab, c.byMap.u)],
  );
  const truth = (region: string) => colours.find((c) => c.region === region)?.truth;
  for (const finding of findings) {
    const [a, b] = finding.subject.regions.map(truth);
    if (finding.quantity === 'toneShift' && a && b) {
      out.push(...foundOutcomes('one ink, two papers', finding, deltaE2000(labD50(...a), labD50(...b))));
    }
    if (finding.quantity === 'swabVariation') {
      out.push(...foundOutcomes('light and dark of a swab', finding, variations[finding.subject.regions[0]]));
    }
  }
  const told = (kind: string, a: SheetColour, b: SheetColour | undefined, common: Common): void => {
    if (b === undefined) return;
    const u = differenceUncertainty(labD50(...a.byMap.lab), labD50(...b.byMap.lab), calibration, common);
    out.push(withNoise(kind, a, b, u));
  };
  for (const c of colours.filter(({ subject }) => subject === 'swab')) {
    const [way, ink, paper] = c.region.split('-');
    const swab = (w: string, n: string) => colours.find(({ region }) => region === `${w}-${n}-${paper}`);
    if (way === 'even') told('two doses, one paper, map', c, swab('graded', ink), 'one paper');
    told('two inks, one paper, map', c, swab(way, String(Number(ink) + 1)), 'two inks');
  }
  return out;
}

/** A difference as told, and as the map has it. */
function foundOutcomes(kind: string, { value, u, byMap }: Quantity, truth: number): Outcome[] {
  const judged = (way: string, found: Quantity['value'], doubt: Quantity['u']): Outcome[] => {
    if (typeof found !== 'number' || typeof doubt !== 'number') return [];
    const error = Math.abs(found - truth);
    return [{ kind: `${kind}, ${way}`, error, u: doubt, within: error <= 2 * doubt ? 1 : 0 }];
  };
  return [...judged('told', value, u), ...judged('map', byMap?.value ?? value, byMap?.u ?? u)];
}

function onTwoScans(kind: string, a: SheetSeen, b: SheetSeen): Outcome[] {
  const disagrees = disagreement(a.calibration, b.calibration);
  const told = (what: string, from: SheetColour, to: SheetColour | undefined, common: Common): Outcome[] => {
    if (to === undefined) return [];
    const subject = from.subject === 'swab' ? 'ink' : 'paper';
    const u = differenceBetweenScans(
      { lab: labD50(...from.byMap.lab), calibration: a.calibration, subject },
      { lab: labD50(...to.byMap.lab), calibration: b.calibration, subject },
      common,
      disagrees,
    );
    return [withNoise(`${kind}: ${what}`, from, to, u)];
  };
  return a.colours.flatMap((c) => {
    const other = (region: string) => b.colours.find((found) => found.region === region);
    if (c.subject === 'paper') return told('the same paper', c, other(c.region), 'one paper');
    const [way, ink, paper] = c.region.split('-');
    return [
      ...apart(`${kind}: the same swab, told`, c, other(c.region)),
      ...told('the same swab, map', c, other(c.region), 'one paper'),
      ...(way === 'even' ? told('two doses, map', c, other(`graded-${ink}-${paper}`), 'one paper') : []),
      ...told('two inks, map', c, other(`${way}-${Number(ink) + 1}-${paper}`), 'two inks'),
    ];
  });
}

/** One swab told twice, each time with a u of its own: they are to differ by no more than both allow. */
function apart(kind: string, a: SheetColour, b: SheetColour | undefined): Outcome[] {
  return b === undefined
    ? []
    : [
        colourOutcome(
          kind,
          a.lab,
          b.lab,
          triple((k) => Math.hypot(a.u[k], b.u[k])),
        ),
      ];
}

/** Adds what the swabs' own scatter and edges leave in doubt; through the map. */
function withNoise(kind: string, a: SheetColour, b: SheetColour, u: number): Outcome {
  const seen = ({ truth, byMap }: SheetColour) => ({ truth: labD50(...truth), found: labD50(...byMap.lab) });
  const length = ({ byMap: { lab }, noise }: SheetColour): number => {
    const m = labMetric(labD50(...lab));
    return Math.hypot(m[0] * noise[0], m[4] * noise[1], m[5] * noise[2], m[7] * noise[1], m[8] * noise[2]);
  };
  return differenceOutcome(kind, seen(a), seen(b), Math.hypot(u, length(a), length(b)));
}

function untargetedOutcomes(seed: number): Outcome[] {
  const family = SCANNER_FAMILIES[seed % 3];
  const world = swabWorld(seed, family, 'card');
  return WAYS.flatMap((way) =>
    untargeted(seed, family, way).flatMap(({ device, calibration }) => {
      const see = (r: ArrayLike<number>) => {
        const [signal] = linearSignals([{ device: device(Array.from(r)), light: [1, 1, 1] }], calibration.curves);
        return { truth: xyzToLab(xyzOf(Array.from(r))), found: xyzToLab(predictColour(calibration, signal)) };
      };
      const swabs = world.swabs.map(({ reflectance }) => see(reflectance));
      return [
        ...swabs.map(({ truth, found }) =>
          colourOutcome(`${way}: ink`, truth, found, colourUncertainty(found, calibration)),
        ),
        ...world.papers
          .map(see)
          .map(({ truth, found }) =>
            colourOutcome(`${way}: paper`, truth, found, colourUncertainty(found, calibration, 'paper')),
          ),
        ...swabs.flatMap((swab, i) =>
          i % 5 === 4
            ? []
            : [
                differenceOutcome(
                  `${way}: two doses`,
                  swab,
                  swabs[i + 1],
                  differenceUncertainty(swab.found, swabs[i + 1].found, calibration, 'one paper'),
                ),
              ],
        ),
      ];
    }),
  );
}
