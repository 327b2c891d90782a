/** All findings of the ink as tables, one under the other. */
import type { ReactNode } from 'react';
import { Button } from '../../look/Button.tsx';
import { Select } from '../../look/Select.tsx';
import type { Arrangement } from '../arrange/arrangement.ts';
import { type FindingsTable, findingsIn } from '../arrange/table.ts';
import { WRITING_FIGURES, type WritingFigure, writingTable } from '../arrange/writingGrid.ts';
import type { ToldLook } from './FindingsCell.tsx';
import { copyTable } from './clipboardTable.ts';
import { FindingsGrid } from './FindingsGrid.tsx';
import { limitWords } from './limitWords.ts';

interface Props {
  readonly all: Arrangement;
  readonly figure: WritingFigure;
  readonly onFigure: (figure: WritingFigure) => void;
  readonly notes: boolean;
  readonly chosenKey: string | null;
  readonly told?: ToldLook;
  readonly onChoose: (key: string) => void;
}

export function FindingsTables({ all, figure, onFigure, ...look }: Props) {
  const writing = writingTable(all.writing, figure);
  return (
    <>
      {all.writing.rows.length > 0 && (
        <Section
          title="Writing samples"
          tables={[writing]}
          titled={false}
          look={look}
          chooser={
            <Select
              label="Figure shown"
              choices={WRITING_FIGURES.map(({ key, words }) => ({ id: key, name: words }))}
              chosen={figure}
              onChoose={(id) => onFigure(WRITING_FIGURES.find(({ key }) => key === id)?.key ?? figure)}
            />
          }
        />
      )}
      <Section title="Between two nibs" tables={all.nibs} titled look={look} />
      <Section title="Between two papers" tables={all.tones} titled look={look} />
      <Section title="The ink as a film" tables={all.film ? [all.film] : []} titled={false} look={look} />
      <Section title="Strips" tables={all.strips ? [all.strips] : []} titled={false} look={look} />
      <Section title="Back of the page" tables={all.reverses ? [all.reverses] : []} titled={false} look={look} />
      <Section title="Bare paper" tables={all.papers ? [all.papers] : []} titled={false} look={look} />
      <Section title="Others" tables={all.others ? [all.others] : []} titled={false} look={look} />
    </>
  );
}

interface SectionProps {
  readonly title: string;
  readonly tables: readonly FindingsTable[];
  readonly titled: boolean;
  readonly chooser?: ReactNode;
  readonly look: Pick<Props, 'notes' | 'chosenKey' | 'told' | 'onChoose'>;
}

function Section({ title, tables, titled, chooser, look }: SectionProps) {
  if (tables.length === 0) return null;
  const limits = limitWords(tables.flatMap(findingsIn).map(({ finding }) => finding));
  return (
    <section className="findings-section" aria-label={title}>
      <div className="findings-section-head">
        <h2>{title}</h2>
        {tables.length === 1 && <CopyButton table={tables[0]} />}
      </div>
      {chooser}
      {tables.map((table) => (
        <div key={table.id} className="findings-one">
          {tables.length > 1 && <CopyButton table={table} />}
          <FindingsGrid table={table} titled={titled} {...look} />
        </div>
      ))}
      {limits !== '' && <p className="findings-limits">{limits}</p>}
    </section>
  );
}

function CopyButton({ table }: { readonly table: FindingsTable }) {
  return (
    <Button kind="plain" onPress={() => copyTable(table)} aria-label={`Copy the table “${table.title}”`}>
      Copy
    </Button>
  );
}
