import {
  NumberField as AriaNumberField,
  type NumberFieldProps as AriaNumberFieldProps,
  Button,
  Group,
  Input,
  Label,
} from 'react-aria-components';
import type { ClipboardEvent, KeyboardEvent, Ref } from 'react';
import { FieldWords } from './TextField.tsx';
import { plainNumber } from './plainNumber.ts';

export interface NumberFieldProps extends Omit<AriaNumberFieldProps, 'className' | 'children' | 'style' | 'isInvalid'> {
  readonly label: string;
  /** Small and grey behind the number. */
  readonly unit?: string;
  readonly note?: string;
  readonly problem?: string | null;
  readonly inputRef?: Ref<HTMLInputElement>;
  /** A letter was typed or taken away; steps of the arrows are none. */
  readonly onTyped?: () => void;
  /** Pressed in the field, after the field itself has heard of it. */
  readonly onKey?: (key: string, input: HTMLInputElement) => void;
}

export function NumberField({
  label,
  unit,
  note,
  problem = null,
  inputRef,
  onTyped,
  onKey,
  ...rest
}: NumberFieldProps) {
  return (
    <AriaNumberField {...rest} className="field" isInvalid={problem !== null}>
      <Label>{label}</Label>
      <Group className="field-box">
        <Input
          ref={inputRef}
          onKeyDown={(event) => {
            onKeyDown(event);
            onKey?.(event.key, event.currentTarget);
          }}
          onInput={onTyped}
          onPaste={onPaste}
        />
        {unit !== undefined && <span className="field-unit">{unit}</span>}
        <Button slot="decrement">−</Button>
        <Button slot="increment">+</Button>
      </Group>
      <FieldWords note={note} problem={problem} />
    </AriaNumberField>
  );
}

/** A sign that numbers are written with elsewhere is put in as this field reads it. */
function onKeyDown(event: KeyboardEvent<HTMLInputElement>): void {
  const plain = plainNumber(event.key);
  if (event.ctrlKey || event.metaKey || plain === event.key) return;
  event.preventDefault();
  putIn(event.currentTarget, plain);
}

/** As if it had been typed. */
export function putWhole(field: HTMLInputElement, text: string): void {
  field.select();
  putIn(field, text);
}

function onPaste(event: ClipboardEvent<HTMLInputElement>): void {
  const text = event.clipboardData.getData('text');
  const plain = plainNumber(text);
  if (plain === text) return;
  event.preventDefault();
  putIn(event.currentTarget, plain);
}

function putIn(field: HTMLInputElement, text: string): void {
  field.setRangeText(text, field.selectionStart ?? 0, field.selectionEnd ?? 0, 'end');
  field.dispatchEvent(new InputEvent('input', { bubbles: true }));
}
