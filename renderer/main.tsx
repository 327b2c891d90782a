/** The window starts here: with little, since all of it runs in the page's first task. */
import '@fontsource-variable/source-sans-3/wght.css';
import './look/faces.css';
import './look/tokens.css';
import './look/base.css';
import './look/parts.css';
import './frame/frame.css';
import './bring/bring.css';
import { filesAhead } from './frame/filesAhead.ts';
import { showNotBegun } from './frame/partLost.ts';
import { applySurround, rememberedSurround } from './frame/surround.ts';
import { holdType } from './look/typeHeld.ts';

const place = document.getElementById('window');
if (!place) throw new Error('index.html has no #window');
import('./begin.tsx').then(({ begin }) => begin(place)).catch((fault: unknown) => showNotBegun(place, fault));
filesAhead();
holdType();
applySurround(rememberedSurround());
