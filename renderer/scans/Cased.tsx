import type { ReactNode } from 'react';

/** A line with a thin dark and light casing, so that it reads on any scan. */
export function Cased({ children }: { readonly children: (className: string) => ReactNode }) {
  return (
    <>
      {children('mark-casing mark-casing-dark')}
      {children('mark-casing mark-casing-light')}
      {children('mark-line')}
    </>
  );
}
