import { useId, useState } from 'react';
import { useShelf } from '../api/store.ts';
import { Button } from '../look/Button.tsx';
import { Progress } from '../look/Progress.tsx';
import { Select } from '../look/Select.tsx';
import { TextField } from '../look/TextField.tsx';
import { type Batch, cancelBatch, cancelLine, dismiss, giveInk, sendAgain, useBatches } from './bringing.ts';
import { type BroughtLine, endedOf, isWorthReading } from './broughtLine.ts';

/** Files that are on their way, and what became of those that did not make it: at the foot of the window. */
export function Tray() {
  const batches = useBatches();
  if (batches.length === 0) return null;
  return (
    <section className="tray" aria-label="Files that you brought">
      {batches.toReversed().map((batch) => (
        <BatchRow key={batch.id} batch={batch} />
      ))}
    </section>
  );
}

function BatchRow({ batch }: { readonly batch: Batch }) {
  const { done, total } = endedOf(batch.lines);
  const moving = batch.stage === 'looking' || batch.stage === 'sending' || batch.stage === 'joining';
  return (
    <div className="batch">
      <div className="batch-head">
        {moving ? (
          <Progress
            label={batch.stage === 'sending' ? 'Bringing files' : batch.stage === 'looking' ? 'Looking' : 'Reading'}
            done={batch.stage === 'sending' ? done : 0}
            total={batch.stage === 'sending' ? total : 0}
            {...(batch.stage === 'sending' && { words: `${done} of ${total}` })}
          />
        ) : (
          <h2>{batch.stage === 'asking' ? 'Which ink are these scans of?' : 'Files that you brought'}</h2>
        )}
        {batch.stage === 'sending' && <Button onPress={() => cancelBatch(batch.id)}>Cancel all</Button>}
        {!moving && batch.canSendAgain && <Button onPress={() => sendAgain(batch.id)}>Send again</Button>}
        {!moving && (
          <Button kind="plain" onPress={() => dismiss(batch.id)}>
            {batch.stage === 'asking' ? 'Let them go' : 'Dismiss'}
          </Button>
        )}
      </div>
      {batch.stage === 'asking' && <AskInk batch={batch} />}
      {batch.words.map((words) => (
        <p key={words} className="batch-words" role="alert">
          {words}
        </p>
      ))}
      {batch.asides.map((words) => (
        <p key={words} className="batch-aside">
          {words}
        </p>
      ))}
      <ul className="batch-lines">
        {batch.lines.map((line, i) =>
          moving || isWorthReading(line) ? (
            <Line key={`${i} ${line.name}`} line={line} onCancel={() => cancelLine(batch.id, i)} />
          ) : null,
        )}
      </ul>
    </div>
  );
}

function Line({ line, onCancel }: { readonly line: BroughtLine; readonly onCancel: () => void }) {
  const { name, state, part, words } = line;
  const plainName = name.split('/').at(-1) ?? name;
  const trouble = state === 'refused' || state === 'failed';
  return (
    <li className="batch-line" data-state={state}>
      <span className="batch-name" title={name}>
        {plainName}
      </span>
      {state === 'sending' ? (
        <>
          <progress max={1} aria-label={`${plainName}, on its way`} {...(part !== null && { value: part })} />
          <Button kind="plain" onPress={onCancel} aria-label={`Cancel ${plainName}`}>
            Cancel
          </Button>
        </>
      ) : (
        <span className="batch-says" {...(trouble && { role: 'alert' })}>
          {withoutName(words, plainName, name) ||
            { waiting: 'waits', kept: 'here', cancelled: 'cancelled', refused: '', failed: '' }[state]}
        </span>
      )}
    </li>
  );
}

/** Messages begin with the file's name, which stands beside them already. */
function withoutName(words: string, ...names: readonly string[]): string {
  const name = names.find((n) => words.startsWith(`${n}: `));
  return name === undefined ? words : words.slice(name.length + 2);
}

function AskInk({ batch }: { readonly batch: Batch }) {
  const shelf = useShelf();
  const [name, setName] = useState('');
  const [maker, setMaker] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  const formId = useId();
  const inks = shelf.state === 'ready' ? shelf.value.inks : [];
  const give = async (to: Parameters<typeof giveInk>[1]): Promise<void> => {
    setProblem((await giveInk(batch.id, to))?.message ?? null);
  };
  return (
    <form
      id={formId}
      className="ask-ink"
      onSubmit={(event) => {
        event.preventDefault();
        if (name.trim() === '') setProblem('No name yet; write the ink’s name as it stands on its bottle.');
        else void give({ name: name.trim(), maker: maker.trim() === '' ? null : maker.trim() });
      }}
    >
      <TextField label="A new ink, called" value={name} onChange={setName} problem={problem} takesFocus />
      <TextField label="Its maker (may stay empty)" value={maker} onChange={setMaker} />
      <Button kind="strong" type="submit">
        Make the ink
      </Button>
      {inks.length > 0 && (
        <Select
          label="or one on the shelf"
          placeholder="Choose an ink…"
          choices={inks.map((ink) => ({
            id: String(ink.id),
            name: ink.name,
            ...(ink.maker !== null && { note: ink.maker }),
          }))}
          chosen={null}
          onChoose={(id) => void give({ ink: Number(id) })}
        />
      )}
    </form>
  );
}
