import { useState } from 'react';
import { Label, Radio, RadioGroup } from 'react-aria-components';
import { SURROUNDS, applySurround, rememberSurround, rememberedSurround } from './surround.ts';

const NAMES = { dark: 'dark', mid: 'middle grey', light: 'light' } as const;

/** The grey around the scans. */
export function SurroundChoice() {
  const [surround, setSurround] = useState(rememberedSurround);
  return (
    <RadioGroup
      className="surrounds"
      orientation="horizontal"
      value={surround}
      onChange={(value) => {
        const chosen = SURROUNDS.find((s) => s === value) ?? 'mid';
        setSurround(chosen);
        applySurround(chosen);
        rememberSurround(chosen);
      }}
    >
      <Label>Surround</Label>
      <div className="surrounds-row">
        {SURROUNDS.map((name) => (
          <Radio key={name} value={name} className="surround" data-grey={name} aria-label={NAMES[name]} />
        ))}
      </div>
    </RadioGroup>
  );
}
