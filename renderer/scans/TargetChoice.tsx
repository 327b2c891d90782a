import { useState } from 'react';
import type { DocumentTarget, WorkScan } from '../../electron/backend/api.ts';
import { edit, useTargetFiles } from '../api/store.ts';
import { BringButtons } from '../bring/BringButtons.tsx';
import { justBrought } from '../bring/justBrought.ts';
import { Button } from '../look/Button.tsx';
import { Notice } from '../look/Notice.tsx';
import { Select } from '../look/Select.tsx';
import type { Bench } from './bench.ts';
import { layoutChoices, misfit, proposedFiles, proposedReference, referenceChoices } from './targetChoices.ts';
import type { TargetFiles } from './targetChoices.ts';
import { allTargets } from './targetsOn.ts';
import type { PlacedTarget } from './targetsOn.ts';

export interface TargetChoiceProps {
  readonly bench: Bench;
  readonly scan: WorkScan;
  /** The target that lies here already, to be given other files; absent: one is to be found. */
  readonly placed?: PlacedTarget;
}

/** Which target lies on a scan: its layout, its reference values, and which scans it serves. */
export function TargetChoice({ bench, scan, placed }: TargetChoiceProps) {
  const files = useTargetFiles();
  const [chosen, setChosen] = useState<Partial<TargetFiles>>({});
  const [serves, setServes] = useState(placed?.serves ?? 'all');
  const [problem, setProblem] = useState<string | null>(null);
  if (files.state === 'failed') return <Notice>{files.problem.message}</Notice>;
  if (files.state === 'loading') return <p className="quiet">Looking for layouts…</p>;
  const { layouts, references } = files.value;
  const facts = { brought: justBrought(), used: allTargets(bench.work) };
  const proposed = placed ? placed.target : proposedFiles(files.value, facts);
  const layout = layouts.find(({ hash }) => hash === (chosen.layout ?? proposed.layout));
  const isProposed = layout?.hash === proposed.layout;
  const byLayout = layout ? (isProposed ? proposed.reference : proposedReference(layout, references, facts)) : null;
  const reference = references.find(({ hash }) => hash === (chosen.reference ?? byLayout));
  const why = layout && reference ? misfit(reference, layout.hash) : null;
  const send = (): void => {
    if (!layout || !reference) return;
    const before = placed?.target;
    // Points of another layout are other places.
    const { pointsMm } = before?.layout === layout.hash ? before : {};
    const target: DocumentTarget = {
      scan: scan.id,
      layout: layout.hash,
      reference: reference.hash,
      ...(pointsMm && { pointsMm }),
      ...(before?.white !== undefined && { white: before.white }),
    };
    void edit(bench.ink, { edit: 'setTarget', serves, target }).then((refused) => setProblem(refused?.message ?? null));
  };
  return (
    <>
      {problem !== null && <Notice onDismiss={() => setProblem(null)}>{problem}</Notice>}
      <Select
        label="Layout"
        choices={layoutChoices(layouts)}
        chosen={layout?.hash ?? null}
        onChoose={(hash) => setChosen({ layout: hash })}
      />
      <Select
        label="Reference values"
        choices={layout ? referenceChoices(layout, references, facts) : []}
        chosen={reference?.hash ?? null}
        onChoose={(hash) => setChosen({ ...chosen, reference: hash })}
        placeholder="None fits yet"
        problem={why ?? (layout && !reference ? missingWords(layout.from === 'built-in' ? layout.name : '') : null)}
      />
      {!placed && (
        <Select
          label="Serves"
          choices={[
            { id: 'all', name: 'All scans without one of their own' },
            { id: scan.id, name: 'This scan alone' },
          ]}
          chosen={serves}
          onChoose={setServes}
        />
      )}
      <div className="buttons">
        <Button kind="strong" onPress={send} isDisabled={!layout || !reference || why !== null}>
          {placed ? 'Use these files' : 'Find the target here'}
        </Button>
      </div>
      <p className="quiet">Another target: bring its layout (JSON) and its reference values (CGATS text).</p>
      <BringButtons ink={bench.ink} words="Bring its files…" />
    </>
  );
}

function missingWords(builtIn: string): string {
  switch (builtIn) {
    case 'card':
      return 'No card of yours has been taught yet: a printed card has no known values. Scan it beside a target with known values, find that one, then teach the card.';
    case 'iso12641-1':
      return 'No reference with these patches is here; expected the file of your target’s own batch, which its maker gives with it. Bring that file.';
    default:
      return 'No reference with these patches is here; expected a text with a value for each. Bring it.';
  }
}
