/** The window starts here. */
import '@fontsource-variable/source-sans-3/wght.css';
import './look/tokens.css';
import './look/base.css';
import './look/parts.css';
import './frame/frame.css';
import './bring/bring.css';
import { StrictMode, startTransition } from 'react';
import { createRoot } from 'react-dom/client';
import { currentAddress } from './address/useAddress.ts';
import { followEvents } from './api/followEvents.ts';
import { ownTask } from './api/ownTask.ts';
import { fetchAhead } from './api/store.ts';
import { picturesAhead } from './frame/pictureAhead.ts';
import { applySurround, rememberedSurround } from './frame/surround.ts';
import { fontsAhead } from './look/fontsAhead.ts';

const place = document.getElementById('window');
if (!place) throw new Error('index.html has no #window');
applySurround(rememberedSurround());
followEvents();
fetchAhead(currentAddress());
picturesAhead();
// In parts, so that nothing holds the page for long: first what draws, then all that is drawn, in a transition.
void Promise.all([import('./frame/Framed.tsx'), fontsAhead()]).then(async ([{ Framed, LANGUAGE }]) => {
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
});
