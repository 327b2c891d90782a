#!/usr/bin/env node
import { register } from 'tsx/esm/api';

// The sources run as they are: no build step stands between `npm ci` and the first measurement.
register();
const { main } = await import('../electron/cli.ts');
process.exitCode = await main(process.argv.slice(2));
