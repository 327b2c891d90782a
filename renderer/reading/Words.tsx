import { Fragment } from 'react';
import { keptTogether } from './keptTogether.ts';

/** A sentence as it is printed: figures unbroken, R_F and R_s with their letters lowered. */
export function Words({ children }: { readonly children: string }) {
  const parts = keptTogether(children).split(/R_([Fs])/);
  // Every second part is a letter to lower.
  return parts.map((part, i) =>
    i % 2 === 0 ? (
      // oxlint-disable-next-line react/no-array-index-key -- parts of one text have no other name
      <Fragment key={i}>{part}</Fragment>
    ) : (
      // oxlint-disable-next-line react/no-array-index-key -- as above
      <Fragment key={i}>
        R<sub>{part}</sub>
      </Fragment>
    ),
  );
}
