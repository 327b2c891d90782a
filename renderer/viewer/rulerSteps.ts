/** Ruler marks at round millimetres. */

export interface RulerMark {
  readonly mm: number;
  /** Only marks at full steps carry a number. */
  readonly label: string | null;
}

/** The smallest of 1, 2, 5 × 10ⁿ mm that keeps marks at least `leastScreen` CSS px apart. */
export function niceStepMm(screenPerMm: number, leastScreen: number): number {
  const least = leastScreen / screenPerMm;
  const power = 10 ** Math.floor(Math.log10(least) + 1e-9);
  const factor = [1, 2, 5, 10].find((f) => f * power >= least * (1 - 1e-9)) ?? 10;
  return tidy(factor * power);
}

/** Marks from one place to another; full steps are numbered, fifths or halves between them are not. */
export function rulerMarks(fromMm: number, toMm: number, screenPerMm: number): RulerMark[] {
  const step = niceStepMm(screenPerMm, 64);
  const parts = leadingDigit(step) === 2 ? 4 : 5;
  const fine = step / parts;
  const marks: RulerMark[] = [];
  for (let i = Math.ceil(fromMm / fine - 1e-9); i * fine <= toMm + 1e-9; i++) {
    marks.push({ mm: tidy(i * fine), label: i % parts === 0 ? String(tidy(i * fine)) : null });
  }
  return marks;
}

/** Length of the scale bar: the largest nice number of mm no wider than `mostScreen`. */
export function scaleBarMm(screenPerMm: number, mostScreen: number): number {
  const most = mostScreen / screenPerMm;
  const power = 10 ** Math.floor(Math.log10(most) + 1e-9);
  const factor = [5, 2, 1].find((f) => f * power <= most * (1 + 1e-9)) ?? 1;
  return tidy(factor * power);
}

function leadingDigit(step: number): number {
  return Math.round(step / 10 ** Math.floor(Math.log10(step) + 1e-9));
}

/** Takes away what binary fractions leave behind: 0.30000000000000004 → 0.3, −0 → 0. */
function tidy(value: number): number {
  return Number(value.toPrecision(12)) + 0;
}
