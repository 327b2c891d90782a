import { sentence } from '../../analysis/report/sentences.ts';
import type { QuantityName } from '../../analysis/quantity.ts';
import { formatAddress } from '../address/address.ts';
import { useFindings } from '../api/store.ts';
import { namesOfWork } from '../reading/workNames.ts';
import { Words } from '../reading/Words.tsx';
import type { Bench } from './bench.ts';

/** What one looks at a region for, in this order; the Findings page has the rest. */
const TOLD: readonly QuantityName[] = [
  'inkColour',
  'shading',
  'swabVariation',
  'paperColour',
  'bandPosition',
  'originRetained',
];

/** What was measured on a region, in sentences; each leads to its finding. */
export function RegionSays({ bench, region }: { readonly bench: Bench; readonly region: string }) {
  const report = useFindings(bench.ink);
  if (report.state !== 'ready') return null;
  const own = report.value.findings.filter(({ finding: { subject, quantity } }) => {
    return subject.regions.length === 1 && subject.regions[0] === region && TOLD.includes(quantity);
  });
  if (own.length === 0) return null;
  const names = namesOfWork(bench.work, report.value);
  const inOrder = own.toSorted((a, b) => TOLD.indexOf(a.finding.quantity) - TOLD.indexOf(b.finding.quantity));
  return (
    <section className="column-part" aria-label="What it says">
      <h2>What it says</h2>
      <ul className="region-says">
        {inOrder.map(({ key, finding, current }) => (
          <li key={key}>
            <a href={formatAddress({ page: 'findings', ink: bench.ink, query: { finding: key } })}>
              <Words>{sentence(finding, names)}</Words>
            </a>
            {!current && <span className="quiet"> Stale: measure again.</span>}
          </li>
        ))}
      </ul>
      {bench.work.regions.some((one) => one.region.id === region && one.region.kind === 'strip') && (
        <p>
          <a href={formatAddress({ page: 'strips', ink: bench.ink, query: { strip: region } })}>
            Its bands and profile, large
          </a>
        </p>
      )}
    </section>
  );
}
