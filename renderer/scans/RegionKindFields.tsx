/** The fields that only some kinds of region have. */
import { fixed } from '../../analysis/report/valueText.ts';
import type { SheetRegion, StripDetail } from '../../electron/backend/api.ts';
import { useDetail } from '../api/store.ts';
import { Notice } from '../look/Notice.tsx';
import { Select } from '../look/Select.tsx';
import type { Choice } from '../look/Select.tsx';
import { agentCaution } from './agentCaution.ts';
import { NumberEntry, TextEntry } from './entries.tsx';
import { roundMm } from './regionGeometry.ts';
import { fieldsOf, mayBeOf } from './regionKinds.ts';
import type { Direction, RegionFields } from './regionKinds.ts';
import { startOfStripLine } from './stripLines.ts';

/** @param next May be made from the fields as they are by then. @returns whether the library took it. */
export type ChangeFields = (
  next: Partial<RegionFields> | ((now: RegionFields) => Partial<RegionFields>),
) => Promise<boolean>;

interface KindFieldsProps {
  readonly region: SheetRegion;
  readonly change: ChangeFields;
}

const DIRECTIONS: readonly { readonly id: Direction; readonly name: string }[] = [
  { id: 'up', name: 'Up' },
  { id: 'down', name: 'Down' },
  { id: 'left', name: 'To the left' },
  { id: 'right', name: 'To the right' },
];
const NOT_SAID = '—';

function directionOf(id: string): Direction | undefined {
  return DIRECTIONS.find((direction) => direction.id === id)?.id;
}

interface StripFieldsProps extends KindFieldsProps {
  readonly ink: number;
  /** Whether there may be ends that were found. */
  readonly isMeasured: boolean;
}

export function StripFields({ ink, isMeasured, region, change }: StripFieldsProps) {
  if (region.kind !== 'strip') return null;
  return (
    <>
      <div className="two-fields">
        <Select
          label="Run"
          choices={[
            { id: 'fresh', name: 'Fresh ink' },
            { id: 'dried', name: 'Dried ink' },
          ]}
          chosen={region.run ?? null}
          onChoose={(run) => void change({ run: run === 'dried' ? 'dried' : 'fresh' })}
        />
        <Select
          label="The solvent went"
          choices={DIRECTIONS}
          chosen={region.travel ?? null}
          onChoose={(id) => void change({ travel: directionOf(id) })}
        />
      </div>
      <div className="two-fields">
        <NumberEntry
          label="Origin"
          unit="mm"
          step={0.01}
          least={0}
          value={region.originMm ?? null}
          note="empty: found"
          onSave={(mm) => change({ originMm: mm ?? undefined })}
        />
        <NumberEntry
          label="Front"
          unit="mm"
          step={0.01}
          least={0}
          value={region.frontMm ?? null}
          note="empty: found"
          onSave={(mm) => change({ frontMm: mm ?? undefined })}
        />
      </div>
      {isMeasured ? (
        <FoundStarts ink={ink} region={region} change={change} />
      ) : (
        <StripStarts found={null} region={region} change={change} />
      )}
      <StripRun region={region} change={change} />
    </>
  );
}

function FoundStarts({ ink, ...props }: KindFieldsProps & { readonly ink: number }) {
  const loaded = useDetail(ink, props.region.id);
  return <StripStarts found={loaded.state === 'ready' ? (loaded.value?.strip ?? null) : null} {...props} />;
}

function StripStarts({ found, region, change }: KindFieldsProps & { readonly found: StripDetail | null }) {
  if (region.kind !== 'strip' || (region.originMm !== undefined && region.frontMm !== undefined)) return null;
  const words = [
    ...(region.originMm === undefined && found?.originMm != null ? [`origin at ${fixed(found.originMm, 2)} mm`] : []),
    ...(region.frontMm === undefined && found?.frontMm != null ? [`front at ${fixed(found.frontMm, 2)} mm`] : []),
  ];
  return (
    <p className="quiet">
      {words.length > 0 && `Found: ${words.join(', ')}. `}
      Lines that are set can be dragged on the scan.{' '}
      <button
        type="button"
        className="words-button"
        onClick={() =>
          void change((now) => ({
            originMm: now.originMm ?? roundMm(found?.originMm ?? startOfStripLine(region, 'origin')),
            frontMm: now.frontMm ?? roundMm(found?.frontMm ?? startOfStripLine(region, 'front')),
          }))
        }
      >
        Set them by hand
      </button>
    </p>
  );
}

/** What R_F and the speed of the run depend on: strips are held against each other only where it is the same. */
function StripRun({ region, change }: KindFieldsProps) {
  if (region.kind !== 'strip') return null;
  return (
    <>
      <TextEntry
        label="Liquid"
        value={region.liquid ?? ''}
        note="water, …"
        onSave={(liquid) => change({ liquid: liquid === '' ? undefined : liquid })}
      />
      <div className="two-fields">
        <NumberEntry
          label="It ran for"
          unit="s"
          step={1}
          digits={0}
          least={1}
          value={region.runS ?? null}
          onSave={(runS) => change({ runS: runS ?? undefined })}
        />
        <NumberEntry
          label="Temperature"
          unit="°C"
          step={0.5}
          digits={1}
          value={region.temperatureC ?? null}
          onSave={(temperatureC) => change({ temperatureC: temperatureC ?? undefined })}
        />
      </div>
    </>
  );
}

interface LinkedFieldsProps extends KindFieldsProps {
  readonly others: readonly SheetRegion[];
}

export function HatchFields({ region, others, change }: LinkedFieldsProps) {
  if (region.kind !== 'hatch') return null;
  const caution = agentCaution(region.agent ?? '');
  return (
    <>
      <div className="two-fields">
        <TextEntry
          label="Agent"
          value={region.agent ?? ''}
          note="water, light, …"
          onSave={(agent) => change({ agent: agent === '' ? undefined : agent })}
        />
        <Select
          label="State"
          choices={[
            { id: 'before', name: 'Before' },
            { id: 'after', name: 'After' },
          ]}
          chosen={region.state ?? null}
          onChoose={(state) => void change(state === 'after' ? { state: 'after' } : { state: 'before', of: undefined })}
        />
      </div>
      {caution !== null && <Notice kind="word">{caution}</Notice>}
      {region.state === 'after' && (
        <OfField label="The same field before" region={region} others={others} change={change} />
      )}
    </>
  );
}

export function SwipeFields({ region, change }: KindFieldsProps) {
  if (region.kind !== 'swipe') return null;
  return (
    <Select
      label="Swiped"
      choices={DIRECTIONS}
      chosen={region.direction ?? null}
      onChoose={(id) => void change({ direction: directionOf(id) })}
    />
  );
}

const REVERSE_PAGES: readonly Choice[] = [
  { id: 'back', name: 'The back of the page' },
  { id: 'next', name: 'The sheet that lay under it' },
];

export function ReverseFields({ region, others, change }: LinkedFieldsProps) {
  if (region.kind !== 'reverse') return null;
  const page = region.page ?? 'back';
  return (
    <>
      <Select
        label="It is"
        choices={REVERSE_PAGES}
        chosen={page}
        onChoose={(id) => void change({ page: id === 'next' ? 'next' : undefined })}
      />
      <OfField
        label={page === 'next' ? 'It lay under' : 'The back of'}
        region={region}
        others={others}
        change={change}
      />
    </>
  );
}

/** Which other region this one belongs to. */
function OfField({ label, region, others, change }: LinkedFieldsProps & { readonly label: string }) {
  const own = fieldsOf(region);
  const choices: Choice[] = [
    { id: NOT_SAID, name: 'Not said' },
    ...others
      .filter((other) => mayBeOf(own, fieldsOf(other)))
      .map(({ id, scan }) => ({ id, name: id, note: `on ${scan}` })),
  ];
  return (
    <Select
      label={label}
      choices={choices}
      chosen={own.of ?? NOT_SAID}
      onChoose={(of) => void change({ of: of === NOT_SAID ? undefined : of })}
    />
  );
}
