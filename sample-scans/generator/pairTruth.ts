/** What is true between regions: nibs of one paper, and one nib or swab on two papers. */
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { chroma, hueDeg, hueDifferenceDeg, labD50, xyzToLab, xyzToLabWhite } from '../../analysis/colour/lab.ts';
import type { LabD50, Xyz } from '../../analysis/colour/lab.ts';
import type { ToneTruth } from './inkTruth.ts';
import type { RegionTruth } from './page.ts';
import { toXyz } from './spectra.ts';
import type { BenchTruth, PageTruth } from './truth.ts';

export function nibPairs(page: PageTruth): [string, string, number][] {
  const nibs = Object.entries(page.regions).filter(([, region]) => region.kind === 'strokes');
  return nibs.flatMap(([a, first], i) =>
    nibs
      .slice(i + 1)
      .map(([b, second]): [string, string, number] => [
        a,
        b,
        deltaE2000(xyzToLab(inkXyz(first)), xyzToLab(inkXyz(second))),
      ]),
  );
}

/** Every region with ink of the first page against its namesake on the second. */
export function tonePairs(first: PageTruth, second: PageTruth): BenchTruth['toneShift'] {
  const papers = [toXyz(first.paper), toXyz(second.paper)] as const;
  return Object.keys(first.regions)
    .filter((id) => first.regions[id].colour)
    .map((id) => {
      const other = id.replace(first.scan, second.scan);
      return {
        regions: [id, other] as const,
        truth: toneTruth([inkXyz(first.regions[id]), inkXyz(second.regions[other])], papers),
      };
    });
}

function toneTruth(inks: readonly [Xyz, Xyz], papers: readonly [Xyz, Xyz]): ToneTruth {
  const first = xyzToLab(inks[0]);
  const second = xyzToLab(inks[1]);
  return {
    absolute: deltaE2000(first, second),
    adapted: deltaE2000(against(inks[0], papers[0]), against(inks[1], papers[1])),
    dL: second[0] - first[0],
    dC: chroma(second) - chroma(first),
    dHueDeg: hueDifferenceDeg(hueDeg(first), hueDeg(second)),
  };
}

/** Lab with the paper as the white: plain scaling of XYZ, no cone space. */
function against(ink: Xyz, paper: Xyz): LabD50 {
  return labD50(...xyzToLabWhite(ink, paper));
}

function inkXyz(region: RegionTruth): Xyz {
  if (!region.colour) throw new Error('This region holds no ink.');
  return region.colour.xyz;
}
