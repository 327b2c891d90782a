import { useShelf } from '../api/store.ts';
import { Notice } from '../look/Notice.tsx';

/** All inks. */
export default function ShelfPage() {
  const shelf = useShelf();
  if (shelf.state === 'loading') return <p>Opening the shelf…</p>;
  if (shelf.state === 'failed') return <Notice>{shelf.problem.message}</Notice>;
  return (
    <ul>
      {shelf.value.inks.map((ink) => (
        <li key={ink.id}>
          <a href={`#/ink/${ink.id}/scans`}>{ink.name}</a>
        </li>
      ))}
    </ul>
  );
}
