import { useEffect, useId, useRef, useState } from 'react';
import {
  Select as AriaSelect,
  Button,
  Label,
  ListBox,
  ListBoxItem,
  Popover,
  SelectValue,
  Text,
} from 'react-aria-components';
import { FieldWords } from './TextField.tsx';

export interface Choice {
  readonly id: string;
  readonly name: string;
  readonly note?: string;
}

export interface SelectProps {
  readonly label: string;
  readonly choices: readonly Choice[];
  /** Null: nothing is chosen yet. */
  readonly chosen: string | null;
  readonly onChoose: (id: string) => void;
  readonly note?: string;
  readonly problem?: string | null;
  readonly placeholder?: string;
  readonly isDisabled?: boolean;
}

/**
 * One of a list. Until it is taken in hand it is a button that looks and sounds the same: a list that can be walked, opened and
 * placed costs a page several milliseconds for each.
 */
export function Select(props: SelectProps) {
  const [inHand, setInHand] = useState<'no' | 'focus' | 'open'>('no');
  if (inHand !== 'no' && props.isDisabled !== true) return <OpenedSelect {...props} atOnce={inHand === 'open'} />;
  return <ClosedSelect {...props} onFocus={() => setInHand('focus')} onOpen={() => setInHand('open')} />;
}

interface ClosedSelectProps extends SelectProps {
  readonly onFocus: () => void;
  readonly onOpen: () => void;
}

function ClosedSelect({ label, choices, chosen, note, problem, placeholder, isDisabled, ...on }: ClosedSelectProps) {
  const id = useId();
  const words = choices.find((choice) => choice.id === chosen);
  const told = problem ?? note;
  return (
    <div className="field" {...(problem != null && { 'data-invalid': true })}>
      <span id={`${id}label`} className="react-aria-Label">
        {label}
      </span>
      <button
        type="button"
        className="field-box"
        disabled={isDisabled}
        aria-haspopup="listbox"
        aria-expanded={false}
        aria-labelledby={`${id}chosen ${id}label`}
        {...(told !== undefined && { 'aria-describedby': `${id}told` })}
        // Pressed, it opens: it must not have gone for another with the focus before the press is whole.
        onMouseDown={(event) => event.preventDefault()}
        onFocus={on.onFocus}
        onClick={on.onOpen}
      >
        <span id={`${id}chosen`}>{words ? <ChoiceWords choice={words} /> : (placeholder ?? CHOOSE)}</span>
        <Arrow />
      </button>
      {told !== undefined && (
        <span id={`${id}told`} className={problem == null ? 'field-note' : 'field-problem'}>
          {told}
        </span>
      )}
    </div>
  );
}

const CHOOSE = 'Choose…';

function OpenedSelect({
  label,
  choices,
  chosen,
  onChoose,
  note,
  problem = null,
  placeholder,
  atOnce,
}: SelectProps & { readonly atOnce: boolean }) {
  const button = useRef<HTMLButtonElement>(null);
  const [isOpen, setOpen] = useState(false);
  useEffect(() => {
    // The focus first: it goes back to where it was when the list opened, which it does once it knows its choices.
    button.current?.focus();
    if (!atOnce) return;
    const timer = setTimeout(() => setOpen(true));
    return () => clearTimeout(timer);
  }, [atOnce]);
  return (
    <AriaSelect
      className="field"
      selectedKey={chosen}
      onSelectionChange={(key) => {
        if (key !== null) onChoose(String(key));
      }}
      isOpen={isOpen}
      onOpenChange={setOpen}
      isInvalid={problem !== null}
      placeholder={placeholder ?? CHOOSE}
    >
      <Label>{label}</Label>
      <Button ref={button} className="field-box">
        <SelectValue />
        <Arrow />
      </Button>
      <FieldWords note={note} problem={problem} />
      <Popover className="popover">
        <ListBox items={choices}>{choiceItem}</ListBox>
      </Popover>
    </AriaSelect>
  );
}

/** On a field that has a list. */
export function Arrow() {
  return (
    <svg width="10" height="6" viewBox="0 0 10 6" aria-hidden="true">
      <path d="M1 1l4 4 4-4" fill="none" stroke="currentColor" strokeWidth="1.5" />
    </svg>
  );
}

export function choiceItem(choice: Choice) {
  return (
    <ListBoxItem id={choice.id} textValue={choice.name} className="choice">
      {/* The note is part of the name: what is seen is what is heard. */}
      <Text slot="label">
        <ChoiceWords choice={choice} />
      </Text>
    </ListBoxItem>
  );
}

function ChoiceWords({ choice: { name, note } }: { readonly choice: Choice }) {
  return (
    <>
      {name} {note !== undefined && <span className="choice-note">{note}</span>}
    </>
  );
}
