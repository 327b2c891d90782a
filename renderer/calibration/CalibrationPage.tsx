/** The calibration's report card: how well the scanner's colours are known, why, and what to do about it. */
import { useAddress } from '../address/useAddress.ts';
import { useCalibrationReport } from '../api/store.ts';
import { Notice } from '../look/Notice.tsx';

export default function CalibrationPage({ ink }: { readonly ink: number }) {
  const { query } = useAddress();
  const report = useCalibrationReport(ink, query['scan'] ?? '');
  if (report.state === 'loading') return <p className="page-loading">Looking for the target and calibrating…</p>;
  if (report.state === 'failed') {
    return (
      <div className="page-fault">
        <Notice>{report.problem.message}</Notice>
      </div>
    );
  }
  return <p className="page-loading">{report.value.words}</p>;
}
