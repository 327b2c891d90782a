import type { WorkScan } from '../../electron/backend/api.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import { isccNbsName } from '../../analysis/colour/name.ts';
import type { LabValue } from '../../analysis/quantity.ts';
import { fixed } from '../../analysis/report/valueText.ts';
import { FLAG_WORDS } from '../../analysis/report/flagWords.ts';
import { Button } from '../look/Button.tsx';
import { Figure } from '../look/Figure.tsx';
import { Notice } from '../look/Notice.tsx';
import { Swatch } from '../look/Swatch.tsx';
import type { Bench } from './bench.ts';
import { scanOf } from './bench.ts';
import { NumberEntry } from './entries.tsx';
import { useLiveColour } from './liveColour.ts';
import { pinDifference } from './pinDifference.ts';
import { changePins, pinColour, referenceColour, referencePin, usePinBoard, withoutPin } from './pins.ts';
import type { Pin } from './pins.ts';

/** What lies under the pointer, and the colours that were pinned. */
export function ProbePanel({ bench }: { readonly bench: Bench }) {
  const { ink, tool } = bench;
  const pins = usePinBoard(ink);
  const reference = referencePin(pins);
  return (
    <section className="column-part" aria-label="Probe">
      <h2>Probe</h2>
      <NumberEntry
        label="Radius"
        unit="mm"
        step={0.05}
        least={0.05}
        most={20}
        value={pins.radiusMm}
        onSave={(mm) => {
          if (mm !== null) changePins(ink, (board) => ({ ...board, radiusMm: mm }));
        }}
      />
      {tool.tool === 'probe' && <LiveReading reference={referenceColour(pins)} />}
      {pins.pins.length === 0 && (
        <p className="quiet">
          {tool.tool === 'probe'
            ? 'Click on the scan to pin a colour; N pins the middle of the view.'
            : 'Take the probe (P) to read colours.'}
        </p>
      )}
      <ol className="pin-list">
        {pins.pins.map((pin) => (
          <PinRow key={pin.id} bench={bench} pin={pin} reference={reference} />
        ))}
      </ol>
    </section>
  );
}

function LiveReading({ reference }: { readonly reference: LabValue | null }) {
  const live = useLiveColour();
  return (
    <div className="live-reading">
      {live ? <Swatch lab={live.lab} label="under the pointer" /> : <span className="live-reading-none" />}
      <span>
        {live ? labText(live.lab) : 'under the pointer'}
        <br />
        <span className="quiet">{live ? isccNbsName(labD50(...live.lab)) : 'from what is in view'}</span>
        <br />
        <span className="quiet">
          {live && reference
            ? `${fixed(deltaE2000(labD50(...live.lab), labD50(...reference)), 1)} ΔE00 from the pinned colour`
            : ' '}
        </span>
      </span>
    </div>
  );
}

interface PinRowProps {
  readonly bench: Bench;
  readonly pin: Pin;
  readonly reference: Pin | null;
}

function PinRow({ bench, pin, reference }: PinRowProps) {
  const { ink } = bench;
  const { probe } = pin;
  const colour = pinColour(pin);
  const isReference = reference?.id === pin.id;
  const scan = scanOf(bench, pin.scan);
  return (
    <li className="pin-row" data-reference={isReference}>
      {colour ? (
        <Swatch lab={colour} size={2.5} label={`Pinned colour ${pin.id}`} />
      ) : (
        <span className="live-reading-none" />
      )}
      <div className="pin-words">
        <p>
          <strong>{pin.id}</strong> <span className="quiet">{placeWords(pin, scan)}</span>
        </p>
        {pin.problem !== null && <Notice>{pin.problem}</Notice>}
        {probe ? (
          <>
            <p>{probe.name}</p>
            <Figure value={probe.lab} u={probe.u} unit="Lab" />
            <p className="quiet">
              device {probe.device.map((value) => fixed(value, probe.bits === 16 ? 0 : 1)).join(', ')} of{' '}
              {probe.bits === 16 ? 65535 : 255}, {probe.pixels} pixels
            </p>
            {probe.flags.map((flag) => (
              <p key={flag} className="quiet">
                {FLAG_WORDS[flag]}
              </p>
            ))}
          </>
        ) : (
          pin.problem === null && <p className="quiet">{colour ? labText(colour) : 'reading…'}</p>
        )}
        {!isReference && <Difference pin={pin} reference={reference} />}
        <div className="buttons">
          {isReference ? (
            <span>the pinned colour</span>
          ) : (
            <Button kind="plain" onPress={() => changePins(ink, (board) => ({ ...board, reference: pin.id }))}>
              Measure from it
            </Button>
          )}
          <Button kind="plain" onPress={() => changePins(ink, (board) => withoutPin(board, pin.id))}>
            Remove
          </Button>
        </div>
      </div>
    </li>
  );
}

function Difference({ pin, reference }: { readonly pin: Pin; readonly reference: Pin | null }) {
  if (!pin.probe || !reference?.probe) return null;
  const { value, u } = pinDifference({ scan: pin.scan, ...pin.probe }, { scan: reference.scan, ...reference.probe });
  return (
    <p>
      <Figure value={value} u={u} unit="ΔE00" /> <span className="quiet">from {reference.id}</span>
    </p>
  );
}

function placeWords(pin: Pin, scan: WorkScan | null): string {
  if (scan === null) return `${pin.scan}, which has gone`;
  if (scan.dpi === null) return `${scan.id}, at ${fixed(pin.xPx, 0)}, ${fixed(pin.yPx, 0)} px`;
  const mm = scan.dpi / 25.4;
  return `${scan.id}, at ${fixed(pin.xPx / mm, 1)}, ${fixed(pin.yPx / mm, 1)} mm`;
}

function labText(lab: LabValue): string {
  return lab.map((value) => fixed(value, 1)).join(', ');
}
