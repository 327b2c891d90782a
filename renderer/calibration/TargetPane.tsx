/** The scan with the grid as it was found, the worst patches and the chosen one marked. */
import { useEffect, useMemo, useRef } from 'react';
import { lineColourFar } from '../../analysis/colour/lineColour.ts';
import type { CalibrationReport, ReportPatch, WorkScan } from '../../electron/backend/api.ts';
import { formatAddress } from '../address/address.ts';
import { Notice } from '../look/Notice.tsx';
import type { ViewAt } from '../viewer/placeInAddress.ts';
import { ScanViewer, type ViewHandle } from '../viewer/ScanViewer.tsx';
import type { ViewTool } from '../viewer/viewTool.ts';
import { patchAt, patchBox, targetAt } from './patchPlaces.ts';
import { PatchMarks } from './PatchMarks.tsx';
import { isLeftOut, worstOf } from './patchOrder.ts';

export interface TargetPaneProps {
  readonly ink: number;
  /** Null: the library has it no more. */
  readonly scan: WorkScan | null;
  readonly name: string;
  readonly report: CalibrationReport;
  readonly chosen: ReportPatch | null;
  readonly onChoose: (patch: string) => void;
}

export function TargetPane({ ink, scan, name, report, chosen, onChoose }: TargetPaneProps) {
  const { patches, target } = report;
  const worst = useMemo(() => worstOf(patches), [patches]);
  const lineLab = useMemo(() => lineColourFar([[95, 0, 0], ...patches.map(({ reference }) => reference)]), [patches]);
  const crossed = patches.some(isLeftOut) ? '. Crossed: no fit saw it' : '';
  const handle = useRef<ViewHandle | null>(null);
  const at = useMemo((): ViewAt => targetAt(target.pointsPx, patches), [target.pointsPx, patches]);
  useEffect(() => {
    if (chosen) handle.current?.show(patchBox(chosen));
  }, [chosen]);
  const tool: ViewTool = {
    click: ({ scan: place }) => {
      const patch = patchAt(patches, place);
      if (patch) onChoose(patch.id);
    },
    cursor: ({ scan: place }) => (patchAt(patches, place) ? 'pointer' : ''),
  };
  return (
    <section className="card-scan" aria-label="The target on its scan">
      <div className="card-scan-head">
        <a href={formatAddress({ page: 'scans', ink, query: { scan: name } })}>Back to the scan “{name}”</a>
        <span className="card-key">Boxes: what was read. Figures: missed most, ΔE00{crossed}</span>
      </div>
      {scan === null ? (
        <Notice>The scan “{name}” is no more among this ink’s scans.</Notice>
      ) : (
        <ScanViewer
          ink={ink}
          scan={scan}
          label={`Scan “${scan.id}” with its target`}
          at={at}
          tool={tool}
          arrowsPan
          onHandle={(next) => {
            handle.current = next;
          }}
        >
          {(place) => (
            <PatchMarks
              patches={patches}
              worst={worst}
              chosen={chosen}
              lineLab={lineLab}
              pxPerScreen={place.pxPerScreen}
            />
          )}
        </ScanViewer>
      )}
    </section>
  );
}
