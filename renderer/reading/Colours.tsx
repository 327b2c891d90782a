import { useState } from 'react';
import { fixed } from '../../analysis/report/valueText.ts';
import type { RegionDetail, Work } from '../../electron/backend/api.ts';
import { Button } from '../look/Button.tsx';
import { screenGamut, withinGamut } from '../look/gamut.ts';
import { cssLab, Swatch } from '../look/Swatch.tsx';
import { keptTogether } from './keptTogether.ts';
import type { ShownColour } from './shownColours.ts';
import { Texture } from './Texture.tsx';

export interface ColoursProps {
  readonly work: Work;
  readonly colours: readonly ShownColour[];
  readonly details: Readonly<Record<string, RegionDetail>>;
}

/** Side of a swatch, rem. */
const SIDE = 8;

/** The colours that a finding is about, edge to edge so that the eye can judge them; the scan's own texture on demand. */
export function Colours({ work, colours, details }: ColoursProps) {
  const [textured, setTextured] = useState(false);
  if (colours.length === 0) return null;
  const places = colours.map((colour) => {
    const detail = details[colour.region];
    const scan = work.scans.find(({ id }) => id === detail?.scan);
    return detail && scan ? { detail, scan } : null;
  });
  return (
    <div className="reading-colours">
      <ul className="reading-swatches">
        {colours.map((colour, i) => {
          const place = places[i];
          const figures = colourText(colour);
          return (
            <li key={`${colour.region} ${colour.label}`}>
              <span className="reading-on-paper" {...(colour.on && { style: { backgroundColor: cssLab(colour.on) } })}>
                <Swatch
                  lab={colour.lab}
                  size={SIDE}
                  label={figures === null ? colour.label : `${colour.label}: ${figures}`}
                />
              </span>
              {textured && place && <Texture ink={work.ink.id} colour={colour} {...place} />}
              <span className="reading-swatch-label" aria-hidden="true">
                {colour.label}
                {figures !== null && <small>{figures}</small>}
                {!withinGamut(colour.lab, screenGamut()) && <small>cannot be shown exactly</small>}
              </span>
            </li>
          );
        })}
      </ul>
      {places.some((place) => place !== null) && (
        <Button kind="plain" onPress={() => setTextured(!textured)}>
          {textured ? 'Hide the scan’s texture' : 'Show the scan’s texture'}
        </Button>
      )}
    </div>
  );
}

/** A figure comes with its ± or not at all. */
function colourText({ lab, u }: ShownColour): string | null {
  if (!u) return null;
  return keptTogether(
    ['L*', 'a*', 'b*'].map((name, i) => `${name} ${fixed(lab[i], 1)} ± ${fixed(2 * u[i], 1)}`).join(', '),
  );
}
