/**
 * Electron's program, if it lies here. Only files are looked at: importing the package, or running its command, would
 * begin to download the program when it is absent.
 */
import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';

export type ElectronHere =
  | { readonly program: string; readonly why: null }
  /** `why` it cannot be used, as the end of a sentence. */
  | { readonly program: null; readonly why: string };

/** @param root The project's folder, whose node_modules are searched. */
export function findElectron(
  root: string,
  env: NodeJS.ProcessEnv = process.env,
  platform: NodeJS.Platform = process.platform,
): ElectronHere {
  let folder: string;
  try {
    folder = dirname(createRequire(join(root, 'package.json')).resolve('electron/package.json'));
  } catch {
    return { program: null, why: 'Electron is not installed' };
  }
  const name = nameIn(folder) ?? nameOn(platform);
  const override = env['ELECTRON_OVERRIDE_DIST_PATH'];
  const program = join(override ? override : join(folder, 'dist'), name);
  if (!existsSync(program)) return { program: null, why: "Electron's program is not here" };
  if (platform === 'linux' && !env['DISPLAY'] && !env['WAYLAND_DISPLAY']) {
    return {
      program: null,
      why: 'Electron is here but there is no screen for it (neither DISPLAY nor WAYLAND_DISPLAY is set)',
    };
  }
  return { program, why: null };
}

/** What the package noted down when its program was fetched. */
function nameIn(folder: string): string | null {
  try {
    return readFileSync(join(folder, 'path.txt'), 'utf8').trim() || null;
  } catch {
    return null;
  }
}

function nameOn(platform: NodeJS.Platform): string {
  if (platform === 'darwin') return 'Electron.app/Contents/MacOS/Electron';
  return platform === 'win32' ? 'electron.exe' : 'electron';
}
