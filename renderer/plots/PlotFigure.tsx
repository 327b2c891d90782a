import { type CSSProperties, type ReactNode, use, useEffect, useId, useRef, useState } from 'react';
import { Button } from '../look/Button.tsx';
import { Notice } from '../look/Notice.tsx';
import { ColourOrigin } from './colourOrigin.ts';
import { finish } from './finish.ts';
import { filePaint, screenPaint, type Surface } from './paint.ts';
import { framedSvg } from './framedSvg.ts';
import { fontFacesFor } from './pictureFonts.ts';
import { atOnce, type InTurn } from './inTurn.ts';
import { plotKey } from './plotKey.ts';
import { plotTurn } from './plotTurn.ts';
import { PlotTable, type TableData } from './PlotTable.tsx';
import { copyPng, download, fileNameOf, pngOf, svgBlob } from './savePicture.ts';
import { standaloneSvg } from './standaloneSvg.ts';
import { useFieldWidth } from './useFieldWidth.ts';
import './plots.css';

export interface PlotFigureProps {
  readonly title: string;
  /** What the plot shows, in a sentence that stands for it where it cannot be seen. */
  readonly summary: string;
  readonly table: TableData;
  /** Draws it; again when its size changes. Keep it the same function while the data are the same. */
  readonly build: (surface: Surface) => Drawn | InTurn<Drawn>;
  /** Height over width. @default 0.75 */
  readonly aspect?: number;
  /** Heading level in the page. @default 3 */
  readonly level?: 2 | 3 | 4;
  /** A legend, choices: between title and picture, or below. */
  readonly children?: ReactNode;
  /** In front of the file's name, for instance the ink. */
  readonly ink: string;
  /** After it was drawn on the screen: for marks that follow a hand and are no part of a file. Keep it the same function. */
  readonly onDrawn?: (drawn: Drawn, surface: Surface) => void;
}

type Drawn = SVGSVGElement | HTMLElement;

/** Ground of a saved picture: it goes onto white pages. */
const SAVED_GROUND = '#ffffff';
/** Saved wider than it is shown in a narrow column, so that the letters keep their proportion to the page. */
const SAVED_WIDTH = 720;
/** In a narrow column a plot is taller for its width, since its axes take their room whatever its size, px. */
const LEAST_HEIGHT = 230;
/** Narrower than its own margins it cannot be drawn: a column that is just being unfolded. */
const LEAST_WIDTH = 120;

/** A plot with its title, its numbers as a table, and ways to take it along. */
export function PlotFigure({
  title,
  summary,
  table,
  build,
  aspect = 0.75,
  level = 3,
  children,
  ink,
  onDrawn,
}: PlotFigureProps) {
  const figure = useRef<HTMLElement>(null);
  const place = useRef<HTMLDivElement>(null);
  const origin = use(ColourOrigin);
  const width = useFieldWidth(place);
  const near = useNear(place);
  const [problem, setProblem] = useState<string | null>(null);
  const titleId = useId();
  const Heading = level === 2 ? 'h2' : level === 4 ? 'h4' : 'h3';

  useEffect(() => {
    if (width < LEAST_WIDTH) return;
    const draw = (): InTurn<void> => {
      const surface: Surface = { width, height: heightFor(width, aspect), paint: screenPaint, document };
      return drawnInto(place, build, surface, (drawn) => {
        drawn.setAttribute('aria-label', summary);
        onDrawn?.(drawn, surface);
      });
    };
    if (near) return plotTurn(draw);
    // On paper all of a page is near.
    const drawNow = (): void => atOnce(draw());
    window.addEventListener('beforeprint', drawNow);
    return () => window.removeEventListener('beforeprint', drawNow);
  }, [build, width, near, aspect, summary, onDrawn]);

  const standalone = async (): Promise<{ svg: string; width: number; height: number }> => {
    const size = { width: SAVED_WIDTH, height: Math.round(SAVED_WIDTH * aspect) };
    const drawn = atOnce(inTurn(build({ ...size, paint: filePaint, document })));
    finish(drawn);
    const key = figure.current ? plotKey(figure.current) : [];
    const frame = { title: `${ink}: ${title}`, key, note: origin };
    const framed = framedSvg(new XMLSerializer().serializeToString(drawn), size, frame);
    const letters = [drawn.textContent, frame.title, origin, ...key.map(({ words }) => words)].join(' ');
    const whole = { width: size.width, height: framed.height };
    const texts = { title: frame.title, description: `${summary} ${origin}`.trim() };
    const options = { ...whole, ...texts, fontFaces: await fontFacesFor(letters), background: SAVED_GROUND };
    return { svg: standaloneSvg(framed.svg, options), ...whole };
  };
  const png = async (): Promise<Blob> => {
    const { svg, width: across, height } = await standalone();
    return pngOf(svg, across, height);
  };
  const run = (doing: () => Promise<void>): void => {
    setProblem(null);
    doing().catch((error: unknown) => {
      setProblem(error instanceof Error ? error.message : String(error));
    });
  };
  const fileName = fileNameOf(`${ink} ${title}`);

  return (
    <figure className="plot-figure" aria-labelledby={titleId} ref={figure}>
      <Heading id={titleId}>{title}</Heading>
      <div className="plot-picture" style={roomFor(width, aspect)} ref={place} />
      {children}
      <div className="plot-ways">
        <Button
          kind="plain"
          aria-label={`Save as SVG: ${title}`}
          onPress={() => run(async () => download(svgBlob((await standalone()).svg), `${fileName}.svg`))}
        >
          Save as SVG
        </Button>
        <Button
          kind="plain"
          aria-label={`Save as PNG: ${title}`}
          onPress={() => run(async () => download(await png(), `${fileName}.png`))}
        >
          Save as PNG
        </Button>
        <Button kind="plain" aria-label={`Copy: ${title}`} onPress={() => run(() => copyPng(png()))}>
          Copy
        </Button>
      </div>
      {problem !== null && <Notice>{problem}</Notice>}
      <PlotTable data={table} title={title} />
    </figure>
  );
}

/** @param then before anything is painted */
function* drawnInto(
  place: { readonly current: HTMLElement | null },
  build: PlotFigureProps['build'],
  surface: Surface,
  then: (drawn: Drawn) => void,
): InTurn<void> {
  const drawn = yield* inTurn(build(surface));
  finish(drawn);
  drawn.setAttribute('role', 'img');
  place.current?.replaceChildren(drawn);
  then(drawn);
}

function* inTurn(built: Drawn | InTurn<Drawn>): InTurn<Drawn> {
  return built instanceof Element ? built : yield* built;
}

/** The plot's height, also before its width is known: what stands below it must not jump. */
function roomFor(width: number, aspect: number): CSSProperties {
  return width > 0 ? { height: heightFor(width, aspect) } : { aspectRatio: 1 / aspect, minHeight: LEAST_HEIGHT };
}

function heightFor(width: number, aspect: number): number {
  return Math.round(Math.max(width * aspect, LEAST_HEIGHT));
}

/** Whether an element has come into sight, or nearly so; from then on always. */
function useNear(place: { readonly current: HTMLElement | null }): boolean {
  const [near, setNear] = useState(false);
  useEffect(() => {
    if (near || !place.current) return;
    const observer = new IntersectionObserver(
      (entries) => {
        if (entries.some(({ isIntersecting }) => isIntersecting)) setNear(true);
      },
      { rootMargin: '50%' },
    );
    observer.observe(place.current);
    return () => {
      observer.disconnect();
    };
  }, [place, near]);
  return near;
}
