import { useEffect, useRef } from 'react';
import {
  TextField as AriaTextField,
  type TextFieldProps as AriaTextFieldProps,
  Input,
  Label,
  Text,
} from 'react-aria-components';

export interface TextFieldProps extends Omit<AriaTextFieldProps, 'className' | 'children' | 'style' | 'isInvalid'> {
  readonly label: string;
  readonly placeholder?: string;
  /** A few words under the field. */
  readonly note?: string;
  /** What is wrong with what stands in it: found, expected, what to do. */
  readonly problem?: string | null;
  /** For a field that the person has just asked for. */
  readonly takesFocus?: boolean;
}

export function TextField({ label, placeholder, note, problem = null, takesFocus = false, ...rest }: TextFieldProps) {
  const input = useRef<HTMLInputElement>(null);
  useEffect(() => {
    if (takesFocus) input.current?.focus();
  }, [takesFocus]);
  return (
    // A problem is told, and holds no form back: what did not get there is sent again as it stands.
    <AriaTextField {...rest} className="field" isInvalid={problem !== null} validationBehavior="aria">
      <Label>{label}</Label>
      <Input ref={input} {...(placeholder !== undefined && { placeholder })} />
      <FieldWords note={note} problem={problem} />
    </AriaTextField>
  );
}

/** The words under a field; the field is described by them. */
export function FieldWords({ note, problem }: { readonly note: string | undefined; readonly problem: string | null }) {
  if (problem !== null) {
    return (
      <Text slot="errorMessage" className="field-problem">
        {problem}
      </Text>
    );
  }
  return note === undefined ? null : (
    <Text slot="description" className="field-note">
      {note}
    </Text>
  );
}
