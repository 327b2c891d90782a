/** The window starts here: with little, since all of it is waited for. */
import '@fontsource-variable/source-sans-3/wght.css';
import './look/faces.css';
import './look/tokens.css';
import './look/base.css';
import './look/parts.css';
import './frame/frame.css';
import './bring/bring.css';
import './look/print.css';
import { ownTask } from './api/ownTask.ts';
import { filesAhead } from './frame/filesAhead.ts';
import { showNotBegun } from './frame/partLost.ts';
import { applySurround, rememberedSurround } from './frame/surround.ts';
import { holdType } from './look/typeHeld.ts';

const place = document.getElementById('window');
if (!place) throw new Error('index.html has no #window');
Promise.all([import('./begin.tsx'), ready()])
  .then(([{ begin }]) => begin(place))
  .catch((fault: unknown) => showNotBegun(place, fault));

/** Each in a task of its own: the store of settings is asked of another process, and whatever runs first is compiled. */
async function ready(): Promise<void> {
  await ownTask();
  filesAhead();
  await ownTask();
  applySurround(rememberedSurround());
  await ownTask();
  holdType();
}
