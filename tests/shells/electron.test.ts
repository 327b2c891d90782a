/** A real start of the desktop window where Electron's program is; where it is not, the launcher must find none. */
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { _electron } from 'playwright-core';
import { afterAll, expect, test } from 'vitest';
import { findElectron } from '../../electron/shells/findElectron.ts';
import { ROOT } from '../guards/projectFiles.ts';

const folder = mkdtempSync(join(tmpdir(), 'wetline-desktop-'));
afterAll(() => rmSync(folder, { recursive: true, force: true, maxRetries: 5 }));

const INSTALLED = ['electron', 'electron.exe', 'Electron.app'].some((name) =>
  existsSync(join(ROOT, 'node_modules', 'electron', 'dist', name)),
);
const SCREEN = process.platform !== 'linux' || Boolean(process.env['DISPLAY'] ?? process.env['WAYLAND_DISPLAY']);

/** What the page says of itself, asked through the window's own scheme. */
async function realStart(program: string): Promise<string> {
  const asRoot = process.getuid?.() === 0 ? ['--no-sandbox'] : [];
  const started = await _electron.launch({
    executablePath: program,
    args: [...asRoot, join(ROOT, 'dist', 'host', 'window.js')],
    env: { ...process.env, WETLINE_HOME: join(folder, 'library') },
  });
  try {
    const page = await started.firstWindow();
    return await page.evaluate(async () => {
      const answer = await fetch('/api/hello');
      return `window of the ${JSON.parse(await answer.text()).shell} shell`;
    });
  } finally {
    await started.close();
  }
}

test('where it is, its window opens and the backend answers; where it is not, none is found', async () => {
  const { program } = findElectron(ROOT);
  const outcome = program === null ? 'none found' : await realStart(program);
  const overridden = process.env['ELECTRON_OVERRIDE_DIST_PATH'];
  const expected = (overridden === undefined ? INSTALLED : existsSync(overridden)) && SCREEN;
  expect(outcome).toBe(expected ? 'window of the electron shell' : 'none found');
});
