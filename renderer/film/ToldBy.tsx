import { Group } from 'react-aria-components';
import { Button } from '../look/Button.tsx';
import { TOLD, type Told } from './byWay.ts';
import './toldBy.css';

export interface ToldByProps {
  readonly told: Told;
  readonly onTold: (told: Told) => void;
}

const WORDS: Readonly<Record<Told, string>> = { film: 'film fit', map: 'target’s map', both: 'both' };

/** By which way the page tells colours; its own marks are the key to those at the tables' figures. */
export function ToldBy({ told, onTold }: ToldByProps) {
  return (
    <Group className="told-by" aria-label="Colours told by">
      <span aria-hidden="true">Colours told by</span>
      {TOLD.map((one) => (
        <Button
          key={one}
          kind="plain"
          chosen={told === one}
          aria-pressed={told === one}
          aria-keyshortcuts="c"
          onPress={() => onTold(one)}
        >
          {one !== 'both' && <span className="told-mark" data-way={one} aria-hidden="true" />}
          {WORDS[one]}
        </Button>
      ))}
    </Group>
  );
}
