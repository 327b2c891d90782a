/** How far off what is told of an ink's layer is: foretold colours, hiding, tone shifts, contrast ratios; drawn benches and pages with exact truth. */
import { deltaE2000 } from '../analysis/colour/deltaE.ts';
import { hiding, hidingOn, palestFirst } from '../analysis/measure/opacity/opacityFindings.ts';
import { layerNumbers, leftOutOf, type Pen, penLayer } from '../analysis/measure/opacity/pen.ts';
import type { FittedInk } from '../analysis/measure/film/fittedInk.ts';
import type { Quantity } from '../analysis/quantity.ts';
import { mean, quantile } from './film.ts';
import {
  type BenchBar,
  type BenchPen,
  inkLabOn,
  opacityBench,
  type OpacityBench,
  trueContrast,
} from './opacityBench.ts';
import type { FilmWorld } from './filmWorlds.ts';
import { INK_KINDS } from './opacityInk.ts';
import type { Spectrum } from './simulatedColours.ts';

export interface OpacityRow {
  readonly what:
    | 'left out'
    | 'left out, like doses'
    | 'foretold contrast'
    | 'foretold hiding'
    | 'hiding'
    | 'tone shift'
    | 'bar, strokes'
    | 'bar, swab'
    | 'bar by map, strokes'
    | 'bar by map, swab';
  /** 'drawn' far from the eye, or 'ordinary'. */
  readonly scanner: FilmWorld['scanner'];
  /** 'film', or R0 and T of three channels (or, of differences, the map). */
  readonly by: 'film' | 'grounds';
  readonly ink: string;
  readonly paper: string;
  /** Distance from the truth. */
  readonly error: number;
  /** Share of components (or 1 or 0) within ± 2u and ± u. */
  readonly within: number;
  readonly withinOne: number;
  /** No number was given. */
  readonly refused?: boolean;
}

type Row = Omit<OpacityRow, 'scanner'>;

export function opacityRows(seed: number): OpacityRow[] {
  const bench = opacityBench(seed, { withBars: true });
  const rows = bench.pens.flatMap((pen) => [
    ...penRows(bench, pen, pen.told, bench.film.inks, 'film'),
    ...penRows(bench, pen, pen.mapped, [], 'grounds'),
    ...pairRows(bench, pen),
  ]);
  return [...rows, ...bench.bars.flatMap((bar) => barRows(bar, bench.kind))].map((row) => ({
    ...row,
    scanner: bench.world.scanner,
  }));
}

/** What the pen put down on the others, dose by dose. */
function othersDoses(truth: BenchPen['truth'], region: string): number[] {
  const others = [...truth].filter(([id]) => id !== region).map(([, { doses }]) => doses);
  return truth.get(region)!.doses.map((_, i) => Math.exp(mean(others.map((doses) => Math.log(doses[i])))));
}

function paperOf({ papers, paperNames }: OpacityBench, region: string): Spectrum {
  return papers[paperNames.indexOf(region.split('-')[1])];
}

function penRows(
  bench: OpacityBench,
  { truth }: BenchPen,
  pen: Pen,
  fits: readonly FittedInk[],
  by: OpacityRow['by'],
): Row[] {
  const { ink, kind } = bench;
  const known = penLayer(pen, fits);
  // Where no film is believed the grounds tell, and are counted there.
  if (by === 'film' && known.by !== 'film-fit') return [];
  const leftOut = leftOutOf(pen, fits).map(({ region, paper, foretold }): Row => {
    const exact = truth.get(region)!.lab;
    const away = [0, 1, 2].map((c) => Math.abs(foretold.lab[c] - exact[c]) / foretold.u[c]);
    return {
      what: 'left out',
      by,
      ink: kind,
      paper,
      error: deltaE2000(foretold.lab, exact),
      within: share(away, 2),
      withinOne: share(away, 1),
    };
  });
  const alike = leftOutOf(pen, fits).map(({ region, paper, foretold }): Row => {
    const error = deltaE2000(foretold.lab, inkLabOn(ink, othersDoses(truth, region), paperOf(bench, region)));
    return { what: 'left out, like doses', by, ink: kind, paper, error, within: 1, withinOne: 1 };
  });
  const hidden = leftOutOf(pen, fits).flatMap(({ region, paper, without, sample }): Row[] => {
    const row = { what: 'foretold hiding', by, ink: kind, paper } as const;
    const others = pen.samples.filter((one) => one !== sample);
    const found = hidingOn(without, others, null, sample.paperLab, []);
    if (typeof found?.value !== 'number' || typeof found.u !== 'number') return [{ ...row, ...NONE }];
    const [palest] = palestFirst(others);
    const doses = othersDoses(truth, region);
    const [here, there] = [palest.region, region].map((id) => paperOf(bench, id));
    const inks = deltaE2000(inkLabOn(ink, doses, here), inkLabOn(ink, doses, there));
    const error = Math.abs(
      found.value - 1 + inks / deltaE2000(truth.get(palest.region)!.paper, truth.get(region)!.paper),
    );
    return [{ ...row, error, ...withinOf(error, found.u) }];
  });
  const numbers = layerNumbers(known);
  if (numbers === null) return [...leftOut, ...alike, ...hidden];
  const exact = mean([...truth.values()].map(({ doses }) => trueContrast(ink, doses)));
  const error = Math.abs(numbers.contrast.value - exact);
  const told = { what: 'foretold contrast', by, ink: kind, paper: '' } as const;
  return [...leftOut, ...alike, ...hidden, { ...told, error, ...withinOf(error, numbers.contrast.u) }];
}

function pairRows({ kind, film, papersByMap }: OpacityBench, { told, mapped, truth }: BenchPen): Row[] {
  const own = film.findings.filter(
    ({ quantity, subject }) => quantity.startsWith('toneShift') && subject.regions.every((id) => truth.has(id)),
  );
  return own.flatMap((finding): Row[] => {
    const [a, b] = finding.subject.regions.map((id) => truth.get(id)!);
    const paper = finding.subject.regions.map((id) => id.split('-')[1]).join(' ');
    const by = finding.byMap ? 'film' : 'grounds';
    if (finding.quantity === 'toneShift') {
      const exact = deltaE2000(a.lab, b.lab);
      const between = deltaE2000(a.paper, b.paper);
      return [
        { what: 'tone shift', by, ink: kind, paper, ...of(finding, exact) },
        ...hidingRow(finding, by === 'film' ? told : mapped, papersByMap, {
          by,
          ink: kind,
          paper,
          exact: 1 - exact / between,
        }),
      ];
    }
    return [];
  });
}

/** As the program does it (electron/jobs/opacityFindings.ts); of papers by the map a plain doubt. */
const PAPERS_U = { film: 0.35, grounds: 0.6 } as const;

function hidingRow(
  toneShift: Quantity,
  pen: Pen,
  papersByMap: OpacityBench['papersByMap'],
  { exact, ...row }: { by: OpacityRow['by']; ink: string; paper: string; exact: number },
): Row[] {
  const papers = toneShift.subject.regions.map((id) => {
    const sample = pen.samples.find(({ region }) => region === id)!;
    return row.by === 'film' ? sample.paperLab : papersByMap.find(({ name }) => name === sample.paper)!.lab;
  });
  const found = hiding({ toneShift, papers: [papers[0], papers[1]], uPapers: PAPERS_U[row.by] });
  if (typeof found?.value !== 'number') return [{ what: 'hiding', ...row, ...NONE }];
  return [{ what: 'hiding', ...row, ...of(found, exact) }];
}

function barRows({ kind, told, truth }: BenchBar, ink: string): Row[] {
  const by = told.byMap ? 'film' : 'grounds';
  const rows = [
    { what: `bar, ${kind}`, finding: told },
    { what: `bar by map, ${kind}`, finding: { ...told, ...told.byMap } },
  ] as const;
  return rows.map(({ what, finding }): Row => {
    const row = { what, by, ink, paper: '' } as const;
    return finding.value === null ? { ...row, ...NONE } : { ...row, ...of(finding, truth) };
  });
}

/** No number was given. */
const NONE = { error: 0, within: 0, withinOne: 0, refused: true } as const;

function of({ value, u }: Quantity, exact: number): Pick<OpacityRow, 'error' | 'within' | 'withinOne'> {
  const error = Math.abs(Number(value) - exact);
  return { error, ...withinOf(error, Number(u)) };
}

function withinOf(error: number, u: number): Pick<OpacityRow, 'within' | 'withinOne'> {
  return { within: error <= 2 * u ? 1 : 0, withinOne: error <= u ? 1 : 0 };
}

function share(away: readonly number[], sigmas: number): number {
  return away.filter((z) => z <= sigmas).length / away.length;
}

export function opacityPage(rows: readonly OpacityRow[], first: number, seeds: number): string {
  const line = (words: string, aim: string, holds: (row: OpacityRow) => boolean, digits: number): string => {
    const some = rows.filter((row) => holds(row) && row.refused !== true);
    const errors = some.map(({ error }) => error);
    const told = [0.5, 0.9].map((q) => quantile(errors, q).toFixed(digits)).join(' / ');
    const covered = [some.map(({ within }) => within), some.map(({ withinOne }) => withinOne)].map((v) =>
      mean(v).toFixed(2),
    );
    // What it says of itself is of the paper as it was, not as it might have been.
    const isOfLikeDoses = some.some(({ what }) => what === 'left out, like doses');
    const coverage = isOfLikeDoses ? '–' : `${covered[0]} (${covered[1]})`;
    if (some.length === 0) return `| ${words} | 0 | ${aim} | – | – |`;
    return `| ${words} | ${some.length} | ${aim} | ${told} | ${coverage} |`;
  };
  const is =
    (what: OpacityRow['what'], by?: OpacityRow['by'], more: (row: OpacityRow) => boolean = () => true) =>
    (row: OpacityRow): boolean =>
      row.what === what && (by === undefined || row.by === by) && more(row);
  const head = ['| what | n | aimed at | found | within ± 2u (± u) |', '| --- | --- | --- | --- | --- |'];
  const without = (holds: (row: OpacityRow) => boolean): string => {
    const some = rows.filter(holds);
    return `${some.filter(({ refused }) => refused === true).length} of ${some.length}`;
  };
  return [
    '# What lies under the ink',
    '',
    `Made by \`npm run study opacity ${seeds}\`, seeds from ${first} on. An ink of lobes, of real dyes or of a pigment lies on a white, a cream, a coloured and a grey paper without brightener, written`,
    'by two nibs and swabbed once, before a scanner drawn far from the eye or an ordinary one and three kinds of target, as linear signals with noise. What a pen puts down differs from paper to paper by 10 % (standard',
    'deviation): that alone is most of the error of a foretold colour, and no fit can know it. Bars are pages with pixels: strokes of 0.35 to 1.1 mm and swabs across print of 2.5 to 6 % reflectance, a little',
    'askew, at 300 and 600 dpi. Errors as median / 90th percentile. Of a bar’s ratio a few pages make that: strongly scattering pigments, and inks nearly as dark as print before a target without a dark',
    'grey (docs/decisions/0031). It moves by a third with the pages that happen to be drawn.',
    '',
    ...head,
    line('colour on a paper that was left out, ΔE00, by the film', '1.5 / –', is('left out', 'film'), 2),
    line('– had the pen put down there what it did on the others', '1.5 / –', is('left out, like doses', 'film'), 2),
    line('the same by R0 and T of three channels', '–', is('left out', 'grounds'), 2),
    line('– had the pen put down there what it did on the others', '–', is('left out, like doses', 'grounds'), 2),
    line('tone shift, ΔE00, as told', '0.5 / 1.8', is('tone shift'), 2),
    line('– by the film', '0.5 / 1.8', is('tone shift', 'film'), 2),
    line('– by the map', '0.5 / 1.8', is('tone shift', 'grounds'), 2),
    line('hiding', '– / 0.03', is('hiding'), 3),
    line(
      '– white, cream or grey against coloured',
      '– / 0.03',
      is('hiding', undefined, ({ paper }) => paper.includes('coloured')),
      3,
    ),
    ...(['swab', 'strokes'] as const).flatMap((kind) => {
      const [words, aim] = kind === 'swab' ? ['swabs', '– / 0.006'] : ['strokes', '– / 0.010'];
      return [
        line(`contrast ratio of ${words} over a bar, as told`, aim, is(`bar, ${kind}`), 4),
        line('– by the film', aim, is(`bar, ${kind}`, 'film'), 4),
        line('– the same by the map', '–', is(`bar by map, ${kind}`, 'film'), 4),
        line('– where there is no film', aim, is(`bar, ${kind}`, 'grounds'), 4),
        ...(['ordinary', 'drawn'] as const).map((scanner) =>
          line(
            `– before ${scanner === 'drawn' ? 'a drawn' : 'an ordinary'} scanner`,
            aim,
            is(`bar, ${kind}`, undefined, (row) => row.scanner === scanner),
            4,
          ),
        ),
        ...INK_KINDS.map((ink) =>
          line(
            `– ${ink}`,
            aim,
            is(`bar, ${kind}`, undefined, (row) => row.ink === ink),
            4,
          ),
        ),
      ];
    }),
    line('contrast ratio foretold for standard grounds, by the film', '–', is('foretold contrast', 'film'), 3),
    line('the same by R0 and T', '–', is('foretold contrast', 'grounds'), 3),
    line(
      'hiding foretold of a paper that was left out, at the same doses, by the film',
      '–',
      is('foretold hiding', 'film'),
      3,
    ),
    line('the same by R0 and T', '–', is('foretold hiding', 'grounds'), 3),
    '',
    `No number: ${without(({ what }) => what === 'bar, swab' || what === 'bar, strokes')} pages with a bar; hiding of ${without(({ what }) => what === 'hiding')} pairs, where papers differ too little for a word to be told.`,
    '',
    '## The colour on a left-out paper, by the film',
    '',
    ...head,
    ...INK_KINDS.map((ink) =>
      line(
        ink,
        '1.5 / –',
        is('left out', 'film', (row) => row.ink === ink),
        2,
      ),
    ),
    ...['white', 'cream', 'coloured', 'grey'].map((paper) =>
      line(
        `on ${paper}`,
        '1.5 / –',
        is('left out', 'film', (row) => row.paper === paper),
        2,
      ),
    ),
  ].join('\n');
}
