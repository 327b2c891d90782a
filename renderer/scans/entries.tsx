/** Fields that take their value when the person is done with them, not at every letter. */
import { useRef, useState } from 'react';
import { nameProblem } from '../../analysis/report/nameLength.ts';
import { ComboBox } from '../look/ComboBox.tsx';
import { NumberField, putWhole } from '../look/NumberField.tsx';
import { plainNumber } from '../look/plainNumber.ts';
import type { Choice } from '../look/Select.tsx';
import { TextField } from '../look/TextField.tsx';
import { rangeProblem } from './rangeProblem.ts';
import { type Taken, useLeft, useRefusedAsLeft, useSaidHere } from './saidHere.ts';

interface EntryProps {
  readonly label: string;
  readonly value: string;
  readonly onSave: (value: string) => Taken;
  /** Why a text would not do; null: it will. */
  readonly check?: (value: string) => string | null;
  readonly note?: string;
}

interface Typed {
  readonly value: string;
  readonly text: string;
  readonly setText: (text: string) => void;
  /** Sends a text that is another; a refused one stays as it was typed. */
  readonly done: (text: string) => void;
  /** That the value has changed under what is typed; null: it has not. */
  readonly meanwhile: string | null;
}

/** What is typed. It starts anew when the value changes, from here or elsewhere (undo, another window); what a person is typing stays. */
function useTyped(
  label: string,
  drawn: string,
  onSave: EntryProps['onSave'],
  check: (text: string) => string | null,
): Typed {
  const { value, save } = useSaidHere(drawn, onSave);
  const tellRefused = useRefusedAsLeft(label);
  const [typed, setTyped] = useState({ text: value, of: value });
  const isKept = typed.of === value || typed.text !== typed.of;
  if (!isKept) setTyped({ text: value, of: value });
  const text = isKept ? typed.text : value;
  const done = (said: string): void => {
    const next = said.trim();
    if (said !== value && check(said) !== null) return;
    if (next === value) {
      setTyped({ text: value, of: value });
      return;
    }
    setTyped({ text: next, of: next });
    void save(next).then((isTaken) => {
      if (!isTaken) setTyped((now) => (now.of === next ? { text: now.text, of: value } : now));
    });
  };
  useLeft(() => {
    const problem = text === value ? null : check(text);
    if (problem === null) done(text);
    else tellRefused(problem);
  });
  return {
    value,
    text,
    setText: (to) => setTyped({ text: to, of: to === value || text === typed.of ? value : typed.of }),
    done,
    meanwhile: text === value || typed.of === value ? null : `By now it is “${value}”; Escape takes that, Enter yours.`,
  };
}

export function TextEntry({ label, value: drawn, onSave, check, note }: EntryProps) {
  const { value, text, setText, done, meanwhile } = useTyped(label, drawn, onSave, (said) => check?.(said) ?? null);
  const words = meanwhile ?? note;
  return (
    <TextField
      label={label}
      value={text}
      onChange={setText}
      onBlur={() => done(text)}
      onKeyDown={(event) => {
        if (event.key === 'Enter') done(text);
        if (event.key !== 'Escape') return;
        // Once more leaves the field: from then on keys are the page's again.
        if (text === value && event.currentTarget instanceof HTMLElement) event.currentTarget.blur();
        setText(value);
      }}
      problem={text === value ? null : (check?.(text) ?? null)}
      {...(words !== undefined && { note: words })}
    />
  );
}

interface ComboEntryProps extends Omit<EntryProps, 'check'> {
  readonly suggestions: readonly Choice[];
}

/** A name, of those that are known or another. */
export function ComboEntry({ label, value: drawn, onSave, suggestions, note }: ComboEntryProps) {
  const { value, text, setText, done, meanwhile } = useTyped(label, drawn, onSave, nameProblem);
  const words = meanwhile ?? note;
  return (
    <ComboBox
      label={label}
      suggestions={suggestions}
      value={text}
      onChange={setText}
      onDone={done}
      onGivenUp={() => setText(value)}
      problem={text === value ? null : nameProblem(text)}
      {...(words !== undefined && { note: words })}
    />
  );
}

interface NumberEntryProps {
  readonly label: string;
  readonly value: number | null;
  readonly onSave: (value: number | null) => Taken;
  readonly unit?: string;
  /** Values are held to multiples of it: never coarser than what a person may want to type. */
  readonly step?: number;
  readonly least?: number;
  readonly most?: number;
  readonly digits?: number;
  readonly note?: string;
  /** Of the field, for whoever leads a person to it. */
  readonly id?: string;
}

/** A number that stands in a field and is not the library's. */
interface OwnNumber {
  readonly number: number | null;
  /** The value that it was put in for. */
  readonly of: number | null;
}

/** An emptied field is null. A number that is refused, or may not be so large or small, stays as it was typed, and so does what a person is typing. */
export function NumberEntry({
  label,
  value: drawn,
  onSave,
  unit,
  step,
  least,
  most,
  digits = 2,
  note,
  id,
}: NumberEntryProps) {
  const { value, save } = useSaidHere(drawn, onSave);
  const tellRefused = useRefusedAsLeft(label);
  const input = useRef<HTMLInputElement | null>(null);
  const [refused, setRefused] = useState<OwnNumber | null>(null);
  /** The number over which a person is typing. */
  const [typedOver, setTypedOver] = useState<OwnNumber | null>(null);
  const latest = useRef(0);
  const perUnit = 10 ** digits;
  /** What a field shows is rounded: handed back, it is no change. */
  const isSame = (a: number | null, b: number | null): boolean =>
    a === b || (a !== null && b !== null && Math.abs(a - b) < 0.5000001 / perUnit);
  const own = typedOver ?? (isSame(refused?.number ?? null, value) ? null : refused);
  const stands = own === null ? value : own.number;
  const problem = typedOver || !own || own.number === null ? null : rangeProblem(own.number, { least, most, unit });
  const meanwhile =
    own === null || isSame(own.of, value)
      ? undefined
      : `By now it is “${value === null ? '' : Math.round(value * perUnit) / perUnit}”; Escape takes that, Enter yours.`;
  const words = meanwhile ?? note;
  const take = (next: number): void => {
    const said = Number.isNaN(next) ? null : next;
    setTypedOver(null);
    if (said !== null && rangeProblem(said, { least, most, unit }) !== null) {
      setRefused({ number: said, of: value });
      return;
    }
    setRefused(null);
    if (isSame(said, value)) return;
    const mine = ++latest.current;
    void save(said).then((isTaken) => {
      if (!isTaken && latest.current === mine) setRefused({ number: said, of: drawn });
    });
  };
  /** Half a number is none. */
  const read = (): number | null => {
    const text = plainNumber(input.current?.value ?? '').trim();
    const typed = text === '' ? NaN : Math.round(Number(text) * perUnit) / perUnit;
    return text !== '' && Number.isNaN(typed) ? null : typed;
  };
  useLeft(() => {
    const typed = read();
    const isUntouched = typedOver !== null && isSame(typedOver.number, numberOrNull(typed));
    if (typed === null || isUntouched) return;
    const refusal = Number.isNaN(typed) ? null : rangeProblem(typed, { least, most, unit });
    if (refusal === null) take(typed);
    else tellRefused(refusal);
  });
  const onKey = (key: string, field: HTMLInputElement): void => {
    const typed = read();
    if (key === 'Enter') {
      setTypedOver(null);
      // The field itself has nothing to say of a number that stands in it already.
      if (typed !== null && refused !== null && isSame(refused.number, numberOrNull(typed))) take(typed);
    } else if (key === 'Escape') {
      // Once more leaves the field: from then on keys are the page's again.
      if (own === null || (typed !== null && isSame(numberOrNull(typed), value))) field.blur();
      else putWhole(field, value === null ? '' : String(Math.round(value * perUnit) / perUnit));
      setTypedOver(null);
      setRefused(null);
    }
  };
  return (
    <NumberField
      label={label}
      value={stands ?? NaN}
      commitBehavior="validate"
      problem={problem}
      onChange={take}
      onTyped={() => setTypedOver((now) => now ?? { number: stands, of: own === null ? value : own.of })}
      onKey={onKey}
      onBlur={() => setTypedOver(null)}
      inputRef={(element) => {
        // Once the field has gone, what stood in it still counts.
        input.current = element ?? input.current;
      }}
      formatOptions={{ maximumFractionDigits: digits, useGrouping: false }}
      {...(id !== undefined && { id })}
      {...(unit !== undefined && { unit })}
      {...(step !== undefined && { step })}
      {...(least !== undefined && { minValue: least })}
      {...(most !== undefined && { maxValue: most })}
      {...(words !== undefined && { note: words })}
    />
  );
}

/** As a field says it: no number is an emptied field. */
function numberOrNull(typed: number | null): number | null {
  return typed === null || Number.isNaN(typed) ? null : typed;
}
