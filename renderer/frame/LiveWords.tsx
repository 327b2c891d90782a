import { useEffect, useRef, useState } from 'react';
import { useWork } from '../api/store.ts';
import { announce, useSaid } from '../look/announce.ts';
import { jobWords } from './jobWords.ts';

const SHOWN_MS = 5000;

/** The foot's line of quiet words; screen readers hear them too. */
export function LiveWords({ ink }: { readonly ink: number | null }) {
  const said = useSaid();
  const [hidden, setHidden] = useState(0);
  useEffect(() => {
    if (said.text === '') return;
    const timer = setTimeout(() => setHidden(said.count), SHOWN_MS);
    return () => clearTimeout(timer);
  }, [said]);
  return (
    <>
      {ink !== null && <JobWords key={ink} ink={ink} />}
      <output aria-live="polite" className="said" data-shown={said.text !== '' && hidden !== said.count}>
        {hidden !== said.count && said.text}
      </output>
    </>
  );
}

/** Says how a measurement goes on: seldom enough to listen to. */
function JobWords({ ink }: { readonly ink: number }) {
  const work = useWork(ink);
  const job = work.state === 'ready' ? work.value.job : null;
  const before = useRef(job);
  useEffect(() => {
    const words = jobWords(before.current, job);
    before.current = job;
    if (words !== null) announce(words);
  }, [job]);
  return null;
}
