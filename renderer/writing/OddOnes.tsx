/** Lines and swabs that left the ink's own colour path, before anyone publishes them. */
import type { Names } from '../../analysis/report/names.ts';
import { sentence } from '../../analysis/report/sentences.ts';
import type { FindingsReport, Work } from '../../electron/backend/api.ts';
import { formatAddress } from '../address/address.ts';
import { Words } from '../reading/Words.tsx';
import { isOdd } from './cellWords.ts';
import { SamplePicture } from './SamplePicture.tsx';
import { PICTURE } from './thumbnailPicture.ts';

interface Props {
  readonly work: Work;
  readonly report: FindingsReport;
  readonly names: Names;
  readonly mmPerPx: number;
}

export function OddOnes({ work, report, names, mmPerPx }: Props) {
  const odd = report.findings.flatMap((traced) => {
    const region = work.regions.find((r) => r.region.id === traced.finding.subject.regions[0])?.region;
    return region && isOdd(traced) ? [{ traced, region }] : [];
  });
  if (odd.length === 0) return null;
  return (
    <section className="odd-ones" aria-label="Another ink or contaminated?">
      <h3>Another ink or contaminated?</h3>
      <p>
        A pen may have held another ink before, or water from its rinse. Look at it before it is published; write it
        again with a clean pen.
      </p>
      <ul>
        {odd.map(({ traced, region }) => (
          <li key={traced.key}>
            <SamplePicture work={work} region={region} mmPerPx={mmPerPx} size={PICTURE} />
            <p>
              <a href={formatAddress({ page: 'findings', ink: work.ink.id, query: { finding: traced.key } })}>
                <Words>{sentence(traced.finding, names)}</Words>
              </a>
            </p>
          </li>
        ))}
      </ul>
    </section>
  );
}
