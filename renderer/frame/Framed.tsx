import { I18nProvider } from 'react-aria-components';
import { Frame } from './Frame.tsx';

export const LANGUAGE = 'en-GB';

/** The frame with its language: figures are written with a point throughout, as findings.json and the CSV have them. */
export function Framed() {
  return (
    <I18nProvider locale={LANGUAGE}>
      <Frame />
    </I18nProvider>
  );
}
