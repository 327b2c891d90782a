/** One strip: its picture with ends and bands, its profile on the same axis, and what a person can say of its bands. */
import { useCallback, useDeferredValue, useMemo, useRef, useState } from 'react';
import { fixed } from '../../analysis/report/valueText.ts';
import { usualTravel } from '../../analysis/measure/strip/travelByBox.ts';
import type { RegionDetail, TracedFinding, Work } from '../../electron/backend/api.ts';
import { straightUrl } from '../api/client.ts';
import { announce } from '../look/announce.ts';
import { InTurn } from '../look/InTurn.tsx';
import { Notice } from '../look/Notice.tsx';
import { useKeys } from '../look/useKeys.ts';
import type { Surface } from '../plots/paint.ts';
import { PlotFigure } from '../plots/PlotFigure.tsx';
import { stripSummary, stripTable } from '../plots/StripPlot.tsx';
import { type StripLine, withStripLine } from '../scans/stripLines.ts';
import { DrawnWork } from '../scans/saidHere.ts';
import { BandTable } from './BandTable.tsx';
import { bandFigures } from './bandFigures.ts';
import {
  isHeldAt,
  type PlacedStrip,
  type StripRegion,
  withBandAt,
  withBandsMerged,
  withoutBandAt,
  withoutWord,
} from './bandEdits.ts';
import { BandTools } from './BandTools.tsx';
import { ByHand } from './ByHand.tsx';
import { ABSORBANCE_STYLES, type CurveStyle, FIELD_EDGES, LAB_STYLES, profileSvg } from './profileSvg.ts';
import { runAxis, viewDomain } from './runAxis.ts';
import { rFAt, type StripEnd, stripEnds } from './stripEnds.ts';
import { StripPicture } from './StripPicture.tsx';
import type { StripEdits } from './useStripEdits.ts';
import { useFieldWidth } from '../plots/useFieldWidth.ts';
import { useRunView } from './useRunView.ts';

export interface StripBenchProps {
  readonly work: Work;
  readonly region: PlacedStrip;
  /** As last measured; null: not yet. */
  readonly detail: RegionDetail | null;
  readonly findings: readonly TracedFinding[];
  /** The first chosen band is the one that is read; a second can be joined with it. */
  readonly chosen: readonly number[];
  readonly onChoose: (bands: readonly number[]) => void;
  readonly edits: StripEdits;
  /** Changed since it was measured. */
  readonly isStale: boolean;
  readonly onHeld: (held: boolean) => void;
}

export function StripBench({
  work,
  region: kept,
  detail,
  findings,
  chosen,
  onChoose,
  edits,
  isStale,
  onHeld,
}: StripBenchProps) {
  const { boxMm } = kept;
  const region = edits.latest(kept);
  const drawnWork = useMemo(() => ({ ink: work.ink.id, revision: work.revision }), [work]);
  const problem = edits.problemOf(region.id);
  const strip = detail?.strip ?? null;
  const travel = strip?.travel ?? region.travel ?? usualTravel(boxMm);
  const { lengthMm, falls } = runAxis(boxMm, travel);
  const axis = useMemo(() => ({ lengthMm, falls }), [lengthMm, falls]);
  const place = useRef<HTMLDivElement>(null);
  const width = useFieldWidth(place);
  const shown = useRunView(axis, FIELD_EDGES.left, Math.max(FIELD_EDGES.left + 1, width - FIELD_EDGES.right));
  const [draft, setDraft] = useState<{ readonly line: StripLine; readonly mm: number } | null>(null);
  const [adding, setAdding] = useState<number | null>(null);
  const ends = stripEnds(region, strip).map((end): StripEnd =>
    draft?.line === end.line ? { ...end, mm: draft.mm, by: 'given' } : end,
  );
  const bands = useMemo(() => (strip ? bandFigures(region.id, strip, findings) : []), [region.id, strip, findings]);
  const there = chosen.filter((band) => bands.some((b) => b.band === band));
  const placeOf = (band: number): number | null => bands.find((b) => b.band === band)?.rF ?? null;

  const endMoved = (line: StripLine, mm: number | null): string => {
    setDraft(null);
    onHeld(false);
    if (mm === null) return `The ${line} is to be found.`;
    return `${line === 'origin' ? 'Origin' : 'Front'} at ${fixed(mm, 2)} mm.`;
  };
  const moveEnd = (line: StripLine, mm: number | null): void =>
    edits.move(withStripLine(region, line, mm), endMoved(line, mm));
  /** Typed: what is refused stays in its field. */
  const giveEnd = async (line: StripLine, mm: number | null): Promise<boolean> =>
    edits.change(region.id, (now) => withStripLine(now, line, mm), endMoved(line, mm));
  const add = (mm: number): void => {
    const rF = rFAt(ends, mm);
    setAdding(null);
    if (rF === null) announce('A band’s place needs origin and front.');
    else void edits.change(region.id, (now) => withBandAt(now, rF), `A band is at R F ${fixed(rF, 3)}.`);
  };
  const ofChosen = (does: (now: StripRegion, rF: number) => StripRegion, words: (band: number) => string): void => {
    const [first] = there;
    const rF = first === undefined ? null : placeOf(first);
    if (first === undefined) announce('Choose a band first.');
    else if (rF === null) announce('A band’s place needs origin and front.');
    else void edits.change(region.id, (now) => does(now, rF), words(first));
  };
  const remove = (): void => ofChosen(withoutBandAt, (band) => `Band ${band} is none.`);
  const hold = (): void =>
    ofChosen(
      (now, rF) => (isHeldAt(now, rF) ? withoutHold(now, rF) : withBandAt(now, rF)),
      (band) => `Band ${band} ${isHeldAt(region, placeOf(band) ?? -1) ? 'is no longer held' : 'is held'} by hand.`,
    );
  const join = (): void => {
    const [a, b] = there.map(placeOf);
    if (there.length < 2 || a === null || b === null || b === undefined || a === undefined) {
      announce('Choose two bands to join: the second with Shift.');
      return;
    }
    void edits.change(region.id, (now) => withBandsMerged(now, a, b), `Bands ${there[0]} and ${there[1]} are one dye.`);
    onChoose(there.slice(0, 1));
  };
  const startAdding = (): void => {
    const [left, right] = viewDomain(axis, shown.view);
    if (rFAt(ends, left) === null) announce('A band’s place needs origin and front: set them first.');
    else {
      setAdding((left + right) / 2);
      announce('Press where the band is, or move the line with the arrows and press Enter.');
    }
  };
  const choose = (band: number, more: boolean): void =>
    onChoose(more && there.length > 0 && there[0] !== band ? [there[0], band] : [band]);
  const step = (by: 1 | -1, more: boolean): void => {
    if (bands.length === 0) return;
    const from = bands.findIndex(({ band }) => band === there.at(-1));
    const next = bands[(Math.max(from, by === 1 ? -1 : 0) + by + bands.length) % bands.length];
    choose(next.band, more);
    announce(`Band ${next.band}`);
  };
  useKeys('Strips', [
    { keys: 'n / Shift+N', does: 'choose the next band; with Shift, one more', run: (e) => step(1, e.shiftKey) },
    { keys: 'p / Shift+P', does: 'choose the band before; with Shift, one more', run: (e) => step(-1, e.shiftKey) },
    { keys: 'a', does: 'add a band', run: startAdding },
    { keys: 'Delete / Backspace', does: 'say that the chosen band is none', run: remove },
    { keys: 'i', does: 'hold the chosen band in its place, or let it go', run: hold },
    { keys: 'u', does: 'say that the two chosen bands are one dye', run: join },
    { keys: '+ / =', does: 'come nearer', run: () => shown.zoom(1.5) },
    { keys: '-', does: 'see more of the strip', run: () => shown.zoom(1 / 1.5) },
    { keys: '0', does: 'the whole strip', run: () => shown.whole() },
    { keys: 'ArrowRight', does: 'move along the strip', run: () => shown.pan(0.15) },
    { keys: 'ArrowLeft', does: 'move back along the strip', run: () => shown.pan(-0.15) },
    ...(adding === null ? [] : [{ keys: 'Escape', does: 'add no band', run: () => setAdding(null) }]),
    { keys: 'Arrow keys', does: 'on the origin’s or the front’s line: 0.1 mm, with Shift 1 mm, with Alt 0.02 mm' },
  ]);

  const view = useDeferredValue(shown.view);
  const domain = useMemo(() => viewDomain(axis, view), [axis, view]);
  const first = there[0] ?? null;
  const build = useCallback(
    (surface: Surface) => profileSvg({ strip: strip ?? NOTHING, domain, chosenBand: first }, surface),
    [strip, domain, first],
  );
  const measuredAt = findings.find(({ finding: { subject } }) => subject.regions.join() === region.id)?.trace
    .measuredAt;
  const held = new Set(bands.flatMap(({ band, rF }) => (rF !== null && isHeldAt(region, rF) ? [band] : [])));
  return (
    <div className="strip-bench">
      {problem !== null && <Notice onDismiss={() => edits.forget()}>{problem}</Notice>}
      <BandTools
        bands={bands.length}
        chosen={there}
        isHeld={first !== null && held.has(first)}
        adding={adding !== null}
        status={isStale ? 'measuring again: bands are as they were' : ''}
        shown={shown}
        onAdd={() => (adding === null ? startAdding() : setAdding(null))}
        onRemove={remove}
        onHold={hold}
        onJoin={join}
      />
      <div className="strip-stack" ref={place}>
        {width > 0 && (
          <StripPicture
            src={straightUrl(work.ink.id, region.id, `${measuredAt ?? ''} ${boxMm.join()}`)}
            name={`Strip “${region.id}”`}
            axis={axis}
            acrossMm={travel === 'left' || travel === 'right' ? boxMm[3] : boxMm[2]}
            travel={travel}
            detail={strip}
            bands={bands}
            ends={ends}
            chosen={there}
            shown={shown}
            width={width}
            adding={adding}
            onChoose={choose}
            onEndMove={(line, mm) => {
              onHeld(true);
              setDraft({ line, mm });
            }}
            onEndDone={moveEnd}
            onEndLetGo={() => {
              onHeld(false);
              setDraft(null);
            }}
            onEndFind={(line) => moveEnd(line, null)}
            onAdding={setAdding}
            onAdd={add}
          />
        )}
        {!strip && measuredAt !== undefined && <div className="strip-profile-place" />}
        {strip && (
          <PlotFigure
            title="Profile"
            summary={stripSummary(strip, region.id)}
            table={stripTable(region.id, strip, findings)}
            build={build}
            aspect={0.36}
            ink={`${work.ink.name} ${region.id}`}
          >
            <Legend />
          </PlotFigure>
        )}
      </div>
      {width > 0 && (
        <div className="strip-under">
          <BandTable strip={region.id} bands={bands} chosen={there} held={held} onChoose={choose} />
          <InTurn turn={1}>
            <DrawnWork value={drawnWork}>
              <ByHand
                region={region}
                travel={travel}
                ends={ends}
                bands={strip === null || isStale ? null : bands}
                onEnd={giveEnd}
                onTakeBack={(said) => void edits.change(region.id, (now) => withoutWord(now, said), 'Taken back.')}
              />
            </DrawnWork>
          </InTurn>
        </div>
      )}
    </div>
  );
}

const NOTHING = {
  placesMm: [],
  absorbance: [[], [], []],
  fitted: [[], [], []],
  lab: [],
  bands: [],
  originMm: null,
  frontMm: null,
} as const;

function withoutHold(region: StripRegion, rF: number): StripRegion {
  const hold = (region.bands ?? []).find((said) => !('with' in said) && Math.abs(said.rF - rF) <= 0.015);
  return hold ? withoutWord(region, hold) : region;
}

function Legend() {
  return (
    <ul className="plot-key plot-lines">
      {[...ABSORBANCE_STYLES, ...LAB_STYLES].map((style) => (
        <LegendLine key={style.name} style={style} />
      ))}
      <li>Under the absorbances lies the fit, pale and broad.</li>
    </ul>
  );
}

function LegendLine({ style: { name, stroke, dash } }: { readonly style: CurveStyle }) {
  return (
    <li>
      <svg width="34" height="10" aria-hidden="true">
        <rect width="34" height="10" fill="#e6e6e6" />
        <line x1="2" x2="32" y1="5" y2="5" stroke={stroke} strokeWidth="1.75" strokeDasharray={dash} />
      </svg>
      {name}
    </li>
  );
}
