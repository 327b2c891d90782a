/** Where a person's library lies when nothing else is said: the data folder of the system. */
import { homedir } from 'node:os';
import { join, resolve } from 'node:path';

export function libraryFolder(
  said: string | undefined,
  env: NodeJS.ProcessEnv = process.env,
  platform: NodeJS.Platform = process.platform,
): string {
  const chosen = said ?? env['WETLINE_HOME'];
  if (chosen) return resolve(chosen);
  const home = homedir();
  if (platform === 'darwin') return join(home, 'Library', 'Application Support', 'Wetline');
  if (platform === 'win32') return join(env['LOCALAPPDATA'] ?? join(home, 'AppData', 'Local'), 'Wetline');
  return join(env['XDG_DATA_HOME'] || join(home, '.local', 'share'), 'wetline');
}
