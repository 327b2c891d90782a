import { useState } from 'react';
import { nameProblem } from '../../analysis/report/nameLength.ts';
import type { Problem } from '../../electron/backend/api.ts';
import { Button } from '../look/Button.tsx';
import { TextField, type TextFieldProps } from '../look/TextField.tsx';
import { useFocusBack } from '../look/useFocusBack.ts';

export interface InkFormProps {
  readonly name: string;
  readonly maker: string | null;
  readonly claim?: string | null;
  /** On the button: 'Make the ink', 'Rename'. */
  readonly doing: string;
  /** @returns null when done, else why not: said under the fields, which keep what was typed. */
  readonly onDone: (name: string, maker: string | null, claim: string | null) => Promise<Problem | null>;
  readonly onCancel: () => void;
}

/** An ink's name, its maker and what that calls the colour, asked in place. */
export function InkForm({
  name: firstName,
  maker: firstMaker,
  claim: firstClaim = null,
  doing,
  onDone,
  onCancel,
}: InkFormProps) {
  useFocusBack();
  const [name, setName] = useState(firstName);
  const [maker, setMaker] = useState(firstMaker ?? '');
  const [claim, setClaim] = useState(firstClaim ?? '');
  const [problem, setProblem] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const byKeys: TextFieldProps['onKeyDown'] = (event) => {
    if (event.key === 'Escape') onCancel();
    else event.continuePropagation();
  };
  const send = async (): Promise<void> => {
    if (name.trim() === '') {
      setProblem('No name yet; write the ink’s name as it stands on its bottle.');
      return;
    }
    if ([name, maker, claim].some((text) => nameProblem(text) !== null)) return;
    setBusy(true);
    const answer = await onDone(name.trim(), orNull(maker), orNull(claim));
    setBusy(false);
    setProblem(answer?.message ?? null);
  };
  return (
    <form
      className="ink-form"
      onSubmit={(event) => {
        event.preventDefault();
        void send();
      }}
    >
      <TextField
        label="Name of the ink"
        value={name}
        onChange={setName}
        onKeyDown={byKeys}
        problem={nameProblem(name) ?? problem}
        takesFocus
      />
      <MaybeEmpty label="Maker" value={maker} onChange={setMaker} onKeyDown={byKeys} />
      <MaybeEmpty label="Colour that its maker claims" value={claim} onChange={setClaim} onKeyDown={byKeys} />
      <span className="ink-form-end">
        <Button kind="strong" type="submit" isDisabled={busy}>
          {busy ? `${doing}…` : doing}
        </Button>
        <Button kind="plain" onPress={onCancel}>
          Cancel
        </Button>
      </span>
    </form>
  );
}

interface MaybeEmptyProps extends Pick<TextFieldProps, 'onChange' | 'onKeyDown'> {
  readonly label: string;
  readonly value: string;
}

function MaybeEmpty({ label, value, ...rest }: MaybeEmptyProps) {
  return <TextField label={`${label} (may stay empty)`} value={value} problem={nameProblem(value)} {...rest} />;
}

function orNull(text: string): string | null {
  return text.trim() === '' ? null : text.trim();
}
