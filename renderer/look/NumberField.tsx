import {
  NumberField as AriaNumberField,
  type NumberFieldProps as AriaNumberFieldProps,
  Button,
  Group,
  Input,
  Label,
} from 'react-aria-components';
import { FieldWords } from './TextField.tsx';

export interface NumberFieldProps extends Omit<AriaNumberFieldProps, 'className' | 'children' | 'style' | 'isInvalid'> {
  readonly label: string;
  /** Small and grey behind the number. */
  readonly unit?: string;
  readonly note?: string;
  readonly problem?: string | null;
}

export function NumberField({ label, unit, note, problem = null, ...rest }: NumberFieldProps) {
  return (
    <AriaNumberField {...rest} className="field" isInvalid={problem !== null}>
      <Label>{label}</Label>
      <Group className="field-box">
        <Input />
        {unit !== undefined && <span className="field-unit">{unit}</span>}
        <Button slot="decrement">−</Button>
        <Button slot="increment">+</Button>
      </Group>
      <FieldWords note={note} problem={problem} />
    </AriaNumberField>
  );
}
