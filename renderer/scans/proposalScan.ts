import type { WorkScan } from '../../electron/backend/api.ts';
import type { ScanSizeMm } from './regionGeometry.ts';
import type { ProposalScan } from './regionProposals.ts';

/** What proposals for a new region read off its scan. */
export function proposalScan({ id, side, of }: Pick<WorkScan, 'id' | 'side' | 'of'>, size: ScanSizeMm): ProposalScan {
  return { id, side, of, widthMm: size.width };
}
