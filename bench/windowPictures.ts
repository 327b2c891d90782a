/**
 * `npm run pictures`: the handbook's pictures of the window, docs/pictures/window-*.webp, taken anew of the sample ink as a first start shows it.
 * Whoever changed what is on a page or what the sample measures runs it, and looks at them.
 */
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import {
  openBrowser,
  openWindow,
  pictured,
  SCREENS,
  startServer,
  temporaryFolder,
} from '../tests/window/startWindow.ts';

const FOLDER = fileURLToPath(new URL('../docs/pictures', import.meta.url));
const QUALITY = 80;
const MEASURED_MS = 300_000;
/** Plots come a frame each once their page is there. */
const PLOTS_MS = 4000;
/** A strip is laid straight by those who measure, who come last on a busy machine. */
const STRIPS_LIE_STRAIGHT = `[...document.querySelectorAll('.strip-field img')].every(({ complete }) => complete)`;

const PICTURES = [
  { name: 'scans', address: '/ink/1/scans?scan=white' },
  { name: 'findings', address: `/ink/1/findings?finding=${encodeURIComponent('shading(b-white)')}` },
  { name: 'film', address: '/ink/1/findings?show=film' },
  { name: 'nibs', address: '/ink/1/writing' },
  { name: 'strips', address: '/ink/1/strips' },
  { name: 'calibration', address: '/ink/1/calibration?scan=target' },
  // A green paper that the ink was never written on, L* a* b*.
  { name: 'papers', address: '/ink/1/papers?ground=80.0,-20.0,10.0' },
] as const;

const library = temporaryFolder('pictures');
const browser = await openBrowser();
const server = await startServer(join(library.path, 'library'));
try {
  const opened = await openWindow(browser, server.url, SCREENS.small);
  const { page } = opened;
  const { origin } = new URL(server.url);
  await page.goto(`${origin}/#/ink/1/findings`);
  await page.getByText('all up to date').waitFor({ timeout: MEASURED_MS });
  for (const { name, address } of PICTURES) {
    await page.goto('about:blank');
    await page.goto(`${origin}/#${address}`);
    await page.getByText('Opening…').first().waitFor({ state: 'detached' });
    await page.waitForTimeout(PLOTS_MS);
    await page.waitForFunction(STRIPS_LIE_STRAIGHT, undefined, { timeout: MEASURED_MS });
    await pictured(opened);
    await sharp(await page.screenshot())
      .webp({ quality: QUALITY, effort: 6, smartSubsample: true })
      .toFile(join(FOLDER, `window-${name}.webp`));
    process.stdout.write(`docs/pictures/window-${name}.webp\n`);
  }
} finally {
  await browser.close();
  await server.stop();
  library.remove();
}
