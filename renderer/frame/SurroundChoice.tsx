import { useId, useState } from 'react';
import { SURROUNDS, type Surround, applySurround, rememberSurround, shownSurround } from './surround.ts';

const NAMES = { dark: 'dark', mid: 'middle grey', light: 'light' } as const;

/** The grey around the scans. */
export function SurroundChoice() {
  const [surround, setSurround] = useState(shownSurround);
  const id = useId();
  const choose = (chosen: Surround): void => {
    setSurround(chosen);
    applySurround(chosen);
    rememberSurround(chosen);
  };
  return (
    <div className="surrounds" role="radiogroup" aria-labelledby={id}>
      <span id={id}>Surround</span>
      <div className="surrounds-row">
        {SURROUNDS.map((name) => (
          <input
            key={name}
            type="radio"
            name={id}
            className="surround"
            data-grey={name}
            aria-label={NAMES[name]}
            checked={name === surround}
            onChange={() => choose(name)}
          />
        ))}
      </div>
    </div>
  );
}
