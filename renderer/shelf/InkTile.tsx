import { memo, useState } from 'react';
import type { InkCard } from '../../electron/backend/api.ts';
import { formatAddress } from '../address/address.ts';
import { lastAddress } from '../address/useAddress.ts';
import { sheetJsonUrl, sheetZipUrl } from '../api/client.ts';
import { edit, useJob } from '../api/store.ts';
import { CancelJob } from '../frame/CancelJob.tsx';
import { InOtherWindow } from '../frame/InOtherWindow.tsx';
import { NotSaved } from '../frame/NotSaved.tsx';
import { StageMark } from '../frame/StageMark.tsx';
import { STAGE_WORDS } from '../frame/stageWords.ts';
import { announce } from '../look/announce.ts';
import { Button } from '../look/Button.tsx';
import { Progress } from '../look/Progress.tsx';
import { Swatch } from '../look/Swatch.tsx';
import { changedWords, contentsWords, spreadPick } from './cardWords.ts';
import { InkForm } from './InkForm.tsx';

const MOST_SWATCHES = 7;

export interface InkTileProps {
  readonly card: InkCard;
  /** The same function from one drawing to the next: of hundreds of tiles only what changed is drawn anew. */
  readonly onRemove: (card: InkCard) => void;
}

/** One ink on the shelf. */
export const InkTile = memo(function InkTile({ card, onRemove }: InkTileProps) {
  /** The ink's names as they were when its form was opened. */
  const [renaming, setRenaming] = useState<InkCard | null>(null);
  const job = useJob(card.id);
  const measuring = job?.state === 'running' ? job : null;
  const { id, name, maker, invented, swatches, stages, attention } = card;
  const page = stages.findings === 'done' ? 'findings' : 'scans';
  return (
    <article className="ink-tile" aria-labelledby={`ink-${id}`}>
      <div className="ink-colours">
        {swatches.length === 0 ? (
          <span className="ink-no-colours">no colour measured yet</span>
        ) : (
          spreadPick(swatches, MOST_SWATCHES).map((lab, i) => (
            <Swatch key={`${i} ${lab.join()}`} lab={lab} size={2.25} label={`a colour of ${name}, ${i + 1}`} />
          ))
        )}
      </div>
      {renaming ? (
        <InkForm
          name={renaming.name}
          maker={renaming.maker}
          claim={renaming.claim}
          doing="Rename"
          onCancel={() => setRenaming(null)}
          onDone={async (newName, newMaker, newClaim) => {
            const problem = await edit(id, {
              edit: 'changeInk',
              name: newName,
              maker: newMaker,
              claim: newClaim,
              from: { name: renaming.name, maker: renaming.maker, claim: renaming.claim },
            });
            if (problem === null) {
              setRenaming(null);
              announce(`Saved: “${newName}”.`);
            }
            return problem;
          }}
        />
      ) : (
        <div className="ink-names">
          <h2 id={`ink-${id}`}>
            <a className="ink-open" href={formatAddress(lastAddress(page, id))}>
              {name}
            </a>
          </h2>
          <p>
            {maker ?? 'maker not given'}
            {invented && <span className="invented"> · invented: nobody wrote these scans</span>}
          </p>
        </div>
      )}
      <NotSaved ink={id} />
      <InOtherWindow ink={id} />
      <dl className="ink-stages">
        {(['scans', 'findings'] as const).map((stage) => (
          <div key={stage}>
            <dt>{stage === 'scans' ? 'Scans' : 'Findings'}</dt>
            <dd>
              {stage === 'findings' && measuring ? (
                'measuring…'
              ) : (
                <>
                  <StageMark state={stages[stage]} /> {STAGE_WORDS[stages[stage]]}
                </>
              )}
            </dd>
          </div>
        ))}
      </dl>
      <p className="ink-contents">
        {contentsWords(card)}; {changedWords(card.changedAt)}
      </p>
      {measuring && (
        <div className="ink-job">
          <Progress
            label={measuring.what}
            done={measuring.done}
            total={measuring.total}
            {...(measuring.total > 0 && { words: `${measuring.done} of ${measuring.total}` })}
          />
          <CancelJob job={measuring.id} label={`Cancel measuring ${name}`} />
        </div>
      )}
      {!measuring && attention !== '' && <p className="ink-attention">{attention}</p>}
      <div className="ink-actions">
        <Button kind="plain" onPress={() => setRenaming(card)} aria-label={`Rename ${name}`}>
          Rename
        </Button>
        <a
          className="button"
          data-kind="plain"
          href={sheetZipUrl(id)}
          download
          aria-label={`Save with scans: ${name}, zip`}
        >
          Save with scans
        </a>
        <a
          className="button"
          data-kind="plain"
          href={sheetJsonUrl(id)}
          download
          aria-label={`Save sheet: ${name}, JSON`}
        >
          Save sheet
        </a>
        <Button kind="plain" onPress={() => onRemove(card)} aria-label={`Remove ${name}`}>
          Remove
        </Button>
      </div>
    </article>
  );
});
