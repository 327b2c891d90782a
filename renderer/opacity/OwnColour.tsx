/** A ground's colour by its three numbers, or taken from a scan. */
import type { LabValue } from '../../analysis/quantity.ts';
import { Button } from '../look/Button.tsx';
import { screenGamut, withinGamut } from '../look/gamut.ts';
import { NumberField } from '../look/NumberField.tsx';

export interface OwnColourProps {
  readonly lab: LabValue;
  readonly onLab: (lab: LabValue) => void;
  /** Whether a scan is open to pick it from. */
  readonly picking: boolean;
  readonly onPicking: (picking: boolean) => void;
}

const FIELDS = [
  { label: 'L*, dark to light', least: 0, most: 100 },
  { label: 'a*, green to red', least: -128, most: 128 },
  { label: 'b*, blue to yellow', least: -128, most: 128 },
] as const;

export function OwnColour({ lab, onLab, picking, onPicking }: OwnColourProps) {
  return (
    <fieldset className="own-colour">
      <legend className="visually-hidden">A colour of your own</legend>
      {FIELDS.map(({ label, least, most }, i) => (
        <NumberField
          key={label}
          label={label}
          minValue={least}
          maxValue={most}
          step={0.1}
          value={Math.round(10 * lab[i]) / 10}
          formatOptions={{ minimumFractionDigits: 1, maximumFractionDigits: 1 }}
          onChange={(value) => {
            if (Number.isFinite(value))
              onLab([i === 0 ? value : lab[0], i === 1 ? value : lab[1], i === 2 ? value : lab[2]]);
          }}
        />
      ))}
      {!withinGamut(lab, screenGamut()) && <p className="field-note">cannot be shown exactly</p>}
      <Button chosen={picking} onPress={() => onPicking(!picking)}>
        {picking ? 'Done picking' : 'Pick it on a scan'}
      </Button>
    </fieldset>
  );
}
