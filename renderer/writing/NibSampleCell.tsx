/** One nib on one paper: its lines, what is said of them, and on demand how much; or what to write. */
import { type KeyboardEvent, memo } from 'react';
import type { Names } from '../../analysis/report/names.ts';
import { sentence } from '../../analysis/report/sentences.ts';
import { figureText } from '../../analysis/report/titles.ts';
import { whyMissing } from '../../analysis/report/missing.ts';
import type { TracedFinding, Work } from '../../electron/backend/api.ts';
import { formatAddress } from '../address/address.ts';
import type { GridPlace } from '../findings/tables/gridSteps.ts';
import { Swatch } from '../look/Swatch.tsx';
import { Words } from '../reading/Words.tsx';
import { cellColour, cellNumbers, cellWords, isQuiet, leadingFinding, oddOne } from './cellWords.ts';
import type { NibCell, NibSample } from './nibGrid.ts';
import { SamplePicture } from './SamplePicture.tsx';
import { WayMark } from './WayMark.tsx';
import type { PictureSize } from './thumbnailPicture.ts';

interface Props extends GridPlace {
  readonly work: Work;
  readonly names: Names;
  readonly cell: NibCell;
  readonly values: boolean;
  /** Whether colours say by which way they were told. */
  readonly told: boolean;
  readonly mmPerPx: number;
  /** Null: not known yet. */
  readonly picture: PictureSize | null;
  /** Tab enters the grid here, and goes through what the cell says. */
  readonly tabbable: boolean;
  readonly onReached: (place: GridPlace) => void;
  readonly onKeyDown: (event: KeyboardEvent, from: GridPlace) => void;
}

export const NibSampleCell = memo(function NibSampleCell({ cell, row, column, onReached, onKeyDown, ...rest }: Props) {
  if (cell.samples.length === 0) {
    return (
      <td className="nib-cell nib-todo">
        {cell.todo === '' ? <span className="visually-hidden">nothing</span> : `${cell.todo}.`}
      </td>
    );
  }
  return (
    <td
      className="nib-cell"
      data-cell={cell.key}
      onFocus={() => onReached({ row, column })}
      onKeyDown={(event) => onKeyDown(event, { row, column })}
    >
      {cell.samples.map((sample) => (
        <Sample key={sample.region.id} sample={sample} several={cell.samples.length > 1} {...rest} />
      ))}
    </td>
  );
});

type SampleProps = Omit<Props, 'cell' | 'row' | 'column' | 'onReached' | 'onKeyDown'> & {
  readonly sample: NibSample;
  /** Several of one nib on one paper go by their own names. */
  readonly several: boolean;
};

function Sample({ work, names, sample, several, values, told, mmPerPx, picture, tabbable }: SampleProps) {
  const ink = work.ink.id;
  const { id, scan } = sample.region;
  const lead = leadingFinding(sample);
  const tab = tabbable ? 0 : -1;
  const to = (traced: TracedFinding): string =>
    formatAddress({ page: 'findings', ink, query: { finding: traced.key } });
  const odd = oddOne(sample);
  const stale = sample.findings.some(({ current }) => !current);
  return (
    <div className="nib-sample" {...(odd && { 'data-odd': true })} {...(stale && { 'data-stale': true })}>
      <a
        className="nib-picture"
        href={lead ? to(lead) : formatAddress({ page: 'scans', ink, query: { scan, region: id } })}
        tabIndex={tab}
        aria-label={`“${id}” on its scan`}
        {...(lead && { 'data-finding': lead.key })}
      >
        {picture && <SamplePicture work={work} region={sample.region} mmPerPx={mmPerPx} size={picture} />}
      </a>
      {several && <span className="nib-name">{id}</span>}
      {sample.findings.length === 0 ? (
        <span className="nib-missing">{sample.missing}</span>
      ) : (
        <>
          {odd && (
            <a
              className="nib-odd"
              href={to(odd)}
              tabIndex={tab}
              data-finding={odd.key}
              title={sentence(odd.finding, names)}
            >
              <Words>{`another ink or contaminated? ${figureText(odd.finding)} off`}</Words>
            </a>
          )}
          <Colour sample={sample} to={to} tab={tab} names={names} told={told} />
          {values ? (
            <Numbers sample={sample} to={to} tab={tab} names={names} told={told} />
          ) : (
            <WordList sample={sample} to={to} tab={tab} names={names} told={told} />
          )}
          {stale && <span className="visually-hidden">stale: measure again</span>}
        </>
      )}
    </div>
  );
}

interface PartProps {
  readonly sample: NibSample;
  readonly to: (traced: TracedFinding) => string;
  readonly tab: 0 | -1;
  readonly names: Names;
  readonly told: boolean;
}

function Colour({ sample, to, tab, names, told }: PartProps) {
  const colour = cellColour(sample);
  if (colour === null) return null;
  const { traced } = colour;
  return (
    <a
      className="nib-colour"
      href={to(traced)}
      tabIndex={tab}
      data-finding={traced.key}
      title={sentence(traced.finding, names)}
    >
      {told && <WayMark finding={traced.finding} />}
      {colour.lab !== null && <Swatch lab={colour.lab} size={1.25} label="" />}
      <span>{colour.name}</span>
    </a>
  );
}

function WordList({ sample, to, tab, names, told }: PartProps) {
  return (
    <ul className="nib-words">
      {cellWords(sample).map(({ quantity, label, word, quiet, traced }) => (
        <li key={quantity} {...(quiet && { 'data-quiet': true })}>
          <a href={to(traced)} tabIndex={tab} data-finding={traced.key} title={sentence(traced.finding, names)}>
            {told && <WayMark finding={traced.finding} />}
            {label} <strong>{word === '' ? <Words>{figureText(traced.finding)}</Words> : word}</strong>
          </a>
        </li>
      ))}
    </ul>
  );
}

function Numbers({ sample, to, tab, names, told }: PartProps) {
  return (
    <dl className="nib-numbers">
      {cellNumbers(sample).map(({ label, traced }) => {
        const { finding } = traced;
        const word = finding.quantity === 'inkColour' ? undefined : finding.verdict;
        return (
          <div key={traced.key}>
            <dt>{label}</dt>
            <dd>
              <a href={to(traced)} tabIndex={tab} data-finding={traced.key} title={sentence(finding, names)}>
                {told && <WayMark finding={finding} />}
                <Words>
                  {finding.value === null ? `cannot tell: ${whyMissing(finding).because}` : figureText(finding)}
                </Words>
                {word !== undefined &&
                  finding.value !== null &&
                  (isQuiet(word) ? ` ${word}` : <strong> {word}</strong>)}
              </a>
            </dd>
          </div>
        );
      })}
    </dl>
  );
}
