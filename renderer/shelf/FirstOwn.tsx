import { BringButtons } from '../bring/BringButtons.tsx';
import { LayOnScanner } from '../look/LayOnScanner.tsx';

/** Beside the sample while no ink of a person's own is there: what to do next. */
export function FirstOwn() {
  return (
    <section className="first-own" aria-label="An ink of your own">
      <LayOnScanner />
      <div>
        <h2>An ink of your own</h2>
        <ol>
          <li>Lay a written page face down on the scanner, your colour target beside it.</li>
          <li>Scan in colour at 600 dpi, with every correction switched off.</li>
          <li>Drop the files anywhere in this window, or bring them from here.</li>
        </ol>
        <BringButtons ink={null} strong />
      </div>
    </section>
  );
}
