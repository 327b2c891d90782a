import { ComboBox as AriaComboBox, Button, Group, Input, Label, ListBox, Popover } from 'react-aria-components';
import { type Choice, choiceItem } from './Select.tsx';
import { FieldWords } from './TextField.tsx';

export interface ComboBoxProps {
  readonly label: string;
  /** Known names; what is typed need not be one of them. */
  readonly suggestions: readonly Choice[];
  readonly value: string;
  readonly onChange: (value: string) => void;
  /** When the person is done with it: Enter, a suggestion taken, or the field left. */
  readonly onDone?: (value: string) => void;
  readonly note?: string;
  readonly problem?: string | null;
  readonly isDisabled?: boolean;
}

/** Free text with suggestions: a paper's name, a nib's. */
export function ComboBox({
  label,
  suggestions,
  value,
  onChange,
  onDone,
  note,
  problem = null,
  isDisabled,
}: ComboBoxProps) {
  return (
    <AriaComboBox
      className="field"
      allowsCustomValue
      menuTrigger="focus"
      // Typing narrows them; who opens the list sees all of them, whatever stands in the field.
      defaultItems={suggestions}
      inputValue={value}
      onInputChange={onChange}
      onSelectionChange={(key) => {
        const taken = suggestions.find((s) => s.id === key);
        if (!taken) return;
        onChange(taken.name);
        onDone?.(taken.name);
      }}
      onBlur={() => onDone?.(value)}
      onKeyDown={(event) => {
        if (event.key === 'Enter') onDone?.(value);
      }}
      isInvalid={problem !== null}
      isDisabled={isDisabled ?? false}
    >
      <Label>{label}</Label>
      <Group className="field-box">
        <Input />
        <Button aria-label={`Known: ${label}`}>
          <svg width="10" height="6" viewBox="0 0 10 6" aria-hidden="true">
            <path d="M1 1l4 4 4-4" fill="none" stroke="currentColor" strokeWidth="1.5" />
          </svg>
        </Button>
      </Group>
      <FieldWords note={note} problem={problem} />
      <Popover className="popover">
        <ListBox<Choice>>{choiceItem}</ListBox>
      </Popover>
    </AriaComboBox>
  );
}
