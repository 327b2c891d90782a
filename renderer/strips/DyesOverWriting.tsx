/** A strip's dyes over a writing sample: zone by zone, and as a map a dye. */
import { useEffect, useMemo, useRef } from 'react';
import { zoneSentences, ZONE_TITLES, ZONE_WORDS } from '../../analysis/report/dyeZones.ts';
import { fixed } from '../../analysis/report/valueText.ts';
import type { LabValue } from '../../analysis/quantity.ts';
import type { TracedFinding, Work } from '../../electron/backend/api.ts';
import type { DyesOver } from '../../electron/backend/stripAnswers.ts';
import { cropUrl } from '../api/client.ts';
import { Notice } from '../look/Notice.tsx';
import { cssLab, Swatch } from '../look/Swatch.tsx';
import { dyeColour, mapPixels } from './dyeMap.ts';
import { colourNameOf, dyeName } from './dyeNames.ts';

export interface DyesOverProps {
  readonly work: Work;
  readonly answer: DyesOver;
  readonly findings: readonly TracedFinding[];
}

export function DyesOverWriting({ work, answer, findings }: DyesOverProps) {
  const { of, over, zones, dyes, haloMm } = answer;
  const named = dyes.map(({ band }) => ({ band, name: colourNameOf(of, band, findings) }));
  return (
    <>
      {!answer.sameCalibration && (
        <Notice kind="word">
          Strip and writing came through different calibrations: the dyes are told by their colours, which is less sure
          where they are dense.
        </Notice>
      )}
      <section aria-label="Which dye makes the halo" className="zones-says" aria-live="polite">
        {zoneSentences(zones, named, haloMm).map((line) => (
          <p key={line}>{line}</p>
        ))}
      </section>
      <table className="zones">
        <caption className="visually-hidden">
          Dyes of “{of}” in the zones of “{over}”
        </caption>
        <thead>
          <tr>
            <th scope="col">Zone</th>
            <th scope="col">share of its colour</th>
            {dyes.map(({ band, lab }) => (
              <th scope="col" key={band}>
                <span className="strip-swatch" aria-hidden="true" style={{ backgroundColor: cssLab(lab) }} /> band{' '}
                {band}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {zones.map((zone) => (
            <tr key={zone.zone}>
              <th scope="row">
                <Swatch lab={zone.lab} size={1.25} label={`Colour ${ZONE_WORDS[zone.zone]}`} /> {ZONE_TITLES[zone.zone]}
              </th>
              <td>
                {zone.amounts.some((amount, j) => amount > 2 * zone.u[j]) ? (
                  <ShareBar shares={zone.shares} dyes={dyes} />
                ) : (
                  <span className="quiet">none stands out</span>
                )}
              </td>
              {zone.amounts.map((amount, j) => (
                <td key={dyes[j].band} className="zones-figure">
                  {fixed(amount, 3)} ± {fixed(2 * zone.u[j], 3)}
                  {amount > 2 * zone.u[j] && <small>{Math.round(100 * zone.shares[j])} %</small>}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
      <Maps work={work} answer={answer} findings={findings} />
    </>
  );
}

function ShareBar({ shares, dyes }: { readonly shares: readonly number[]; readonly dyes: DyesOver['dyes'] }) {
  const words = shares.map((share, j) => `band ${dyes[j].band} ${Math.round(100 * share)} %`).join(', ');
  return (
    <>
      <span className="visually-hidden">{words}</span>
      <span className="zones-bar" aria-hidden="true">
        {shares.map((share, j) => (
          <span key={dyes[j].band} style={{ width: `${100 * share}%`, backgroundColor: cssLab(dyes[j].lab) }}>
            {share > 0.12 && <span>{dyes[j].band}</span>}
          </span>
        ))}
      </span>
    </>
  );
}

function Maps({ work, answer, findings }: DyesOverProps) {
  const { map, over, of } = answer;
  const region = work.regions.find((one) => one.region.id === over)?.region;
  const scan = work.scans.find(({ id }) => id === region?.scan);
  const box = region?.boxMm;
  const pxPerMm = (scan?.dpi ?? 0) / 25.4;
  const shape = { aspectRatio: `${map.columns} / ${map.rows}` };
  return (
    <ul className="dye-maps">
      {scan && box && (
        <li>
          <figure>
            <img
              src={cropUrl(
                work.ink.id,
                scan.id,
                scan.colours.key,
                { x: box[0] * pxPerMm, y: box[1] * pxPerMm, width: box[2] * pxPerMm, height: box[3] * pxPerMm },
                640,
              )}
              alt={`“${over}” as scanned`}
              style={shape}
            />
            <figcaption>as scanned</figcaption>
          </figure>
        </li>
      )}
      {answer.dyes.map(({ band, lab }, j) => (
        <li key={band}>
          <figure>
            <DyeMap
              map={map}
              index={j}
              lab={lab}
              label={`Where the dye of ${dyeName(of, band, findings)} lies on “${over}”`}
            />
            <figcaption>
              {dyeName(of, band, findings)}; darkest: {fixed(map.dyes[j].most, 2)}
            </figcaption>
          </figure>
        </li>
      ))}
    </ul>
  );
}

/** A canvas alone is nothing to those who cannot see it. */
const PICTURE = { role: 'img' } as const;

interface DyeMapProps {
  readonly map: DyesOver['map'];
  readonly index: number;
  readonly lab: LabValue;
  readonly label: string;
}

function DyeMap({ map, index, lab, label }: DyeMapProps) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const { columns, rows } = map;
  const { cells } = map.dyes[index];
  const pixels = useMemo(() => mapPixels(cells, dyeColour(lab)), [cells, lab]);
  useEffect(() => {
    const context = canvas.current?.getContext('2d');
    if (!context) return;
    const image = context.createImageData(columns, rows);
    image.data.set(pixels);
    context.putImageData(image, 0, 0);
  }, [pixels, columns, rows]);
  return (
    <canvas
      ref={canvas}
      width={columns}
      height={rows}
      {...PICTURE}
      aria-label={label}
      style={{ aspectRatio: `${columns} / ${rows}` }}
    />
  );
}
