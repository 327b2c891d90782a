import { cardUrl } from '../api/client.ts';
import './card.css';

/** The card that is printed at home, for those who have no target: its files, and how it comes to be one. */
export function PrintCard() {
  return (
    <details className="folded print-card">
      <summary>No target? Print our card</summary>
      <p>A card from your own printer serves once it has been taught beside one target with known values.</p>
      <div className="card-files">
        <a className="button" data-kind="usual" href={cardUrl('a4.pdf')} download>
          Card for A4 (PDF)
        </a>
        <a className="button" data-kind="usual" href={cardUrl('letter.pdf')} download>
          Card for US Letter (PDF)
        </a>
      </div>
      <ol className="card-steps">
        <li>
          <b>Print</b> it on matt white paper in the best quality, at 100&#8239;%: no “fit to page”, no saving of ink.
          Let it dry for a day.
        </li>
        <li>
          <b>Check</b> with a ruler that the line on it is 50&#8239;mm long. If it is not, the printer scaled it: print
          again.
        </li>
        <li>
          <b>Teach</b> it once: lay it beside a target with known values, scan both in one go, find that target here,
          then <i>Teach the card from this scan</i>. A borrowed target does.
        </li>
        <li>From then on the card alone serves. Keep it flat and dark; another print is another card.</li>
      </ol>
      <p className="quiet">
        Its{' '}
        <a href={cardUrl('layout.json')} download>
          layout
        </a>{' '}
        is built in; the file is for the command line.
      </p>
    </details>
  );
}
