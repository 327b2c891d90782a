import { useCallback, useEffect, useMemo, useRef } from 'react';
import type { FilmCurve, FilmPoint } from '../../electron/backend/filmAnswer.ts';
import type { Surface } from '../plots/paint.ts';
import { PlotFigure } from '../plots/PlotFigure.tsx';
import type { PlottedWork } from '../plots/regionPaper.ts';
import { cssLab } from '../look/Swatch.tsx';
import { colourAt } from './doseAlong.ts';
import { type PlaneName, planePlaces, PLANES } from './dosePlane.ts';
import { curveTable, doseKey, dosePlotData, doseSummary } from './dosePlotData.ts';
import { doseSvg } from './doseSvg.ts';

export interface DosePlotProps {
  readonly ink: string;
  readonly work: PlottedWork;
  readonly plane: PlaneName;
  readonly curves: readonly FilmCurve[];
  readonly points: readonly FilmPoint[];
  /** What the target's map says beside it, as hollow marks. */
  readonly withMap?: boolean;
  /** A dose to mark on each curve; absent: none. */
  readonly dose?: number | null;
  readonly level?: 2 | 3 | 4;
}

const TITLES: Readonly<Record<PlaneName, readonly [title: string, axes: string]>> = {
  ab: ['From dose to colour: hue', 'a* and b*'],
  LC: ['From dose to colour: lightness', 'L* and C*'],
};

interface Drawn {
  readonly svg: SVGSVGElement | HTMLElement;
  readonly surface: Surface;
}

/** How the ink's colour moves as it gets denser, a curve for each paper. */
export function DosePlot({ ink, work, plane, curves, points, withMap = false, dose = null, level = 3 }: DosePlotProps) {
  const data = useMemo(() => dosePlotData(work, curves, points), [work, curves, points]);
  const build = useCallback((surface: Surface) => doseSvg(plane, data, { withMap }, surface), [plane, data, withMap]);
  const table = useMemo(() => curveTable(curves), [curves]);
  const drawn = useRef<Drawn | null>(null);
  const latest = useRef<() => void>(() => undefined);
  useEffect(() => {
    // Only these few marks move with the slider; the plot under them stays as it was drawn.
    latest.current = () => {
      if (!drawn.current) return;
      const { svg, surface } = drawn.current;
      const places = planePlaces(plane, data, surface);
      const { x, y } = PLANES[plane];
      const marks = dose === null ? [] : curves.flatMap((curve) => colourAt(curve, dose) ?? []);
      markDoses(
        svg,
        marks.map(({ lab }) => ({ x: places.toX(x(lab)), y: places.toY(y(lab)), fill: cssLab(lab) })),
      );
    };
    latest.current();
  }, [plane, data, curves, dose]);
  const onDrawn = useCallback((svg: SVGSVGElement | HTMLElement, surface: Surface) => {
    drawn.current = { svg, surface };
    latest.current();
  }, []);
  const [title, axes] = TITLES[plane];
  return (
    <PlotFigure
      title={title}
      summary={doseSummary(data, axes)}
      table={table}
      build={build}
      aspect={0.8}
      ink={ink}
      level={level}
      onDrawn={onDrawn}
    >
      <p className="plot-key">
        {doseKey(data, withMap)}
        {dose !== null && ' Rings follow the dose that is set above.'}
      </p>
    </PlotFigure>
  );
}

const SVG = 'http://www.w3.org/2000/svg';

interface Ring {
  readonly x: number;
  readonly y: number;
  readonly fill: string;
}

/** A large disc of the colour, ringed dark and light, at each place. */
function markDoses(svg: Element, rings: readonly Ring[]): void {
  let group = svg.querySelector('.film-rings');
  if (!group) {
    group = document.createElementNS(SVG, 'g');
    group.setAttribute('class', 'film-rings');
    svg.append(group);
  }
  while (group.childElementCount > rings.length) group.lastElementChild?.remove();
  while (group.childElementCount < rings.length) group.append(newRing());
  rings.forEach(({ x, y, fill }, i) => {
    const ring = group.children[i];
    ring.setAttribute('transform', `translate(${x.toFixed(1)} ${y.toFixed(1)})`);
    ring.setAttribute('fill', fill);
  });
}

function newRing(): Element {
  const ring = document.createElementNS(SVG, 'g');
  for (const [r, stroke, width] of [
    ['8', '#1c1c1c', '4.5'],
    ['8', '#ffffff', '2'],
  ]) {
    const circle = document.createElementNS(SVG, 'circle');
    circle.setAttribute('r', r);
    circle.setAttribute('stroke', stroke);
    circle.setAttribute('stroke-width', width);
    ring.append(circle);
  }
  return ring;
}
