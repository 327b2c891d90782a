/** The desktop window in Electron's own process, until it is closed. */
import { spawn } from 'node:child_process';
import { join } from 'node:path';

/** One that ends sooner, and badly, never had a window: a library of the system is missing, or there is no screen. */
const AT_ONCE_MS = 4000;

export type ElectronRun =
  { readonly opened: true; readonly code: number } | { readonly opened: false; readonly how: string };

export function runElectron(program: string, root: string, folder: string): Promise<ElectronRun> {
  const began = performance.now();
  const env: NodeJS.ProcessEnv = { ...process.env, WETLINE_HOME: folder };
  // Set by some editors' terminals; it would turn Electron into a plain Node.js.
  delete env['ELECTRON_RUN_AS_NODE'];
  return new Promise((resolve) => {
    const child = spawn(program, [join(root, 'dist', 'host', 'window.js')], { stdio: 'inherit', env });
    const pass = (signal: NodeJS.Signals) => child.kill(signal);
    const signals = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;
    for (const signal of signals) process.on(signal, pass);
    let told = false;
    const end = (run: ElectronRun) => {
      if (told) return;
      told = true;
      for (const signal of signals) process.off(signal, pass);
      resolve(run);
    };
    child.once('error', (error) => end({ opened: false, how: error.message }));
    child.once('exit', (code, signal) => {
      const badly = signal !== 'SIGINT' && signal !== 'SIGTERM' && code !== 0;
      if (badly && performance.now() - began < AT_ONCE_MS) {
        end({ opened: false, how: signal ?? `exit code ${code}` });
      } else {
        end({ opened: true, code: code ?? 0 });
      }
    });
  });
}
