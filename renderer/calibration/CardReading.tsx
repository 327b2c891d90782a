import { type ReactNode } from 'react';
import type { CalibrationReport } from '../../electron/backend/api.ts';
import { calibrationReportUrl } from '../api/client.ts';
import { Button } from '../look/Button.tsx';
import { copyRows } from '../look/copyRows.ts';
import { tableFields, type TableData } from '../plots/PlotTable.tsx';
import { Words } from '../reading/Words.tsx';
import '../reading/reading.css';
import { driftTable, figureTable, modelTable, worstOf } from './patchOrder.ts';
import { Folded } from '../look/Folded.tsx';

export interface CardReadingProps {
  readonly ink: number;
  readonly scan: string;
  readonly report: CalibrationReport;
  readonly onChoose: (patch: string) => void;
}

/** What the calibration as a whole says: first in a sentence, then what to mend, figures, and how it came about. */
export function CardReading({ ink, scan, report, onChoose }: CardReadingProps) {
  const { words, cautions, target, scanner, lightWords, drift, modelWords, candidates } = report;
  const worst = worstOf(report.patches);
  return (
    <section className="reading" aria-label="Reading">
      <h2 className="reading-title">
        Calibration{' '}
        <small>
          {target.layout}, {report.patches.length} patches
        </small>
      </h2>
      <p className="reading-sentence">
        <Words>{words}</Words>
      </p>
      {cautions.length > 0 ? (
        <section className="card-part">
          <h3>What to mend, worst first</h3>
          <ol className="card-cautions">
            {cautions.map((caution) => (
              <li key={caution.code}>
                <Words>{caution.words}</Words>
              </li>
            ))}
          </ol>
        </section>
      ) : (
        <p className="card-quiet">
          {report.judgement === 'poor'
            ? 'The target and its scan themselves show no cause.'
            : 'Nothing about the target or its scan asks to be mended.'}
        </p>
      )}
      <section className="card-part">
        <SmallTable title="How far patches are missed" data={figureTable(report)} />
        <p className="card-quiet">
          <Words>
            {`Left out: each patch told by a fit that never saw it. Good up to a median of 1.0, usable up to 2.0. Greys miss neutral by C* ${report.greyMaxChroma === null ? '?' : report.greyMaxChroma.toFixed(2)} at most.`}
          </Words>
        </p>
        {worst.length > 0 && (
          <p className="card-worst">
            Missed most:
            {worst.map(({ id }) => (
              <Button key={id} kind="plain" onPress={() => onChoose(id)}>
                {id}
              </Button>
            ))}
          </p>
        )}
      </section>
      <Part title="Colour model" sentences={[modelWords]}>
        {candidates.length > 0 && (
          <Folded className="card-more" summary={`All ${candidates.length} candidates`}>
            <SmallTable title="Candidates" data={modelTable(report)} marked={candidates.findIndex((c) => c.chosen)} />
          </Folded>
        )}
      </Part>
      <Part
        title="Target"
        sentences={[
          target.locatedWords,
          target.colorantsWords,
          target.referenceWords,
          ...target.notes.map((note) => `Its reference: ${note}.`),
        ]}
      />
      <Part title="Scanner" sentences={[scanner.words, scanner.noiseWords, scanner.blurWords, scanner.clippingWords]} />
      <Part title="Light" sentences={[lightWords]} />
      <Part title="Drift" sentences={[drift.words, ...drift.earlier.map((one) => one.words)]}>
        {drift.earlier.length > 0 && (
          <Folded className="card-more" summary="Table">
            <SmallTable title="Drift" data={driftTable(report)} />
          </Folded>
        )}
      </Part>
      <p>
        <a href={calibrationReportUrl(ink, scan)} download={`${scan}-calibration.json`}>
          Save the report as JSON
        </a>
      </p>
    </section>
  );
}

interface PartProps {
  readonly title: string;
  readonly sentences: readonly string[];
  readonly children?: ReactNode;
}

function Part({ title, sentences, children }: PartProps) {
  return (
    <section className="card-part">
      <h3>{title}</h3>
      {sentences.map((sentence) => (
        <p key={sentence}>
          <Words>{sentence}</Words>
        </p>
      ))}
      {children}
    </section>
  );
}

interface SmallTableProps {
  readonly title: string;
  readonly data: TableData;
  /** A row that stands out by weight; −1: none. */
  readonly marked?: number;
}

function SmallTable({ title, data, marked = -1 }: SmallTableProps) {
  return (
    <div className="card-small">
      <table className="card-figures">
        <caption className="visually-hidden">{title}</caption>
        <thead>
          <tr>
            {data.columns.map((column) => (
              <th key={column} scope="col">
                {column}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {data.rows.map((row, i) => (
            <tr key={row.join('|')} {...(i === marked && { 'data-marked': true })}>
              {row.map((cell, column) =>
                column === 0 ? (
                  <th key={data.columns[column]} scope="row">
                    {cell}
                  </th>
                ) : (
                  <td key={data.columns[column]}>{cell}</td>
                ),
              )}
            </tr>
          ))}
        </tbody>
      </table>
      <Button
        kind="plain"
        onPress={() => copyRows(title, async () => tableFields(data))}
        aria-label={`Copy the table: ${title}`}
      >
        Copy the table
      </Button>
    </div>
  );
}
