/** Findings as figures to print: aligned on the decimal, ± 2u always beside its figure. */
import type { LabValue, Quantity, QuantityName } from '../../analysis/quantity.ts';

export interface Figure {
  readonly label: string;
  /** A sign, digits and a decimal point as printed; '–' when it cannot be told. */
  readonly value: string;
  /** '± 0.6', or '' without an uncertainty. */
  readonly spread: string;
  readonly unit: string;
  /** The trade's word. */
  readonly word: string;
}

const NOT_TOLD = '–';
/** Expanded uncertainty is shown: two standard uncertainties. */
const COVERAGE = 2;
const MOST_DECIMALS = 4;

const LABELS: Partial<Readonly<Record<QuantityName, string>>> = {
  inkDensity: 'Density',
  shading: 'Shading',
  'shading.dL': 'light − dark',
  'shading.dHue': 'hue turn',
  swabVariation: 'Variation',
  'swabVariation.dL': 'light − dark',
  layering: 'Second pass',
  lineWidth: 'Line width',
  spread: 'Spread',
  feathering: 'Feathering',
  halo: 'Halo',
  sheen: 'Sheen',
  pathDistance: 'Off its path',
  paperTexture: 'Texture',
  originRetained: 'At origin',
  ghosting: 'Ghosting',
  bleedThrough: 'Bleed-through',
  'bleedThrough.dots': 'dots',
  'bleedThrough.next': 'dots, next sheet',
  contrastRatio: 'Contrast ratio',
};
const DECIMALS: Readonly<Record<Quantity['unit'], number>> = {
  ΔE00: 1,
  'ΔL*': 1,
  Lab: 1,
  mm: 2,
  'mm/√s': 2,
  'mm²': 1,
  '/cm': 1,
  nm: 0,
  '1': 2,
  dots: 0,
  '%': 0,
  s: 0,
  '°': 0,
};
const UNITS: Partial<Readonly<Record<Quantity['unit'], string>>> = { Lab: '', '1': '', dots: '', ΔE00: 'ΔE₀₀' };

/** The figures worth a place on the picture, in the order that a reader asks for them. */
export function figuresOf(quantities: readonly Quantity[]): Figure[] {
  return quantities.flatMap((q): Figure[] => {
    if (q.unit === 'Lab' && (q.quantity === 'inkColour' || q.quantity === 'paperColour')) return labFigures(q);
    const label = LABELS[q.quantity];
    return label === undefined || (q.quantity.includes('.') && q.value === null) ? [] : [scalarFigure(q, label)];
  });
}

function scalarFigure(q: Quantity, label: string, decimals = DECIMALS[q.unit]): Figure {
  const value = typeof q.value === 'number' ? q.value : null;
  const u = typeof q.u === 'number' ? q.u : null;
  return {
    label,
    // Of what is counted whole ones.
    ...numberWords(value, u !== null && q.unit === 'dots' ? Math.ceil(2 * u) / 2 : u, decimals),
    unit: value === null ? '' : (UNITS[q.unit] ?? q.unit),
    word: value === null ? 'cannot tell' : (q.verdict ?? ''),
  };
}

function labFigures(q: Quantity): Figure[] {
  const value = isLab(q.value) ? q.value : null;
  const u = isLab(q.u) ? q.u : null;
  if (value === null) return [{ label: 'Colour', value: NOT_TOLD, spread: '', unit: '', word: 'cannot tell' }];
  return ['L*', 'a*', 'b*'].map((label, i) => ({
    label,
    ...numberWords(value[i], u && u[i], DECIMALS.Lab),
    unit: '',
    word: '',
  }));
}

/** As many decimals more as it takes for a small uncertainty not to read as ± 0. */
export function numberWords(value: number | null, u: number | null, decimals: number) {
  if (value === null) return { value: NOT_TOLD, spread: '' };
  if (u === null) return { value: plainNumber(value, decimals), spread: '' };
  const spread = COVERAGE * u;
  let shown = decimals;
  while (shown < MOST_DECIMALS && spread < 0.5 * 10 ** -shown) shown++;
  return { value: plainNumber(value, shown), spread: `± ${spread.toFixed(shown)}` };
}

/** With a true minus, and no '−0.0'. */
export function plainNumber(value: number, decimals: number): string {
  const digits = Math.abs(value).toFixed(decimals);
  return value < 0 && Number(digits) !== 0 ? `−${digits}` : digits;
}

export function isLab(value: number | LabValue | null): value is LabValue {
  return typeof value === 'object' && value !== null;
}
