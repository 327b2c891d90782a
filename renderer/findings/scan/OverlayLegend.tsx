/** What the marks on the scan mean, in words; each can be taken away. */
import type { ReactNode } from 'react';
import type { Overlays } from './ScanView.tsx';

type Name = keyof Overlays;

const ENTRIES: readonly { readonly name: Name; readonly words: string; readonly glyph: ReactNode }[] = [
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
  { name: 'strips', words: 'bands and profile', glyph: <path d="M1 13h3l3-9 3 9h2l1.5-4 1.5 4" /> },
];

interface Props {
  readonly overlays: Overlays;
  /** Which of them can be seen on what is shown now. */
  readonly present: readonly Name[];
  readonly onChange: (overlays: Overlays) => void;
}

export function OverlayLegend({ overlays, present, onChange }: Props) {
  return (
    <fieldset className="findings-legend">
      <legend className="visually-hidden">Marks on the scan</legend>
      {ENTRIES.filter(({ name }) => present.includes(name)).map(({ name, words, glyph }) => (
        <label key={name}>
          <input
            type="checkbox"
            checked={overlays[name]}
            onChange={(event) => onChange({ ...overlays, [name]: event.target.checked })}
          />
          <svg width="16" height="16" viewBox="0 0 16 16" aria-hidden="true">
            {glyph}
          </svg>
          {words}
        </label>
      ))}
    </fieldset>
  );
}
