import { fixed } from '../../analysis/report/valueText.ts';
import { capital } from '../../analysis/report/words.ts';
import type { LabValue } from '../../analysis/quantity.ts';
import type { ReportPatch } from '../../electron/backend/api.ts';
import { Button } from '../look/Button.tsx';
import { Swatch } from '../look/Swatch.tsx';
import { Words } from '../reading/Words.tsx';
import '../reading/reading.css';
import { patchSentence } from './patchOrder.ts';

export interface PatchReadingProps {
  readonly patch: ReportPatch;
  readonly patches: readonly ReportPatch[];
  readonly onWhole: () => void;
}

/** rem */
const SIDE = 8;

/** What the chosen patch says. */
export function PatchReading({ patch, patches, onWhole }: PatchReadingProps) {
  const { id, grey, reference, leftOut, fitted, referenceU, notes, device, sd, clippedShare } = patch;
  return (
    <section className="reading" aria-label="Reading">
      <h2 className="reading-title">
        Patch {id} <small>{grey ? 'a grey of the tone curves' : 'a colour'}</small>
      </h2>
      <p className="reading-sentence" aria-live="polite">
        <Words>{patchSentence(patch, patches)}</Words>
      </p>
      <ul className="reading-swatches">
        <Colour lab={leftOut} label="measured, left out" />
        <Colour lab={reference} label="known" />
      </ul>
      {notes.length > 0 && (
        <ul className="card-list">
          {notes.map((note) => (
            <li key={note}>{capital(note)}.</li>
          ))}
        </ul>
      )}
      <table className="card-figures">
        <caption className="visually-hidden">Colours of patch {id}</caption>
        <thead>
          <tr>
            <th scope="col">CIELAB</th>
            <th scope="col">L*</th>
            <th scope="col">a*</th>
            <th scope="col">b*</th>
          </tr>
        </thead>
        <tbody>
          <LabRow label={referenceU ? 'known' : 'known, as given'} values={reference} />
          {referenceU && <LabRow label="± 2u" values={[2 * referenceU[0], 2 * referenceU[1], 2 * referenceU[2]]} />}
          <LabRow label="left out" values={leftOut} />
          <LabRow label="fitted" values={fitted} />
        </tbody>
      </table>
      <dl className="card-facts">
        <dt>As scanned, red, green, blue</dt>
        <dd>{device.map((v) => fixed(100 * v, 1)).join(', ')} % of the scale</dd>
        <dt>Scatter of a pixel</dt>
        <dd>{sd.map((v) => fixed(100 * v, 2)).join(', ')} %</dd>
        <dt>Clipped pixels</dt>
        <dd>{fixed(100 * clippedShare, 2)} %</dd>
      </dl>
      <div>
        <Button kind="plain" onPress={onWhole} aria-keyshortcuts="Escape">
          The calibration as a whole
        </Button>
      </div>
    </section>
  );
}

function Colour({ lab, label }: { readonly lab: LabValue; readonly label: string }) {
  return (
    <li>
      <Swatch lab={lab} size={SIDE} label={label} />
      <span className="reading-swatch-label" aria-hidden="true">
        {label}
      </span>
    </li>
  );
}

function LabRow({ label, values }: { readonly label: string; readonly values: LabValue }) {
  return (
    <tr>
      <th scope="row">{label}</th>
      {(['L*', 'a*', 'b*'] as const).map((name, i) => (
        <td key={name}>{fixed(values[i], 1)}</td>
      ))}
    </tr>
  );
}
