/** Which marks a picture bears, and so which its legend explains. */
import type { LabValue } from '../../analysis/quantity.ts';
import { INK_MARKS } from '../../analysis/measure/ink.ts';
import { REVERSE_MARKS } from '../../analysis/measure/showThrough/reverseInput.ts';
import type { OverlayTask } from '../jobs/tasks.ts';
import { isLab } from './figures.ts';
import {
  boxLegend,
  cutCornerLegend,
  edgeLegend,
  inkLegend,
  type LegendEntry,
  reverseLegend,
  stripLegend,
  targetLegend,
} from './legend.ts';
import { colourOf, paperUnder } from './regionCard.ts';
import type { StripDrawing } from './stripPanel.ts';
import { isLeftOut, worstPatches } from './targetMarks.ts';
import { shown } from '../../analysis/colour/shown.ts';

export function legendEntries(
  task: OverlayTask,
  strips: readonly StripDrawing[],
  lineHex: string,
): readonly LegendEntry[] {
  const kinds = new Set(task.regions.map((r) => r.kind));
  return [
    ...(task.regions.some((r) => r.kind !== 'paper') ? [boxLegend('region measured', lineHex, false)] : []),
    ...(kinds.has('paper') ? [boxLegend('bare paper', lineHex, true)] : []),
    ...inkEntries(task, lineHex),
    ...reverseEntries(task, lineHex),
    ...(strips.length > 0 ? stripLegend(lineHex) : []),
    ...(task.target ? targetLegend(task.calibration.patches.some(isLeftOut)) : []),
    ...(swatchColours(task).every((lab) => shown(lab).exact) ? [] : [cutCornerLegend()]),
  ];
}

function inkEntries({ regions }: OverlayTask, lineHex: string): readonly LegendEntry[] {
  const inked = regions.find((r) => r.kind !== 'reverse' && r.result?.marks);
  const colour = inked && colourOf(inked.result?.quantities ?? []);
  if (!inked || !colour) return [];
  const [inkHex, paperHex] = [shown(colour).hex, shown(paperUnder(inked) ?? [95, 0, 0]).hex];
  const bears = (mark: number): boolean => regions.some(({ result }) => result?.marks?.data.includes(mark));
  const has = {
    edges: regions.some(({ result }) => (result?.edge?.edges.length ?? 0) > 0),
    hairs: regions.some(({ result }) => (result?.edge?.hairs.length ?? 0) > 0),
    halo: bears(INK_MARKS.halo),
    sheen: bears(INK_MARKS.sheen),
  };
  return [...inkLegend(lineHex, inkHex, paperHex), ...edgeLegend(lineHex, inkHex, paperHex, has)];
}

function reverseEntries({ regions }: OverlayTask, lineHex: string): readonly LegendEntry[] {
  const marks = regions.flatMap(({ kind, result }) => (kind === 'reverse' && result?.marks ? [result.marks] : []));
  const bears = (mark: number): boolean => marks.some(({ data }) => data.includes(mark));
  return reverseLegend(lineHex, { ghost: bears(REVERSE_MARKS.behindCore), bleed: bears(REVERSE_MARKS.bleed) });
}

/** All colours that cards show as swatches. */
function swatchColours(task: OverlayTask): readonly LabValue[] {
  const ofRegions = task.regions.flatMap(({ result }) =>
    (result?.quantities ?? []).flatMap((q) => (isLab(q.value) && !q.quantity.includes('.') ? [q.value] : [])),
  );
  const ofPatches = task.target ? worstPatches(task.calibration).flatMap((p) => [p.reference, p.leftOut]) : [];
  return [...ofRegions, ...ofPatches];
}
