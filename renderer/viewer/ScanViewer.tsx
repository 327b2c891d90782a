/** One scan, large, on a neutral surround: tiles, rulers, and a layer of marks in scan px. */
import { useEffect, useLayoutEffect, useRef, useState } from 'react';
import type { ReactNode } from 'react';
import type { WorkScan } from '../../electron/backend/api.ts';
import { overviewUrl, tileUrl } from '../api/client.ts';
import { onceLaidOut } from '../look/onceLaidOut.ts';
import { DeepZoom, type TileAddress } from './deepZoom.ts';
import { PointerFigure, Rulers, ScaleBar } from './Rulers.tsx';
import { PointerPlace } from './pointerPlace.ts';
import { atOf, viewAt, writeAt } from './placeInAddress.ts';
import type { ViewAt } from './placeInAddress.ts';
import { fittingView, viewOfBox } from './viewPlace.ts';
import type { ViewPlace } from './viewPlace.ts';
import { fitTogether, useViewKeys } from './useViewKeys.ts';
import type { LinkedView, ViewLink } from './viewLink.ts';
import type { ViewTool } from './viewTool.ts';
import { WhyUnseen } from './WhyUnseen.tsx';
import './viewer.css';

export interface ViewHandle {
  readonly place: ViewPlace | null;
  /** Brings a box of the scan into view; nothing moves when it is there already, unless `closer`. */
  show(boxPx: readonly [x: number, y: number, width: number, height: number], closer?: boolean): void;
  fit(): void;
  focus(): void;
}

export interface ScanViewerProps {
  readonly ink: number;
  readonly scan: WorkScan;
  /** What a screen reader calls the view. */
  readonly label: string;
  readonly link?: ViewLink | undefined;
  /** Where to look; another value moves the view. */
  readonly at?: ViewAt | null | undefined;
  /** A moment after the view has come to rest elsewhere. */
  readonly onAt?: ((at: ViewAt) => void) | undefined;
  readonly tool?: ViewTool | null | undefined;
  /** Whether the page's keys are for this view. One viewer at a time. Default true. */
  readonly active?: boolean | undefined;
  /** False while a page wants the arrows for what is chosen. Default true. */
  readonly arrowsPan?: boolean | undefined;
  /** At every press. */
  readonly onActive?: (() => void) | undefined;
  readonly onPlace?: ((place: ViewPlace) => void) | undefined;
  readonly onHandle?: ((handle: ViewHandle | null) => void) | undefined;
  /** HTML between the tiles and the marks, in screen px: heat maps. */
  readonly under?: ((place: ViewPlace) => ReactNode) | undefined;
  /** HTML over the marks, in screen px: notices and legends. It takes the pointer where it lies. */
  readonly over?: ((place: ViewPlace) => ReactNode) | undefined;
  /** SVG in scan px. Give strokes `vector-effect="non-scaling-stroke"`, letters and handles sizes × place.pxPerScreen. */
  readonly children?: ((place: ViewPlace) => ReactNode) | undefined;
  /** Beside the scale bar. */
  readonly foot?: ReactNode;
}

const SETTLED_MS = 300;
const RECOLOUR_MS = 300;

export function ScanViewer(props: ScanViewerProps) {
  return <OneScanViewer key={props.scan.hash} {...props} />;
}

function OneScanViewer(props: ScanViewerProps) {
  const { ink, scan, label, under, over, children, foot, active = true, arrowsPan = true } = props;
  const host = useRef<HTMLDivElement>(null);
  const overview = useRef<HTMLImageElement>(null);
  const marks = useRef<SVGGElement>(null);
  const zoom = useRef<DeepZoom | null>(null);
  const tiles = useRef<TileAddress | null>(null);
  const latest = useRef(props);
  useLayoutEffect(() => {
    latest.current = props;
  });
  const [place, setPlace] = useState<ViewPlace | null>(null);
  /** The colours whose overview did not come. */
  const [unseen, setUnseen] = useState<string | null>(null);
  /** Colours in which a tile did not come. */
  const [lost, setLost] = useState<string | null>(null);
  const [seen, setSeen] = useState<string | null>(null);
  const [moving, setMoving] = useState(false);
  const [pointer] = useState(() => new PointerPlace());
  const { widthPx, heightPx, tileSize, levels } = scan;
  const pxPerMm = scan.dpi === null ? null : scan.dpi / 25.4;
  const told = useRef('');

  useEffect(() => {
    const element = host.current;
    if (!element) return;
    const open = (): (() => void) => {
      let first = true;
      let untouched = !latest.current.at;
      let isCovered = false;
      /** Where the view is known and tiles do not hide it: it is scaled and composed anew in every frame of a move. */
      const showOverview = (): void => {
        const image = overview.current;
        const visibility = isCovered || !deep.place ? 'hidden' : 'visible';
        if (image && image.style.visibility !== visibility) image.style.visibility = visibility;
      };
      let settled: ReturnType<typeof setTimeout> | undefined;
      const member: LinkedView = {
        get pxPerMm() {
          const { dpi } = latest.current.scan;
          return dpi === null ? null : dpi / 25.4;
        },
        fittingScale: () => {
          const fit = deep.fittingView();
          return fit && member.pxPerMm !== null ? fit.screenPerPx * member.pxPerMm : null;
        },
        follow: (screenPerMm) => {
          if (!deep.place || member.pxPerMm === null) return;
          deep.follow({ ...deep.place.view, screenPerPx: screenPerMm / member.pxPerMm });
        },
        showWhole: (screenPerMm) => {
          if (!deep.place || member.pxPerMm === null) return;
          deep.follow({ x: widthPx / 2, y: heightPx / 2, screenPerPx: screenPerMm / member.pxPerMm });
        },
        moveBy: (xMm, yMm) => {
          if (!deep.place || member.pxPerMm === null) return;
          const { view } = deep.place;
          deep.follow({ ...view, x: view.x + xMm * member.pxPerMm, y: view.y + yMm * member.pxPerMm });
        },
      };
      const deep = new DeepZoom(
        element,
        { widthPx, heightPx, tileSize, levels },
        {
          firstView: (size) => {
            const { at, link } = latest.current;
            if (at) return viewAt(at, size);
            const fit = fittingView({ width: widthPx, height: heightPx }, size);
            const shared = link?.screenPerMm ?? null;
            return shared !== null && member.pxPerMm !== null ? { ...fit, screenPerPx: shared / member.pxPerMm } : fit;
          },
          viewed: (next) => {
            const left = -next.boxPx[0] * next.screenPerPx;
            const top = -next.boxPx[1] * next.screenPerPx;
            const { screenPerPx } = next;
            marks.current?.setAttribute('transform', `matrix(${screenPerPx} 0 0 ${screenPerPx} ${left} ${top})`);
            if (overview.current) {
              overview.current.style.transform = `translate(${left}px, ${top}px) scale(${screenPerPx})`;
            }
            showOverview();
            setPlace(next);
            if (first) queueMicrotask(() => settleFirst(latest.current, member, next));
            first = false;
            latest.current.onPlace?.(next);
            clearTimeout(settled);
            settled = setTimeout(() => {
              // Nobody has moved it: it shows the whole scan, at any size of the window, and an address has nothing to add.
              if (untouched) return;
              const at = atOf(next.view, next.size);
              if (writeAt(at) === told.current) return;
              told.current = writeAt(at);
              latest.current.onAt?.(at);
            }, SETTLED_MS);
          },
          moving: setMoving,
          lost: () => setLost(latest.current.scan.colours.key),
          covered: (covered) => {
            isCovered = covered;
            showOverview();
          },
          // A view that nobody has moved keeps showing all there is.
          resized: () => {
            const { link } = latest.current;
            const whole = deep.fittingView();
            if (link && member.pxPerMm !== null) link.settle();
            else if (untouched && whole) deep.follow(whole);
          },
          steered: (next, before) => {
            untouched = false;
            const { link } = latest.current;
            if (!link || member.pxPerMm === null) return;
            link.zoomed(member, next.screenPerPx * member.pxPerMm);
            const same = Math.abs(next.screenPerPx / before.screenPerPx - 1) < 1e-9;
            if (same) {
              link.moved(
                member,
                (next.view.x - before.view.x) / member.pxPerMm,
                (next.view.y - before.view.y) / member.pxPerMm,
              );
            }
          },
          tool: () => {
            const { tool, onActive } = latest.current;
            return {
              ...tool,
              press: (p) => {
                onActive?.();
                return tool?.press?.(p) ?? false;
              },
              move: (p) => {
                pointer.set(p?.scan ?? null);
                tool?.move?.(p);
              },
              drag: (p) => {
                pointer.set(p.scan);
                tool?.drag?.(p);
              },
            };
          },
        },
      );
      zoom.current = deep;
      if (tiles.current) deep.setTiles(tiles.current);
      const leave = latest.current.link?.join(member);
      latest.current.onHandle?.({
        get place() {
          return deep.place;
        },
        show: (boxPx, closer = false) => {
          if (deep.place && (closer || !inView(boxPx, deep.place))) {
            const aim = viewOfBox(boxPx, deep.place.size);
            const screenPerPx = closer ? aim.screenPerPx : Math.min(aim.screenPerPx, deep.place.screenPerPx);
            deep.goTo({ ...aim, screenPerPx });
          }
        },
        fit: () => fitTogether(deep, latest.current.link),
        focus: () => host.current?.focus(),
      });
      return () => {
        clearTimeout(settled);
        leave?.();
        latest.current.onHandle?.(null);
        zoom.current = null;
        deep.destroy();
      };
    };
    return onceLaidOut(open);
  }, [widthPx, heightPx, tileSize, levels, pointer]);

  const { key } = scan.colours;
  const hasTiles = useRef(false);
  useEffect(() => {
    const show = (): void => {
      hasTiles.current = true;
      tiles.current = (level, column, row) => tileUrl(ink, scan.id, key, level, column, row);
      zoom.current?.setTiles(tiles.current);
    };
    // While a target's point is nudged, one calibration follows another: tiles wait for the last.
    const timer = setTimeout(show, hasTiles.current ? RECOLOUR_MS : 0);
    return () => clearTimeout(timer);
  }, [ink, scan.id, key]);

  const atText = props.at ? writeAt(props.at) : '';
  useEffect(() => {
    const { at } = latest.current;
    if (!at || atText === told.current) return;
    told.current = atText;
    const size = zoom.current?.place?.size;
    if (size) zoom.current?.goTo(viewAt(at, size));
  }, [atText]);

  useViewKeys(zoom, pxPerMm === null ? undefined : props.link, { active, arrowsPan });
  return (
    <section className="viewer" aria-label={label} data-active={active}>
      {place && pxPerMm !== null && <Rulers place={place} pxPerMm={pxPerMm} pointer={pointer} />}
      <div className="viewer-picture">
        <img
          ref={overview}
          className="viewer-overview"
          src={overviewUrl(ink, scan.id, key)}
          width={widthPx}
          height={heightPx}
          alt=""
          draggable={false}
          hidden={unseen === key}
          onLoad={() => {
            setUnseen(null);
            setSeen(key);
          }}
          onError={() => setUnseen(key)}
        />
        <div ref={host} className="viewer-tiles" tabIndex={-1} />
        {seen === null && unseen !== key && <p className="viewer-unseen viewer-coming">The picture is on its way…</p>}
        {unseen === key &&
          (scan.problem === null ? (
            <WhyUnseen url={overviewUrl(ink, scan.id, key)} />
          ) : (
            <p className="viewer-unseen">{scan.problem}</p>
          ))}
        {lost === key && unseen !== key && (
          <output className="viewer-unseen">
            A part of this picture did not come and is unsharp; the numbers are not concerned. Reload the window to ask
            for it again.
          </output>
        )}
        {place && <div className="viewer-under">{under?.(place)}</div>}
        {/* In px: a share of what is being laid out changes on the way, and every name in it is laid out again at each move of the pointer. */}
        <svg className="viewer-marks" width={place?.size.width} height={place?.size.height} data-moving={moving}>
          <g ref={marks}>{place && children?.(place)}</g>
        </svg>
        {place && <div className="viewer-over">{over?.(place)}</div>}
      </div>
      <div className="viewer-foot">
        {place && pxPerMm !== null && <ScaleBar screenPerMm={place.screenPerPx * pxPerMm} />}
        <PointerFigure pointer={pointer} pxPerMm={pxPerMm} />
        {foot}
      </div>
    </section>
  );
}

/** The first view of a linked viewer: a place from the address leads, else all share the scale that shows each whole. */
function settleFirst({ at, link }: ScanViewerProps, member: LinkedView, place: ViewPlace): void {
  if (!link || member.pxPerMm === null) return;
  if (at) link.zoomed(member, place.screenPerPx * member.pxPerMm);
  else link.settle();
}

function inView([x, y, width, height]: readonly [number, number, number, number], place: ViewPlace): boolean {
  const [left, top, across, down] = place.boxPx;
  return x >= left && y >= top && x + width <= left + across && y + height <= top + down;
}
