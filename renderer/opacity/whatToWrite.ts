/** Why nothing is foretold of an ink, in one sentence, and where a person mends it. */
import type { FindingsReport } from '../../electron/backend/api.ts';
import type { PlottedWork } from '../plots/regionPaper.ts';

const WRITE =
  'Write the ink on a second paper of another colour, or make a graded swab beside bare paper: from either the program tells what the ink will look like on any paper.';

export interface NextStep {
  readonly sentence: string;
  /** Findings hold what stood in the way of regions that are there. */
  readonly at: 'scans' | 'findings';
}

/** Who wrote on two papers already is not told to write on a second one: samples there could not be measured. */
export function whatToWrite(work: PlottedWork, { problems }: Pick<FindingsReport, 'problems'>): NextStep {
  const failed = new Set(problems.map(({ region }) => region));
  const paperOf = new Map(work.scans.map(({ id, paper }) => [id, paper]));
  const samples = work.regions.flatMap(({ region }) => {
    const paper = paperOf.get(region.scan) ?? null;
    return paper !== null && ['strokes', 'swab', 'bar'].includes(region.kind) ? [{ id: region.id, paper }] : [];
  });
  const all = new Set(samples.map(({ paper }) => paper));
  const measured = new Set(samples.filter(({ id }) => !failed.has(id)).map(({ paper }) => paper));
  if (all.size < 2 || measured.size >= 2) return { sentence: WRITE, at: 'scans' };
  const lost = [...all].filter((paper) => !measured.has(paper)).map((paper) => `“${paper}”`);
  const where = lost.length > 1 ? `${lost.slice(0, -1).join(', ')} and ${lost.at(-1)}` : lost[0];
  return {
    sentence: `The ink’s samples on ${where} could not be measured; the findings say why. Once they are, the program tells what the ink will look like on any paper.`,
    at: 'findings',
  };
}
