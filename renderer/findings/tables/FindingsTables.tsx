/** All findings of the ink as tables, one under the other. */
import { memo, useEffect, useMemo } from 'react';
import { Button } from '../../look/Button.tsx';
import { Select } from '../../look/Select.tsx';
import type { Arrangement } from '../arrange/arrangement.ts';
import { sharedLines, sharedNotes } from '../arrange/sharedNotes.ts';
import { type FindingsTable, findingsIn } from '../arrange/table.ts';
import { WRITING_FIGURES, type WritingFigure, writingTable } from '../arrange/writingGrid.ts';
import type { ToldLook } from './FindingsCell.tsx';
import { copyTable } from './clipboardTable.ts';
import { FindingsGrid } from './FindingsGrid.tsx';
import { limitWords } from './limitWords.ts';
import { useSectionsInTurn } from './useSectionsInTurn.ts';

interface Props {
  readonly all: Arrangement;
  readonly figure: WritingFigure;
  readonly onFigure: (figure: WritingFigure) => void;
  readonly notes: boolean;
  readonly chosenKey: string | null;
  readonly told?: ToldLook;
  readonly onChoose: (key: string) => void;
  /** Told once all of them are drawn. Keep it the same function. */
  readonly onAll: () => void;
  /** Whether what is drawn reaches below what is seen. Keep it the same function. */
  readonly isFull: () => boolean;
}

/** Keep `told`, `onChoose` and `onFigure` the same: then choosing a figure draws only the tables that it leaves and comes to. */
export function FindingsTables({ all, figure, onFigure, onAll, isFull, chosenKey, ...look }: Props) {
  const sections = useMemo(() => sectionsOf(all, figure), [all, figure]);
  const { drawn, groups, isAll } = useSectionsInTurn(sections, isFull);
  useEffect(() => {
    if (isAll) onAll();
  }, [isAll, onAll]);
  return sections
    .slice(0, drawn)
    .map(({ choosing, keys, ...section }, i) => (
      <Section
        key={section.title}
        {...section}
        {...look}
        {...(choosing && { figure, onFigure })}
        {...(i === drawn - 1 && groups !== null && { groups })}
        chosenKey={chosenKey !== null && keys.has(chosenKey) ? chosenKey : null}
      />
    ));
}

interface SectionOf {
  readonly title: string;
  readonly tables: readonly FindingsTable[];
  /** Whether each table bears its own name. */
  readonly titled: boolean;
  /** Whether one figure of many is shown, which a person chooses. */
  readonly choosing: boolean;
  /** Of all findings in it. */
  readonly keys: ReadonlySet<string>;
}

/** Only those with anything in them. */
function sectionsOf(all: Arrangement, figure: WritingFigure): readonly SectionOf[] {
  const titled = (title: string, tables: readonly FindingsTable[]): SectionOf => {
    return { title, tables, titled: true, choosing: false, keys: keysOf(tables) };
  };
  const one = (title: string, table: FindingsTable | null): SectionOf => {
    const tables = table ? [table] : [];
    return { title, tables, titled: false, choosing: false, keys: keysOf(tables) };
  };
  const writing = all.writing.rows.length > 0 ? writingTable(all.writing, figure) : null;
  return [
    { ...one('Writing samples', writing), choosing: true },
    titled('Between two nibs', all.nibs),
    titled('Between two papers', all.tones),
    one('The ink as a film', all.film),
    one('Opacity and other papers', all.opacity),
    one('Strips', all.strips),
    one('Back of the page', all.reverses),
    one('Bare paper', all.papers),
    one('Others', all.others),
  ].filter(({ tables }) => tables.length > 0);
}

function keysOf(tables: readonly FindingsTable[]): ReadonlySet<string> {
  return new Set(tables.flatMap(findingsIn).map(({ key }) => key));
}

interface SectionProps extends Pick<Props, 'notes' | 'chosenKey' | 'told' | 'onChoose'> {
  readonly title: string;
  readonly tables: readonly FindingsTable[];
  readonly titled: boolean;
  /** The figure of many that is shown; absent: there is nothing to choose. */
  readonly figure?: WritingFigure;
  readonly onFigure?: (figure: WritingFigure) => void;
  /** Groups of rows of each table that are drawn by now; absent: all. */
  readonly groups?: number;
}

const Section = memo(function Section({ title, tables, titled, figure, onFigure, ...look }: SectionProps) {
  const findings = useMemo(() => tables.flatMap(findingsIn).map(({ finding }) => finding), [tables]);
  const limits = useMemo(() => limitWords(findings), [findings]);
  const shared = useMemo(() => sharedNotes(findings), [findings]);
  return (
    <section className="findings-section" aria-label={title}>
      <div className="findings-section-head">
        <h2>{title}</h2>
        {tables.length === 1 && <CopyButton table={tables[0]} />}
      </div>
      {figure !== undefined && onFigure && (
        <Select
          label="Figure shown"
          choices={FIGURES}
          chosen={figure}
          onChoose={(id) => onFigure(WRITING_FIGURES.find(({ key }) => key === id)?.key ?? figure)}
        />
      )}
      {tables.map((table) => (
        <div key={table.id} className="findings-one">
          {tables.length > 1 && <CopyButton table={table} />}
          <FindingsGrid table={table} titled={titled} shared={shared} {...look} />
          {table.remark !== undefined && <p className="findings-limits">{table.remark}</p>}
        </div>
      ))}
      {sharedLines(shared, look.notes).map((line) => (
        <p key={line} className="findings-limits">
          {line}
        </p>
      ))}
      {limits !== '' && <p className="findings-limits">{limits}</p>}
    </section>
  );
});

const FIGURES = WRITING_FIGURES.map(({ key, words }) => ({ id: key, name: words }));

function CopyButton({ table }: { readonly table: FindingsTable }) {
  return (
    <Button kind="plain" onPress={() => copyTable(table)} aria-label={`Copy the table “${table.title}”`}>
      Copy
    </Button>
  );
}
