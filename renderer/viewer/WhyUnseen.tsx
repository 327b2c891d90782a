/** Why a scan has no picture: a damaged file opens by its header, and only its picture's answer says what is wrong. */
import { useEffect, useState } from 'react';
import { problemIn } from '../api/client.ts';

/** @param url Where its picture was asked for. */
export function WhyUnseen({ url }: { readonly url: string }) {
  const [words, setWords] = useState<string | null>(null);
  useEffect(() => {
    const stop = new AbortController();
    fetch(url, { signal: stop.signal })
      .then(async (answer) => {
        if (!answer.ok) setWords((await problemIn(answer)).message);
      })
      .catch(() => {
        // Nobody answers: the words below hold.
      });
    return () => stop.abort();
  }, [url]);
  return (
    <p className="viewer-unseen">
      {words ?? 'The picture of this scan did not come; expected it from the library. Reload the window.'}
    </p>
  );
}
