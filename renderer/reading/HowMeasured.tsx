import type { FindingsReport, TracedFinding, Work } from '../../electron/backend/api.ts';
import { formatAddress } from '../address/address.ts';
import { Button } from '../look/Button.tsx';
import { copy } from '../look/Figure.tsx';
import { Folded } from '../look/Folded.tsx';
import { measuredLines } from './measuredWords.ts';
import { Words } from './Words.tsx';

export interface HowMeasuredProps {
  readonly chosen: TracedFinding;
  readonly work: Work;
  readonly findings: FindingsReport;
}

/** Everything that would let another measure it again. */
export function HowMeasured(props: HowMeasuredProps) {
  return (
    <Folded className="reading-how" summary="How it was measured">
      <Lines {...props} />
    </Folded>
  );
}

function Lines({ chosen, work, findings }: HowMeasuredProps) {
  const address = formatAddress({ page: 'findings', ink: work.ink.id, query: { finding: chosen.key } });
  return (
    <>
      <dl>
        {measuredLines(chosen, work, findings).map(({ title, text }) => (
          <div key={title}>
            <dt>{title}</dt>
            <dd>
              <Words>{text}</Words>
            </dd>
          </div>
        ))}
      </dl>
      <Button
        kind="plain"
        onPress={() => {
          copy(new URL(address, window.location.href).href);
        }}
      >
        Copy the address of this finding
      </Button>
    </>
  );
}
