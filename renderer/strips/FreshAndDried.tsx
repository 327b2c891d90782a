/** A fresh and a dried strip over each other at one scale of R_F, their bands joined, with what drying changed and what that forecasts. */
import { useMemo, useRef } from 'react';
import { dryingForecast } from '../../analysis/report/dryingForecast.ts';
import { sentence } from '../../analysis/report/sentences.ts';
import { fixed, withUncertainty } from '../../analysis/report/valueText.ts';
import type { FindingsReport, StripDetail, TracedFinding, Work } from '../../electron/backend/api.ts';
import { straightUrl } from '../api/client.ts';
import { useDetail } from '../api/store.ts';
import { Button } from '../look/Button.tsx';
import { EmptyState } from '../look/EmptyState.tsx';
import { cssLab } from '../look/Swatch.tsx';
import { Words } from '../reading/Words.tsx';
import { namesOfWork } from '../reading/workNames.ts';
import type { StripRegion } from './bandEdits.ts';
import { bandFigures, bandLabel } from './bandFigures.ts';
import { joinedBands, pairFinding, type RunPair } from './stripPairs.ts';
import { TwoStrips } from './StripDrawing.tsx';
import { useFieldWidth } from '../plots/useFieldWidth.ts';
import './runs.css';

export interface FreshAndDriedProps {
  readonly work: Work;
  readonly report: FindingsReport;
  readonly pair: RunPair | null;
  readonly onChoose: (key: string) => void;
}

export function FreshAndDried({ work, report, pair, onChoose }: FreshAndDriedProps) {
  if (pair === null) {
    return (
      <EmptyState
        sentence="Run one strip with fresh ink, let the ink of a second dry for a day before it is run, and mark both on the Scans page as fresh and as dried: what drying fixed to the paper is then told here."
        drawing={<TwoStrips />}
      />
    );
  }
  return <Pair work={work} report={report} pair={pair} onChoose={onChoose} />;
}

function Pair({ work, report, pair, onChoose }: FreshAndDriedProps & { readonly pair: RunPair }) {
  const ink = work.ink.id;
  const [fresh, dried] = [useDetail(ink, pair.fresh), useDetail(ink, pair.dried)];
  const names = useMemo(() => namesOfWork(work, report), [work, report]);
  const lines = useMemo(() => dryingForecast(names), [names]);
  const details = [fresh, dried].map((one) => (one.state === 'ready' ? (one.value?.strip ?? null) : null));
  const whole = (['runShift.originRetained', 'runShift.front'] as const).flatMap(
    (quantity) => pairFinding(report.findings, quantity, pair) ?? [],
  );
  return (
    <div className="runs">
      {details[0] && details[1] ? (
        <Joined work={work} report={report} pair={pair} fresh={details[0]} dried={details[1]} onChoose={onChoose} />
      ) : (
        <p className="page-loading">Opening…</p>
      )}
      <section aria-label="What drying changed" className="runs-says">
        <h3>What drying changed</h3>
        {lines.map(({ text, key }) => (
          <p key={text}>
            <Words>{text}</Words>{' '}
            <Button kind="plain" onPress={() => onChoose(key)}>
              Show the number
            </Button>
          </p>
        ))}
        {whole.map((traced) => (
          <p key={traced.key}>
            <Words>{sentence(traced.finding, names)}</Words>
          </p>
        ))}
      </section>
    </div>
  );
}

interface JoinedProps {
  readonly work: Work;
  readonly report: FindingsReport;
  readonly pair: RunPair;
  readonly fresh: StripDetail;
  readonly dried: StripDetail;
  readonly onChoose: (key: string) => void;
}

const LEFT = 64;
const RIGHT = 20;
/** R_F in view: a little before the origin and beyond the front. */
const [FROM, TO] = [-0.12, 1.12];
const BETWEEN = 92;

function Joined({ work, report, pair, fresh, dried, onChoose }: JoinedProps) {
  const place = useRef<HTMLDivElement>(null);
  const width = useFieldWidth(place);
  const toX = (rF: number): number => LEFT + ((rF - FROM) / (TO - FROM)) * (width - LEFT - RIGHT);
  const joined = joinedBands(pair, report.findings, fresh, dried);
  const strips = [
    { id: pair.fresh, name: 'Fresh', detail: fresh },
    { id: pair.dried, name: 'Dried', detail: dried },
  ];
  const placed = strips.every(({ detail }) => detail.originMm !== null && detail.frontMm !== null);
  if (!placed) {
    return (
      <p>
        The two cannot be laid side by side: <Words>R_F</Words> needs the origin and the front of both. Set them under
        “Bands”.
      </p>
    );
  }
  const rFOf = ({ bands }: StripDetail, band: number | null): number | null =>
    bands.find((one) => one.band === band)?.rF ?? null;
  return (
    <div className="runs-stack" ref={place}>
      {width > 0 && (
        <>
          <OneRun {...strips[0]} work={work} findings={report.findings} toX={toX} labels="over" />
          <svg className="runs-joins" width={width} height={BETWEEN} role="img" aria-label={joinsWords(joined)}>
            {joined.map(({ fresh: a, dried: b, shift }) => {
              const [from, to] = [rFOf(fresh, a), rFOf(dried, b)];
              if (from === null || to === null) return null;
              const [x1, x2] = [toX(from), toX(to)];
              return (
                <g key={a}>
                  <path d={`M${x1} 0L${x2} ${BETWEEN}`} className="runs-join" />
                  <rect x={(x1 + x2) / 2 - 52} y={BETWEEN / 2 - 11} width={104} height={22} className="runs-plate" />
                  <text x={(x1 + x2) / 2} y={BETWEEN / 2 + 5}>
                    {shiftWords(shift)}
                  </text>
                </g>
              );
            })}
          </svg>
          <OneRun {...strips[1]} work={work} findings={report.findings} toX={toX} labels="under" />
          <RFAxis toX={toX} width={width} />
          <ul className="runs-list">
            {joined.map(({ fresh: a, dried: b, shift }) => (
              <li key={`${a} ${b}`}>
                {shift ? (
                  <Button kind="plain" onPress={() => onChoose(shift.key)}>
                    {joinWords(a, b)}
                  </Button>
                ) : (
                  joinWords(a, b)
                )}
                {shift && typeof shift.finding.value === 'number' && (
                  <>
                    : <Words>{`ΔR_F ${shiftWords(shift)}`}</Words>
                  </>
                )}
              </li>
            ))}
          </ul>
        </>
      )}
    </div>
  );
}

interface OneRunProps {
  readonly id: string;
  readonly name: string;
  readonly detail: StripDetail;
  readonly work: Work;
  readonly findings: readonly TracedFinding[];
  readonly toX: (rF: number) => number;
  readonly labels: 'over' | 'under';
}

/** One strip with its origin at R_F 0 and its front at 1. */
function OneRun({ id, name, detail, work, findings, toX, labels }: OneRunProps) {
  const region = work.regions.find((one) => one.region.id === id)?.region;
  const bands = useMemo(() => bandFigures(id, detail, findings), [id, detail, findings]);
  if (region?.kind !== 'strip' || !region.boxMm || detail.originMm === null || detail.frontMm === null) return null;
  const { length, start } = runOf(region, detail);
  const runMm = Math.abs(detail.frontMm - detail.originMm);
  const pxPerMm = (toX(1) - toX(0)) / runMm;
  const measuredAt = findings.find(({ finding: { subject } }) => subject.regions.join() === id)?.trace.measuredAt;
  const words = bands.map((band) => (
    <span key={band.band} className="runs-band" style={{ left: toX(band.rF ?? 0) }} title={bandLabel(band)}>
      <b>{band.band}</b>
      <span className="strip-swatch" style={{ backgroundColor: cssLab(band.lab) }} />
      {band.rFWords}
    </span>
  ));
  return (
    <div className="runs-one" data-labels={labels}>
      <h3>{name}</h3>
      <div className="runs-frame" style={{ marginLeft: LEFT, marginRight: RIGHT }}>
        <img
          src={straightUrl(work.ink.id, id, `${measuredAt ?? ''} ${region.boxMm.join()}`)}
          alt={`The ${name.toLowerCase()} strip laid straight, its origin at R F 0 and its front at 1`}
          style={{ left: toX(0) - start * pxPerMm - LEFT, width: length * pxPerMm }}
        />
        <span className="runs-end" style={{ left: toX(0) - LEFT }} />
        <span className="runs-end" style={{ left: toX(1) - LEFT }} />
      </div>
      <div className="runs-labels" aria-hidden="true">
        {words}
      </div>
    </div>
  );
}

/** The box's length along the run, and how far from its start the origin lies, mm. */
function runOf({ boxMm }: StripRegion, { travel, originMm }: StripDetail): { length: number; start: number } {
  const [, , width, height] = boxMm ?? [0, 0, 1, 1];
  const length = travel === 'left' || travel === 'right' ? width : height;
  const origin = originMm ?? 0;
  return { length, start: travel === 'up' || travel === 'left' ? length - origin : origin };
}

function RFAxis({ toX, width }: { readonly toX: (rF: number) => number; readonly width: number }) {
  return (
    <svg className="runs-axis" width={width} height={34} aria-hidden="true">
      <text x={LEFT / 2} y={20}>
        R
        <tspan dy="0.25em" fontSize="75%">
          F
        </tspan>
      </text>
      {[0, 0.2, 0.4, 0.6, 0.8, 1].map((rF) => (
        <g key={rF}>
          <path d={`M${toX(rF)} 0v6`} />
          <text x={toX(rF)} y={20}>
            {rF === 0 ? '0 origin' : rF === 1 ? '1 front' : fixed(rF, 1)}
          </text>
        </g>
      ))}
    </svg>
  );
}

/** '−0.039 ± 0.005'. */
export function shiftWords(shift: TracedFinding | null): string {
  const { value = null, u = null } = shift?.finding ?? {};
  if (typeof value !== 'number') return 'cannot be told';
  const words = withUncertainty(value, typeof u === 'number' ? u : null);
  return value > 0 ? `+${words}` : words;
}

function joinWords(fresh: number | null, dried: number | null): string {
  if (fresh === null) return `Band ${dried} of the dried strip has no partner on the fresh one`;
  if (dried === null) return `Band ${fresh} of the fresh strip has no partner on the dried one`;
  return fresh === dried ? `Band ${fresh}` : `Band ${fresh} of the fresh strip, ${dried} of the dried one`;
}

function joinsWords(joined: ReturnType<typeof joinedBands>): string {
  return `From fresh to dried: ${joined
    .map(
      ({ fresh, dried, shift }) => `${joinWords(fresh, dried)}${shift ? `, change of R F ${shiftWords(shift)}` : ''}`,
    )
    .join('; ')}.`;
}
