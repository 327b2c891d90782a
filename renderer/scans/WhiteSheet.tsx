import { Select } from '../look/Select.tsx';
import type { Bench } from './bench.ts';
import type { PlacedTarget } from './targetsOn.ts';

const NONE = ' none';

export interface WhiteSheetProps {
  readonly bench: Bench;
  readonly placed: PlacedTarget;
  /** An id of the ink's scans; null: none. */
  readonly onChoose: (scan: string | null) => void;
}

/** A scan of a bare white sheet, which says how evenly the lamp lights the bed. */
export function WhiteSheet({ bench, placed: { target }, onChoose }: WhiteSheetProps) {
  const others = bench.work.scans.filter(({ id }) => id !== target.scan);
  return (
    <Select
      label="White sheet, for the evenness of the light"
      choices={[
        { id: NONE, name: 'None', note: 'the target’s own bare parts tell' },
        ...others.map(({ id, name }) => ({ id, name: id, note: name })),
      ]}
      chosen={target.white ?? NONE}
      onChoose={(id) => onChoose(id === NONE ? null : id)}
      {...(others.length === 0 && {
        note: 'Scan a clean white sheet over the whole bed with the same settings and bring it: then the light is known everywhere.',
      })}
    />
  );
}
