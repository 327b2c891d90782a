import { Button } from '../look/Button.tsx';
import { SCALES, scaleBar } from './thumbnailPicture.ts';

interface Props {
  /** What is scaled, for those who do not see it. */
  readonly label: string;
  readonly mmPerPx: number;
  readonly onZoom: (by: 1 | -1) => void;
}

/** How large pictures of writing are, as a bar of so many millimetres between two buttons. */
export function PictureScale({ label, mmPerPx, onZoom }: Props) {
  const bar = scaleBar(mmPerPx);
  return (
    <fieldset className="writing-scale" aria-label={label}>
      <Button
        kind="plain"
        isDisabled={mmPerPx === SCALES[0]}
        onPress={() => onZoom(-1)}
        aria-label="Smaller pictures"
        aria-keyshortcuts="-"
      >
        −
      </Button>
      <span className="writing-bar">
        <span style={{ width: bar.px }} />
        {bar.mm} mm
      </span>
      <Button
        kind="plain"
        isDisabled={mmPerPx === SCALES[SCALES.length - 1]}
        onPress={() => onZoom(1)}
        aria-label="Larger pictures"
        aria-keyshortcuts="+"
      >
        +
      </Button>
    </fieldset>
  );
}
