import { startTransition, useCallback, useEffect, useMemo, useState } from 'react';
import type { FindingsReport, RegionDetail, Work } from '../../electron/backend/api.ts';
import type { FilmAnswer } from '../../electron/backend/filmAnswer.ts';
import { eachItsWay } from '../film/oneWay.ts';
import { useDetail } from '../api/store.ts';
import { Plots } from './Plots.tsx';

export interface InkPlotsProps {
  readonly work: Work;
  readonly findings: FindingsReport;
  /** The ink as a film; null: it is not told as one. */
  readonly film: FilmAnswer | null;
  /** Heading level of each plot's title. @default 2 */
  readonly level?: 2 | 3 | 4;
}

/** The whole ink in plots, with what they need of each region fetched as it is measured. */
export function InkPlots({ work, findings, film, level = 2 }: InkPlotsProps) {
  const [details, setDetails] = useState<Readonly<Record<string, RegionDetail>>>({});
  const take = useCallback((detail: RegionDetail) => {
    // They come one after another, and each changes most plots: drawn in parts, several at a time.
    startTransition(() => {
      setDetails((held) => (held[detail.region] === detail ? held : { ...held, [detail.region]: detail }));
    });
  }, []);
  const colours = useMemo(() => eachItsWay({ report: findings, details }, film), [details, findings, film]);
  const plotted = work.regions.filter(
    ({ region: { kind }, measured }) =>
      measured !== 'never' && (kind === 'strokes' || kind === 'swab' || kind === 'strip'),
  );
  return (
    <>
      {plotted.map(({ region }) => (
        <OneDetail key={region.id} ink={work.ink.id} region={region.id} onDetail={take} />
      ))}
      <Plots work={work} findings={findings} details={details} colours={colours} level={level} />
    </>
  );
}

interface OneDetailProps {
  readonly ink: number;
  readonly region: string;
  readonly onDetail: (detail: RegionDetail) => void;
}

/** Shows nothing: one region's detail, followed. */
function OneDetail({ ink, region, onDetail }: OneDetailProps) {
  const detail = useDetail(ink, region);
  useEffect(() => {
    if (detail.state === 'ready' && detail.value) onDetail(detail.value);
  }, [detail, onDetail]);
  return null;
}
