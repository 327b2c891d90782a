/** A scan to take a ground's colour from: by a press, or what lies in the middle. */
import { useRef, useState } from 'react';
import type { LabValue } from '../../analysis/quantity.ts';
import type { Point } from '../../analysis/raster/homography.ts';
import { fixed } from '../../analysis/report/valueText.ts';
import type { Work, WorkScan } from '../../electron/backend/api.ts';
import { getProbe, problemOf } from '../api/client.ts';
import { announce } from '../look/announce.ts';
import { Button } from '../look/Button.tsx';
import { Notice } from '../look/Notice.tsx';
import { Select } from '../look/Select.tsx';
import { ScanViewer, type ViewHandle } from '../viewer/ScanViewer.tsx';

export interface PickOnScanProps {
  readonly work: Work;
  readonly onLab: (lab: LabValue) => void;
}

/** Wide enough to even out fibres, narrow enough to fit between two lines; common practice, no source. */
const RADIUS_MM = 0.7;
/** Where no resolution is known, px. */
const RADIUS_PX = 8;

export default function PickOnScan({ work, onLab }: PickOnScanProps) {
  const scans = work.scans.filter(({ problem }) => problem === null);
  const [id, setId] = useState<string | null>(null);
  const scan = scans.find((one) => one.id === id) ?? scans[0];
  const handle = useRef<ViewHandle | null>(null);
  const [taken, setTaken] = useState<{ readonly scan: string; readonly at: Point; readonly radius: number } | null>(
    null,
  );
  const [problem, setProblem] = useState<string | null>(null);
  if (!scan) return <p className="field-note">No scan of this ink can be looked at.</p>;

  const take = async (one: WorkScan, [x, y]: Point): Promise<void> => {
    const radius = one.dpi === null ? RADIUS_PX : (RADIUS_MM * one.dpi) / 25.4;
    setTaken({ scan: one.id, at: [x, y], radius });
    setProblem(null);
    try {
      const { lab, name } = await getProbe(work.ink.id, one.id, { x, y, radius });
      onLab(lab);
      announce(`Picked ${name}: ${lab.map((v) => fixed(v, 1)).join(', ')}.`);
    } catch (error) {
      setProblem(problemOf(error).message);
    }
  };
  const takeMiddle = (): void => {
    const box = handle.current?.place?.boxPx;
    if (box) void take(scan, [box[0] + box[2] / 2, box[1] + box[3] / 2]);
  };
  return (
    <section className="pick-on-scan" aria-label="Pick a colour on a scan">
      <div className="pick-ways">
        {scans.length > 1 && (
          <Select
            label="Scan"
            choices={scans.map((one) => ({ id: one.id, name: one.id, ...(one.paper !== null && { note: one.paper }) }))}
            chosen={scan.id}
            onChoose={setId}
          />
        )}
        <Button onPress={takeMiddle}>Take what lies in the middle</Button>
      </div>
      <div className="pick-view">
        <ScanViewer
          ink={work.ink.id}
          scan={scan}
          label={`Pick a colour on scan “${scan.id}”`}
          onHandle={(now) => {
            handle.current = now;
          }}
          tool={{ click: (pointer) => void take(scan, pointer.scan), cursor: () => 'crosshair' }}
        >
          {() =>
            taken?.scan === scan.id && (
              <g className="pick-mark">
                <circle cx={taken.at[0]} cy={taken.at[1]} r={taken.radius} />
                <circle cx={taken.at[0]} cy={taken.at[1]} r={taken.radius} />
              </g>
            )
          }
        </ScanViewer>
      </div>
      {problem !== null && <Notice>{problem}</Notice>}
    </section>
  );
}
