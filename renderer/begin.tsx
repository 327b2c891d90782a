/** All that the window is made of, in tasks of their own, so that nothing holds the page for long. */
import { StrictMode, startTransition } from 'react';
import { createRoot } from 'react-dom/client';
import { currentAddress } from './address/useAddress.ts';
import { followEvents } from './api/followEvents.ts';
import { ownTask } from './api/ownTask.ts';
import { fetchAhead } from './api/store.ts';
import { picturesAhead } from './frame/pictureAhead.ts';
import { fontsAhead } from './look/fontsAhead.ts';
import { measureLetters } from './look/lettersMeasured.ts';

/** Asks for what the page will need, then for what draws it, then draws it, in a transition. */
export async function begin(place: HTMLElement): Promise<void> {
  await ownTask();
  fetchAhead(currentAddress());
  const framed = import('./frame/Framed.tsx');
  await ownTask();
  const letters = fontsAhead().then(measureLetters);
  await ownTask();
  followEvents();
  picturesAhead();
  const [{ Framed, LANGUAGE }] = await Promise.all([framed, letters]);
  await ownTask();
  const root = createRoot(place);
  startTransition(() => {
    root.render(
      <StrictMode>
        <Framed />
      </StrictMode>,
    );
  });
  // Whoever writes the first number has the engine read all that it knows of numbers: in a task of its own.
  await ownTask();
  new Intl.NumberFormat(LANGUAGE).format(0);
}
