import type { Key, Selection } from 'react-aria-components';
import { ListBox, ListBoxItem } from 'react-aria-components';
import type { WorkRegion } from '../../electron/backend/api.ts';
import type { Bench } from './bench.ts';
import { fieldsOf, kindWord } from './regionKinds.ts';

/** The regions on one scan. Arrows walk, Enter or a click chooses: whoever goes past by Tab has chosen none. */
export function RegionList({ bench, scan }: { readonly bench: Bench; readonly scan: string }) {
  const here = bench.work.regions.filter(({ region }) => region.scan === scan);
  const chosen = bench.place.chosen.filter((id) => here.some(({ region }) => region.id === id));
  if (here.length === 0)
    return <p className="quiet">No regions yet: take a kind above and draw a box, or press N for one in the middle.</p>;
  return (
    <ListBox
      aria-label="Regions on this scan"
      className="region-list"
      items={here.map((work) => ({ id: work.region.id, work }))}
      selectionMode="multiple"
      // “replace” would choose whatever the focus comes to.
      selectionBehavior="toggle"
      selectedKeys={chosen}
      onSelectionChange={(keys: Selection) => {
        const ids = keys === 'all' ? here.map(({ region }) => region.id) : texts(keys);
        bench.choose(ids);
        const last = here.find(({ region }) => region.id === ids.at(-1));
        if (last) bench.show(last.region);
      }}
    >
      {({ work }) => (
        <ListBoxItem className="region-row" textValue={work.region.id}>
          <span>{work.region.id}</span>
          <span className="quiet">{regionWords(work)}</span>
        </ListBoxItem>
      )}
    </ListBox>
  );
}

function texts(keys: Set<Key>): string[] {
  return [...keys].map(String);
}

const MEASURED_WORDS = { current: 'measured', stale: 'changed since it was measured', never: 'not measured' } as const;

function regionWords({ region, problem, measured }: WorkRegion): string {
  const { nib } = fieldsOf(region);
  const kind = kindWord(region.kind).toLowerCase();
  return [
    nib === undefined ? kind : `${kind}, ${nib}`,
    problem === null ? MEASURED_WORDS[measured] : 'cannot be measured',
  ].join(' · ');
}
