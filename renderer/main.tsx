/** The window starts here. */
import '@fontsource-variable/source-sans-3/wght.css';
import './look/tokens.css';
import './look/base.css';
import './look/parts.css';
import './frame/frame.css';
import './bring/bring.css';
import { StrictMode } from 'react';
import { I18nProvider } from 'react-aria-components';
import { createRoot } from 'react-dom/client';
import { followEvents } from './api/followEvents.ts';
import { Frame } from './frame/Frame.tsx';
import { applySurround, rememberedSurround } from './frame/surround.ts';

const place = document.getElementById('window');
if (!place) throw new Error('index.html has no #window');
applySurround(rememberedSurround());
followEvents();
createRoot(place).render(
  <StrictMode>
    {/* Figures are written with a point throughout, as findings.json and the CSV have them. */}
    <I18nProvider locale="en-GB">
      <Frame />
    </I18nProvider>
  </StrictMode>,
);
