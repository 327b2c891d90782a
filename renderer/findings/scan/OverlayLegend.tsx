/** What the marks on the scan mean, in words; each can be taken away. */
import type { ReactNode } from 'react';
import { GHOST_VEILS } from '../../../analysis/measure/showThrough/ghostMap.ts';
import { GHOSTING_LIMITS } from '../../../analysis/measure/showThrough/reverseInput.ts';
import type { OverlayName, Overlays } from './overlays.ts';

const ENTRIES: readonly { readonly name: OverlayName; readonly words: string; readonly glyph: ReactNode }[] = [
  { name: 'boxes', words: 'regions', glyph: <rect x="1" y="3" width="14" height="10" /> },
  {
    name: 'counted',
    words: 'counted ink',
    glyph: (
      <>
        <path d="M1 8c3-6 5 4 8 0s4-2 6-3v5c-3 1-4 0-6 3s-5-2-8 1Z" />
        <circle cx="8" cy="9.5" r="0.9" className="legend-filled" />
      </>
    ),
  },
  { name: 'dark', words: 'darkest tenth', glyph: <path d="M8 3l5 5-5 5-5-5Z" className="legend-filled" /> },
  { name: 'light', words: 'lightest tenth', glyph: <circle cx="8" cy="8" r="4" /> },
  {
    name: 'doubleLayer',
    words: 'two layers, left out',
    glyph: <path d="M2 8l6-6M2 14l12-12M8 14l6-6" />,
  },
  {
    name: 'sheen',
    words: 'sheen',
    glyph: <path d="M8 2.500l5.500 10h-11Z" className="legend-open" />,
  },
  { name: 'edges', words: 'edges', glyph: <path d="M1 6c4-4 6 3 14-2M1 12c4-4 6 3 14-2" /> },
  { name: 'widths', words: 'widths', glyph: <path d="M8 3v10M5 3h6M5 13h6" /> },
  { name: 'hairs', words: 'hairs', glyph: <path d="M1 13h14M4 13l-2-7M8 13V3M12 13l2-8" /> },
  {
    name: 'halo',
    words: 'halo',
    glyph: (
      <>
        <circle cx="8" cy="8" r="2" className="legend-filled" />
        <circle cx="8" cy="8" r="6" strokeDasharray="3 2" />
      </>
    ),
  },
  {
    name: 'front',
    words: 'the front’s writing',
    glyph: <path d="M1 8c3-6 5 4 8 0s4-2 6-3v5c-3 1-4 0-6 3s-5-2-8 1Z" />,
  },
  {
    name: 'ghost',
    words: `ghost: ΔL* above ${GHOSTING_LIMITS.join(', ')}`,
    glyph: GHOST_VEILS.slice(1).map((veil, i) => (
      <rect
        key={veil}
        x={0.5 + 3.8 * i}
        y="2"
        width="3.800"
        height="12"
        className="legend-filled"
        fillOpacity={veil}
        strokeWidth="0.5"
      />
    )),
  },
  {
    name: 'bleed',
    words: 'came through',
    glyph: (
      <>
        <circle cx="8" cy="8" r="2.2" className="legend-filled" />
        <circle cx="8" cy="8" r="6" />
      </>
    ),
  },
  { name: 'strips', words: 'bands and profile', glyph: <path d="M1 13h3l3-9 3 9h2l1.5-4 1.5 4" /> },
];

interface Props {
  readonly overlays: Overlays;
  /** Which of them can be seen on what is shown now. */
  readonly present: readonly OverlayName[];
  readonly onChange: (change: Partial<Overlays>) => void;
}

export function OverlayLegend({ overlays, present, onChange }: Props) {
  return (
    // oxlint-disable-next-line jsx-a11y/prefer-tag-over-role -- a fieldset's hidden inner box scrolls, so its edge could not be shaded
    <div role="group" className="findings-legend" aria-label="Marks on the scan">
      {ENTRIES.filter(({ name }) => present.includes(name)).map(({ name, words, glyph }) => (
        <label key={name}>
          <input
            type="checkbox"
            checked={overlays[name]}
            onChange={(event) => onChange({ [name]: event.target.checked })}
          />
          <svg width="16" height="16" viewBox="0 0 16 16" aria-hidden="true">
            {glyph}
          </svg>
          {words}
        </label>
      ))}
    </div>
  );
}
