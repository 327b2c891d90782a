/** The ground that the page shows the ink on: a paper by its name, or a colour that a person picked. As the address keeps it. Pure. */
import type { LabValue } from '../../analysis/quantity.ts';
import { fixed } from '../../analysis/report/valueText.ts';
import type { OpacityAnswer, OpacityPen, OpacitySample, Prediction } from '../../electron/backend/opacityAnswer.ts';

export type Ground = { readonly paper: string } | { readonly picked: LabValue };

type Query = Readonly<Record<string, string | undefined>>;

/** What the address names; else the first paper that something is foretold for, else the first of all; null: no paper is known. */
export function groundIn(query: Query, answer: OpacityAnswer): Ground | null {
  const picked = labIn(query['ground']);
  if (picked) return { picked };
  const named = answer.papers.find(({ name }) => name === query['on']);
  if (named) return { paper: named.name };
  const foretold = answer.papers.find(({ name }) => answer.pens.some((pen) => predictionFor(pen, name) !== null));
  const first = foretold ?? answer.papers[0];
  return first ? { paper: first.name } : null;
}

export function groundQuery(ground: Ground): Query {
  return 'paper' in ground
    ? { on: ground.paper, ground: undefined }
    : { on: undefined, ground: ground.picked.map((v) => v.toFixed(1)).join(',') };
}

const LIMITS = [
  [0, 100],
  [-128, 128],
  [-128, 128],
] as const;

/** '92.0,1.0,8.0'; null: no colour. */
export function labIn(text: string | undefined): LabValue | null {
  const parts = (text ?? '').split(',').map((part) => (part.trim() === '' ? NaN : Number(part)));
  if (parts.length !== 3 || !parts.every((v, i) => v >= LIMITS[i][0] && v <= LIMITS[i][1])) return null;
  return [parts[0], parts[1], parts[2]];
}

export function groundName(ground: Ground): string {
  return 'paper' in ground ? ground.paper : 'a colour of your own';
}

export function groundLab(ground: Ground, answer: OpacityAnswer): LabValue | null {
  if ('picked' in ground) return ground.picked;
  return answer.papers.find(({ name }) => name === ground.paper)?.lab ?? null;
}

/** What is foretold of a pen on a paper of the shelf; null: nothing. */
export function predictionFor(pen: OpacityPen, paper: string): Prediction | null {
  return pen.predictions.find((one) => one.paper === paper) ?? null;
}

/** What was measured of a pen on a paper; null: it did not write there. */
export function sampleOn(pen: OpacityPen, paper: string): OpacitySample | null {
  return pen.samples.find((one) => one.paper === paper) ?? null;
}

/** The pen that the address names; else one whose writing can be shown elsewhere, lines before swabs. */
export function penIn(query: Query, { pens }: OpacityAnswer): OpacityPen | null {
  const named = pens.find(({ key }) => key === query['pen']);
  if (named) return named;
  const shown = (pen: OpacityPen): boolean => pen.predictions.some(({ rendering }) => rendering !== null);
  const lines = pens.filter(({ kind }) => kind === 'strokes');
  return lines.find(shown) ?? pens.find(shown) ?? lines[0] ?? pens[0] ?? null;
}

export function labWords(lab: LabValue): string {
  return ['L*', 'a*', 'b*'].map((name, i) => `${name}\u00A0${fixed(lab[i], 1)}`).join(', ');
}
