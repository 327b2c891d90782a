import { useState } from 'react';
import type { TaughtCard } from '../../electron/backend/api.ts';
import { fixed } from '../../analysis/report/valueText.ts';
import { Button } from '../look/Button.tsx';
import { Notice } from '../look/Notice.tsx';
import { Progress } from '../look/Progress.tsx';
import { stopTeaching, teach, useTeaching } from './teaching.ts';
import './card.css';

export interface TeachCardProps {
  readonly ink: number;
  readonly scan: string;
  /** Other scans on which a target with known values lies: the card may be there, too. */
  readonly others: readonly string[];
}

/** A printed card that lies beside this known target learns its own values from it. */
export function TeachCard({ ink, scan, others }: TeachCardProps) {
  const teaching = useTeaching(ink, scan);
  const [along, setAlong] = useState<readonly string[]>([]);
  const also = along.filter((id) => others.includes(id));
  const { state } = teaching;
  return (
    <details className="folded teach-card" {...(state !== 'never' && { open: true })}>
      <summary>Teach the card from this scan</summary>
      <p>
        When the <i>printed card</i> lies beside this target in the same scan, its values can be measured here once.
        Later scans then need the card alone.
      </p>
      {others.length > 0 && (
        <fieldset className="teach-others">
          <legend className="quiet">The card lies on these, too (several scans make it surer):</legend>
          {others.map((id) => (
            <label key={id}>
              <input
                type="checkbox"
                checked={also.includes(id)}
                onChange={({ target }) =>
                  setAlong(target.checked ? [...also, id] : also.filter((other) => other !== id))
                }
              />
              {id}
            </label>
          ))}
        </fieldset>
      )}
      {state === 'failed' && <Notice>{teaching.problem.message}</Notice>}
      {state === 'running' ? (
        <div className="teach-running">
          <Progress label="Measuring the card" done={0} total={0} />
          <Button onPress={() => stopTeaching(ink, scan)}>Cancel</Button>
        </div>
      ) : (
        <div className="buttons">
          <Button kind={state === 'taught' ? 'usual' : 'strong'} onPress={() => void teach(ink, scan, also)}>
            {state === 'taught' ? 'Teach it again' : 'Teach the card'}
          </Button>
        </div>
      )}
      {state === 'taught' && <Taught card={teaching.card} />}
    </details>
  );
}

function Taught({ card }: { readonly card: TaughtCard }) {
  const { reference, patches, medianU, largestU, words, warnings, rows } = card;
  return (
    <section className="taught" aria-label="What the card was taught">
      <p>
        Kept as <b>{reference.name.replace(/\.txt$/, '')}</b>; for the next scan of the card it is proposed.
      </p>
      <dl className="facts">
        <dt>Patches</dt>
        <dd>{patches}</dd>
        <dt>Known to</dt>
        <dd>± {fixed(2 * medianU, 1)} ΔE*ab (median)</dd>
        <dt>At worst</dt>
        <dd>± {fixed(2 * largestU, 1)} ΔE*ab</dd>
      </dl>
      <p>{words}</p>
      <p className="quiet">Each ± is twice the standard uncertainty.</p>
      {warnings.length > 0 && (
        <ul className="cautions">
          {warnings.map((warning) => (
            <li key={warning}>{asSentence(warning)}</li>
          ))}
        </ul>
      )}
      <details className="folded">
        <summary>Its values</summary>
        <div className="taught-table">
          <table>
            <thead>
              <tr>
                <th scope="col">Patch</th>
                <th scope="col">L*</th>
                <th scope="col">a*</th>
                <th scope="col">b*</th>
                <th scope="col">± L*, a*, b*</th>
              </tr>
            </thead>
            <tbody>
              {rows.map(({ id, lab, u }) => (
                <tr key={id}>
                  <th scope="row">{id}</th>
                  {lab.map((value, i) => (
                    <td key={'Lab'[i]}>{fixed(value, 1)}</td>
                  ))}
                  <td>{u.map((value) => fixed(2 * value, 1)).join(', ')}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      </details>
    </section>
  );
}

/** A clause that stands alone. */
function asSentence(words: string): string {
  return `${words.slice(0, 1).toUpperCase()}${words.slice(1)}${/[.!?]$/.test(words) ? '' : '.'}`;
}
