/** Fields that take their value when the person is done with them, not at every letter. */
import { useState } from 'react';
import { nameProblem } from '../../analysis/report/nameLength.ts';
import { ComboBox } from '../look/ComboBox.tsx';
import { NumberField } from '../look/NumberField.tsx';
import type { Choice } from '../look/Select.tsx';
import { TextField } from '../look/TextField.tsx';
import { rangeProblem } from './rangeProblem.ts';

interface EntryProps {
  readonly label: string;
  readonly value: string;
  readonly onSave: (value: string) => void;
  /** Why a text would not do; null: it will. */
  readonly check?: (value: string) => string | null;
  readonly note?: string;
}

/** What is typed; it starts anew when the value changes, from here or elsewhere (undo, another window), and the field keeps the focus. */
function useTyped(value: string): [text: string, setText: (text: string) => void] {
  const [typed, setTyped] = useState({ text: value, of: value });
  if (typed.of !== value) setTyped({ text: value, of: value });
  return [typed.of === value ? typed.text : value, (text) => setTyped({ text, of: value })];
}

export function TextEntry({ label, value, onSave, check, note }: EntryProps) {
  const [text, setText] = useTyped(value);
  const problem = text === value ? null : (check?.(text) ?? null);
  const done = (): void => {
    if (text.trim() !== value && problem === null) onSave(text.trim());
    else if (problem === null) setText(value);
  };
  return (
    <TextField
      label={label}
      value={text}
      onChange={setText}
      onBlur={done}
      onKeyDown={(event) => {
        if (event.key === 'Enter') done();
        if (event.key !== 'Escape') return;
        // Once more leaves the field: from then on keys are the page's again.
        if (text === value && event.currentTarget instanceof HTMLElement) event.currentTarget.blur();
        setText(value);
      }}
      problem={problem}
      {...(note !== undefined && { note })}
    />
  );
}

interface ComboEntryProps extends Omit<EntryProps, 'check'> {
  readonly suggestions: readonly Choice[];
}

/** A name, of those that are known or another. */
export function ComboEntry({ label, value, onSave, suggestions, note }: ComboEntryProps) {
  const [text, setText] = useTyped(value);
  const problem = text === value ? null : nameProblem(text);
  return (
    <ComboBox
      label={label}
      suggestions={suggestions}
      value={text}
      onChange={setText}
      onDone={(done) => {
        if (done.trim() !== value && nameProblem(done) === null) onSave(done.trim());
      }}
      problem={problem}
      {...(note !== undefined && { note })}
    />
  );
}

interface NumberEntryProps {
  readonly label: string;
  readonly value: number | null;
  readonly onSave: (value: number | null) => void;
  readonly unit?: string;
  /** Values are held to multiples of it: never coarser than what a person may want to type. */
  readonly step?: number;
  readonly least?: number;
  readonly most?: number;
  readonly digits?: number;
  readonly note?: string;
}

/** An emptied field is null. One that may not be so large or small stays as it was typed, with a word on what may be. */
export function NumberEntry({ label, value, onSave, unit, step, least, most, digits = 2, note }: NumberEntryProps) {
  const [refused, setRefused] = useState<{ readonly typed: number; readonly beside: number | null } | null>(null);
  const typed = refused !== null && Object.is(refused.beside, value) ? refused.typed : null;
  const problem = typed === null ? null : rangeProblem(typed, { least, most, unit });
  return (
    <NumberField
      label={label}
      value={typed ?? value ?? NaN}
      commitBehavior="validate"
      problem={problem}
      onChange={(next) => {
        const said = Number.isNaN(next) ? null : next;
        if (said !== null && rangeProblem(said, { least, most, unit }) !== null) {
          setRefused({ typed: said, beside: value });
          return;
        }
        setRefused(null);
        // Leaving the field hands back what it showed, which is rounded: that is no change.
        const same = said !== null && value !== null && Math.abs(said - value) < 0.5000001 * 10 ** -digits;
        if (said !== value && !same) onSave(said);
      }}
      formatOptions={{ maximumFractionDigits: digits, useGrouping: false }}
      {...(unit !== undefined && { unit })}
      {...(step !== undefined && { step })}
      {...(least !== undefined && { minValue: least })}
      {...(most !== undefined && { maxValue: most })}
      {...(note !== undefined && { note })}
    />
  );
}
