import { useState } from 'react';
import type { SheetRegion } from '../../electron/backend/api.ts';
import { useShelf } from '../api/store.ts';
import { Button } from '../look/Button.tsx';
import { Notice } from '../look/Notice.tsx';
import { Select } from '../look/Select.tsx';
import type { Bench } from './bench.ts';
import { scanOf } from './bench.ts';
import { ComboEntry, NumberEntry, TextEntry } from './entries.tsx';
import { type ChangeFields, HatchFields, ReverseFields, StripFields, SwipeFields } from './RegionKindFields.tsx';
import { REGION_KINDS, fieldsOf, hasPen, regionOf, withKind } from './regionKinds.ts';
import type { RegionKind } from './regionKinds.ts';
import { idProblem, nibsOf, ofNib } from './regionProposals.ts';
import { followRename } from './renamed.ts';
import { rounded } from './regionGeometry.ts';

export interface RegionFormProps {
  readonly bench: Bench;
  readonly region: SheetRegion;
  readonly onDuplicate: () => void;
  readonly onRemove: () => void;
}

/** One region: name, kind, and the fields of its kind. Each is sent when the person is done with it. */
export function RegionForm({ bench, region, onDuplicate, onRemove }: RegionFormProps) {
  const { work, drafts } = bench;
  const shelf = useShelf();
  const papers = shelf.state === 'ready' ? shelf.value.papers.map(({ name }) => ({ id: name, name })) : [];
  const fields = fieldsOf(region);
  const others = work.regions.map((other) => other.region);
  const suggested = shelf.state === 'ready' ? shelf.value.nibs : [];
  const known = [...nibsOf(others), ...suggested];
  const standing = work.regions.find((other) => other.region.id === region.id);
  const change: ChangeFields = (next) =>
    drafts.change(region.id, (now) => {
      const before = fieldsOf(now);
      return regionOf({ ...before, ...(typeof next === 'function' ? next(before) : next) });
    });
  const rename = async (id: string): Promise<boolean> => {
    const isTaken = await change({ id });
    if (isTaken) followRename(bench.ink, 'region', region.id, id);
    return isTaken;
  };
  const takeNib = (nib: string): Promise<boolean> => change((now) => ofNib(now, nib, known));
  const problem = drafts.problem?.id === region.id ? drafts.problem.message : (standing?.problem ?? null);
  return (
    <section className="column-part" aria-label={`Region ${region.id}`}>
      <h2>Region “{region.id}”</h2>
      {problem !== null && <Notice>{problem}</Notice>}
      <TextEntry
        label="Name"
        value={region.id}
        check={(id) => idProblem(id, region.id, others, 'region')}
        onSave={rename}
      />
      <Select
        label="Kind"
        choices={REGION_KINDS.map(({ kind, word, explains }) => ({ id: kind, name: word, note: explains }))}
        chosen={region.kind}
        onChoose={(id) => {
          const kind = REGION_KINDS.find((k) => k.kind === id)?.kind;
          if (kind) void drafts.change(region.id, (now) => withKind(now, kind));
        }}
      />
      {hasPen(region.kind) && (
        <div className="two-fields">
          <ComboEntry
            label="Nib"
            value={fields.nib ?? ''}
            suggestions={suggested.map(({ name }) => ({ id: name, name }))}
            onSave={takeNib}
          />
          <NumberEntry
            label="Nib width"
            unit="mm"
            step={0.01}
            least={0.01}
            most={100}
            value={fields.nibWidthMm ?? null}
            {...(region.kind === 'strokes' && fields.nibWidthMm === undefined && { note: 'empty: no spread is told' })}
            onSave={(mm) => change({ nibWidthMm: mm ?? undefined })}
          />
        </div>
      )}
      <StripFields
        ink={bench.ink}
        isMeasured={standing !== undefined && standing.measured !== 'never'}
        region={region}
        change={change}
      />
      <HatchFields region={region} others={others} change={change} />
      <SwipeFields region={region} change={change} />
      <ReverseFields region={region} others={others} change={change} />
      <ComboEntry
        label="Paper, when not the scan’s"
        value={fields.paper ?? ''}
        suggestions={papers}
        note={`the scan’s: ${scanOf(bench, region.scan)?.paper ?? 'not said'}`}
        onSave={(paper) => change({ paper: paper === '' ? undefined : paper })}
      />
      <BoxFields region={region} change={change} />
      <RegionButtons onDuplicate={onDuplicate} onRemove={onRemove} />
    </section>
  );
}

const SIDES = ['Left', 'Top', 'Width', 'Height'] as const;

/** The box in figures: for exact places, and for hands that do not drag. */
function BoxFields({ region, change }: { readonly region: SheetRegion; readonly change: ChangeFields }) {
  const [open, setOpen] = useState(false);
  const { boxMm } = region;
  if (!boxMm) return <p className="quiet">It has no box: it is located from the page. Draw a new one to place it.</p>;
  return (
    <details className="folded" open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>Box: {boxMm.map((mm) => mm.toFixed(1)).join(', ')} mm</summary>
      <div className="two-fields">
        {(open ? SIDES : []).map((side, i) => (
          <NumberEntry
            key={side}
            label={side}
            unit="mm"
            step={0.01}
            {...(i > 1 && { least: 0.5 })}
            value={boxMm[i]}
            onSave={(mm) =>
              mm === null
                ? undefined
                : change((now) => {
                    const [x, y, width, height] = (now.boxMm ?? boxMm).map((old, j) => (j === i ? mm : old));
                    return { boxMm: rounded([x, y, width, height]) };
                  })
            }
          />
        ))}
      </div>
    </details>
  );
}

/** Several regions at once. */
export function SeveralRegions({
  regions,
  onDuplicate,
  onRemove,
}: {
  readonly regions: readonly SheetRegion[];
  readonly onDuplicate: () => void;
  readonly onRemove: () => void;
}) {
  return (
    <section className="column-part" aria-label="Chosen regions">
      <h2>{regions.length} regions</h2>
      <ul>
        {regions.map(({ id, kind }) => (
          <li key={id}>
            {id} <span className="quiet">{wordOf(kind)}</span>
          </li>
        ))}
      </ul>
      <RegionButtons onDuplicate={onDuplicate} onRemove={onRemove} />
    </section>
  );
}

function wordOf(kind: RegionKind): string {
  return REGION_KINDS.find((k) => k.kind === kind)?.word.toLowerCase() ?? kind;
}

function RegionButtons({ onDuplicate, onRemove }: Pick<RegionFormProps, 'onDuplicate' | 'onRemove'>) {
  return (
    <div className="buttons">
      <Button onPress={onDuplicate} aria-keyshortcuts="d">
        Duplicate
      </Button>
      <Button onPress={onRemove} aria-keyshortcuts="Delete">
        Remove
      </Button>
    </div>
  );
}
