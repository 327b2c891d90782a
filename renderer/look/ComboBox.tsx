import { useEffect, useId, useRef, useState } from 'react';
import { ComboBox as AriaComboBox, Button, Group, Input, Label, ListBox, Popover } from 'react-aria-components';
import { Arrow, type Choice, choiceItem } from './Select.tsx';
import { FieldWords } from './TextField.tsx';
import { useInTurn } from './useInTurn.ts';

export interface ComboBoxProps {
  readonly label: string;
  /** Known names; what is typed need not be one of them. */
  readonly suggestions: readonly Choice[];
  readonly value: string;
  readonly onChange: (value: string) => void;
  /** When the person is done with it: Enter, a suggestion taken, or the field left. */
  readonly onDone?: (value: string) => void;
  /** Left by Escape: what is typed does not count. While a list is open, Escape closes that. */
  readonly onGivenUp?: () => void;
  readonly note?: string;
  readonly problem?: string | null;
  readonly isDisabled?: boolean;
}

/**
 * Free text with suggestions: a paper's name, a nib's. In the frame that draws the form around it it only looks like one: what its list
 * needs takes as long as the rest of the form.
 */
export function ComboBox(props: ComboBoxProps) {
  const isWhole = useInTurn(2, 1) > 1;
  const [isReached, setReached] = useState(false);
  return isWhole ? (
    <WholeComboBox {...props} takesFocus={isReached} />
  ) : (
    <SeenComboBox {...props} onReached={() => setReached(true)} />
  );
}

type SeenProps = Pick<ComboBoxProps, 'label' | 'value' | 'note' | 'problem' | 'isDisabled'> & {
  readonly onReached: () => void;
};

function SeenComboBox({ label, value, note, problem, isDisabled, onReached }: SeenProps) {
  const id = useId();
  const told = problem ?? note;
  return (
    <div className="field" {...(problem != null && { 'data-invalid': true })}>
      <label className="react-aria-Label" htmlFor={id}>
        {label}
      </label>
      <div className="field-box">
        <input id={id} className="react-aria-Input" value={value} readOnly disabled={isDisabled} onFocus={onReached} />
        <button
          type="button"
          className="react-aria-Button"
          tabIndex={-1}
          disabled={isDisabled}
          aria-label={`Known: ${label}`}
        >
          <Arrow />
        </button>
      </div>
      {told !== undefined && <span className={problem == null ? 'field-note' : 'field-problem'}>{told}</span>}
    </div>
  );
}

function WholeComboBox({
  label,
  suggestions,
  value,
  onChange,
  onDone,
  onGivenUp,
  note,
  problem = null,
  isDisabled,
  takesFocus,
}: ComboBoxProps & { readonly takesFocus: boolean }) {
  const input = useRef<HTMLInputElement>(null);
  const isGivenUp = useRef(false);
  /** Leaves first: another text in a field that has the focus opens the list. */
  const giveUp = (): void => {
    isGivenUp.current = true;
    input.current?.blur();
    isGivenUp.current = false;
    onGivenUp?.();
  };
  /** Those there were when the field was taken in hand: a name that was just given would else open the list again, which hides the page from readers. */
  const [offered, setOffered] = useState<readonly Choice[] | null>(null);
  useEffect(() => {
    if (takesFocus) input.current?.focus();
  }, [takesFocus]);
  return (
    <AriaComboBox
      className="field"
      allowsCustomValue
      menuTrigger="focus"
      // Typing narrows them; who opens the list sees all of them, whatever stands in the field.
      defaultItems={offered ?? suggestions}
      inputValue={value}
      onInputChange={onChange}
      onSelectionChange={(key) => {
        const taken = suggestions.find((s) => s.id === key);
        if (!taken) return;
        onChange(taken.name);
        onDone?.(taken.name);
      }}
      onFocus={() => setOffered(suggestions)}
      onBlur={() => {
        setOffered(null);
        if (!isGivenUp.current) onDone?.(value);
      }}
      onKeyDown={(event) => {
        if (event.key === 'Enter') onDone?.(value);
        if (event.key === 'Escape' && input.current?.ariaExpanded === 'false') giveUp();
      }}
      isInvalid={problem !== null}
      isDisabled={isDisabled ?? false}
    >
      <Label>{label}</Label>
      <Group className="field-box">
        <Input ref={input} />
        <Button aria-label={`Known: ${label}`}>
          <Arrow />
        </Button>
      </Group>
      <FieldWords note={note} problem={problem} />
      <Popover className="popover">
        <ListBox<Choice>>{choiceItem}</ListBox>
      </Popover>
    </AriaComboBox>
  );
}
