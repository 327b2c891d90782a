/** The tables of analysis/film/priors as source text. Same code, same tables. */
import { realDyes } from '../realDyes.ts';
import { groundPriors, inkPrior, sensorPriors, type CurvePrior } from './make.ts';

export function priorTables(): ReadonlyMap<string, string> {
  const ink = inkPrior(realDyes());
  return new Map([
    [
      'sensorTable.ts',
      table('SENSORS', 'Sensor curves by lamp, 108 values a row: the mean, then its modes', named(sensorPriors())),
    ],
    [
      'groundTable.ts',
      table(
        'GROUNDS',
        'Log reflectance of papers by class, 36 values a row: the mean, then its modes',
        named(groundPriors()),
      ),
    ],
    [
      'inkTable.ts',
      table(
        'INK',
        'Log (absorption + 0.02) of inks, 36 values a row: the mean, then its modes. Half of the inks are mixed from the dyes of NOTICE.md',
        [
          ['prior', floats(rowsOf(ink))],
          ['starts', roots(ink.starts)],
        ],
      ),
    ],
  ]);
}

function named(priors: readonly (CurvePrior & { readonly name: string })[]): [string, string][] {
  return priors.map((prior) => [prior.name, floats(rowsOf(prior))]);
}

function rowsOf({ mean, modes }: CurvePrior): Float64Array[] {
  return [mean, ...modes];
}

function floats(rows: readonly Float64Array[]): string {
  return Buffer.from(Float32Array.from(rows.flatMap((row) => [...row])).buffer).toString('base64');
}

function roots(rows: readonly Float64Array[]): string {
  return Buffer.from(rows.flatMap((row) => Array.from(row, (k) => Math.round(255 * Math.sqrt(k))))).toString('base64');
}

function table(name: string, what: string, texts: readonly (readonly [string, string])[]): string {
  const lines = texts.map(([key, text]) => `  ${key}:\n    '${text}',`);
  return `/** ${what}. Made by study/filmPriors; see encoded.ts. */\nexport const ${name} = {\n${lines.join('\n')}\n} as const;\n`;
}
