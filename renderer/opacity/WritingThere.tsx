/** A piece of the person's own writing as scanned, and the same piece as the chosen ground would show it, at one scale. */
import { type ReactNode, useState } from 'react';
import type { SheetRegion, Work } from '../../electron/backend/api.ts';
import type { OpacityPen, OpacitySample } from '../../electron/backend/opacityAnswer.ts';
import { elsewhereUrl, foretoldQuery } from '../api/client.ts';
import { boxPxOf } from '../findings/scan/regionBox.ts';
import { Button } from '../look/Button.tsx';
import { PictureScale } from '../writing/PictureScale.tsx';
import { SamplePicture } from '../writing/SamplePicture.tsx';
import type { PictureSize } from '../writing/thumbnailPicture.ts';
import { type Ground, groundName, sampleOn } from './ground.ts';
import '../writing/writing.css';

export interface WritingThereProps {
  readonly work: Work;
  readonly pen: OpacityPen;
  readonly ground: Ground;
  readonly mmPerPx: number;
  readonly version: string;
  readonly onZoom: (by: 1 | -1) => void;
}

/** CSS px, as all below. */
const NARROWEST = 320;
const WIDEST = 720;
const STEP = 16;
/** What stands beside two pictures: the list of papers, margins and the gap. */
const BESIDE = 350;

/** Two beside each other, else one under the other; in steps, so that few sizes are ever asked for. */
function sizeOfTwo(): PictureSize {
  const room = window.innerWidth - BESIDE;
  const each = room / 2 < NARROWEST ? room : room / 2;
  const width = Math.max(NARROWEST, Math.floor(Math.min(WIDEST, each) / STEP) * STEP);
  return { width, height: width / 2 };
}

export function WritingThere({ work, pen, ground, mmPerPx, version, onZoom }: WritingThereProps) {
  const [from, setFrom] = useState<string | null>(null);
  const written = 'paper' in ground ? sampleOn(pen, ground.paper) : null;
  const others = pen.samples.filter((one) => one.region !== written?.region);
  // A sample that the layer was not told from (another ink, clipped) can be shown as scanned, but not elsewhere.
  const told = pen.predictions.find(({ rendering }) => rendering !== null)?.rendering?.region;
  const sample =
    others.find(({ region }) => region === from) ?? others.find(({ region }) => region === told) ?? others[0] ?? null;
  const size = sizeOfTwo();
  return (
    <div className="writing-there">
      <div className="there-pictures">
        {sample && (
          <Pictured caption={`On ${sample.paper}, as scanned`}>
            <Scanned work={work} region={sample.region} mmPerPx={mmPerPx} size={size} />
          </Pictured>
        )}
        {written ? (
          <Pictured caption={`On ${written.paper}, as scanned`}>
            <Scanned work={work} region={written.region} mmPerPx={mmPerPx} size={size} />
          </Pictured>
        ) : (
          sample && (
            <Pictured caption={`The same writing on ${groundName(ground)}, foretold`}>
              <There {...{ work, pen, ground, sample, mmPerPx, size, version }} />
            </Pictured>
          )
        )}
      </div>
      <div className="there-ways">
        <PictureScale label="Scale of both pictures" mmPerPx={mmPerPx} onZoom={onZoom} />
        {others.length > 1 && (
          <fieldset className="there-from" aria-label="Writing to be shown">
            {others.map(({ region, paper }) => (
              <Button key={region} kind="plain" chosen={region === sample?.region} onPress={() => setFrom(region)}>
                from {paper}
              </Button>
            ))}
          </fieldset>
        )}
      </div>
    </div>
  );
}

function Pictured({ caption, children }: { readonly caption: string; readonly children: ReactNode }) {
  return (
    <figure className="there-picture">
      {children}
      <figcaption>{caption}</figcaption>
    </figure>
  );
}

interface ScannedProps {
  readonly work: Work;
  readonly region: string;
  readonly mmPerPx: number;
  readonly size: PictureSize;
}

function Scanned({ work, region, mmPerPx, size }: ScannedProps) {
  const found = regionOf(work, region);
  return found ? <SamplePicture work={work} region={found} mmPerPx={mmPerPx} size={size} /> : null;
}

/** A sample that the film does not hold is the usual cause; else something went wrong on the way. */
function whyNone(pen: OpacityPen, sample: OpacitySample, url: string | null): string {
  if (url === null) return 'This writing cannot be shown there: its scan has no picture.';
  return pen.layer.by === 'film-fit' && sample.by === 'map'
    ? 'This writing cannot be shown there: it is no part of what the ink was told from. Its findings say why.'
    : 'This writing cannot be shown there now. Load the window again.';
}

type ThereProps = Pick<WritingThereProps, 'work' | 'pen' | 'ground' | 'mmPerPx' | 'version'> & {
  readonly sample: OpacitySample;
  readonly size: PictureSize;
};

function There({ work, pen, ground, sample, mmPerPx, size, version }: ThereProps) {
  const plain = urlOf(work, pen, ground, sample.region, mmPerPx, size);
  const url = plain === null ? null : `${plain}&v=${encodeURIComponent(version)}`;
  const [failed, setFailed] = useState<string | null>(null);
  if (url === null || failed === url) {
    return (
      <span className="nib-no-picture" style={size}>
        {pen.layer.by === 'none' ? pen.layer.words : whyNone(pen, sample, url)}
      </span>
    );
  }
  return (
    <img
      src={url}
      alt={`The writing of ${pen.words} on ${groundName(ground)}, foretold`}
      width={size.width}
      height={size.height}
      decoding="async"
      onError={() => setFailed(url)}
    />
  );
}

/** Null: no scale is known, or the region has no place of its own. */
function urlOf(
  work: Work,
  pen: OpacityPen,
  ground: Ground,
  id: string,
  mmPerPx: number,
  size: PictureSize,
): string | null {
  const region = regionOf(work, id);
  const scan = work.scans.find((one) => one.id === region?.scan);
  const box = region && scan && scan.dpi !== null && scan.problem === null ? boxPxOf(region, scan.dpi) : null;
  if (!scan || box === null) return null;
  const dots = window.devicePixelRatio > 1 ? 2 : 1;
  const [x, y, width, height] = box.map((v) => Math.round(v));
  return elsewhereUrl(
    work.ink.id,
    scan.id,
    scan.colours.key,
    { x, y, width, height },
    { mmPerPixel: mmPerPx / dots, columns: size.width * dots, rows: size.height * dots },
    foretoldQuery({ pen: pen.key, on: 'paper' in ground ? ground.paper : ground.picked, from: id }),
  );
}

function regionOf(work: Work, id: string): SheetRegion | undefined {
  return work.regions.find(({ region }) => region.id === id)?.region;
}
