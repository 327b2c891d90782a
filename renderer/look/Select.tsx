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

export function Select({
  label,
  choices,
  chosen,
  onChoose,
  note,
  problem = null,
  placeholder,
  isDisabled,
}: SelectProps) {
  return (
    <AriaSelect
      className="field"
      selectedKey={chosen}
      onSelectionChange={(key) => {
        if (key !== null) onChoose(String(key));
      }}
      isInvalid={problem !== null}
      isDisabled={isDisabled ?? false}
      placeholder={placeholder ?? 'Choose…'}
    >
      <Label>{label}</Label>
      <Button className="field-box">
        <SelectValue />
        <svg width="10" height="6" viewBox="0 0 10 6" aria-hidden="true">
          <path d="M1 1l4 4 4-4" fill="none" stroke="currentColor" strokeWidth="1.5" />
        </svg>
      </Button>
      <FieldWords note={note} problem={problem} />
      <Popover className="popover">
        <ListBox items={choices}>{choiceItem}</ListBox>
      </Popover>
    </AriaSelect>
  );
}

export function choiceItem(choice: Choice) {
  return (
    <ListBoxItem id={choice.id} textValue={choice.name} className="choice">
      {/* The note is part of the name: what is seen is what is heard. */}
      <Text slot="label">
        {choice.name} {choice.note !== undefined && <span className="choice-note">{choice.note}</span>}
      </Text>
    </ListBoxItem>
  );
}
