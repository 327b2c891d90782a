/** The tables of analysis/film/priors as source text. Same code, same tables. */
import { realDyes } from '../realDyes.ts';
import { dyeKinds, groundPrior, type KindRows, pigmentKinds, sensorPriors, type CurvePrior } from './make.ts';

export function priorTables(): ReadonlyMap<string, string> {
  const grounds = groundPrior();
  return new Map([
    [
      'sensorTable.ts',
      table(
        'SENSORS',
        'Sensor curves by lamp, 108 values a row: the mean, then its modes',
        sensorPriors().map((prior) => [prior.name, quoted(floats(rowsOf(prior)))]),
      ),
    ],
    [
      'groundTable.ts',
      table('GROUNDS', 'Log reflectance of papers by kind, 36 values a row: the mean, then its modes', [
        ['shares', numbers(grounds.map(({ share }) => share))],
        ['rows', quoted(floats(grounds.flatMap(rowsOf)))],
      ]),
    ],
    [
      'inkTable.ts',
      table(
        'INK',
        'Log (absorption + 0.02) of inks by kind, 36 values a row: the mean, then its modes; starts kind by kind. Half of the inks are mixed from the dyes of NOTICE.md',
        kindTexts(dyeKinds(realDyes())),
      ),
    ],
    [
      'pigmentTable.ts',
      table(
        'PIGMENT',
        'Log (absorption + 0.02) and log scatter of pigments by kind, 72 values a row: the mean, then its modes; starts kind by kind. No measured pigment is among them',
        kindTexts(pigmentKinds(realDyes())),
      ),
    ],
  ]);
}

function kindTexts(kinds: readonly KindRows[]): (readonly [string, string])[] {
  return [
    ['shares', numbers(kinds.map(({ share }) => share))],
    ['startCounts', numbers(kinds.map(({ starts }) => starts.length))],
    ['rows', quoted(floats(kinds.flatMap(rowsOf)))],
    ['starts', quoted(roots(kinds.flatMap(({ starts }) => starts)))],
  ];
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

function quoted(text: string): string {
  return `\n    '${text}'`;
}

function numbers(values: readonly number[]): string {
  return ` [${values.map((v) => Number(v.toFixed(5))).join(', ')}]`;
}

function table(name: string, what: string, texts: readonly (readonly [string, string])[]): string {
  const lines = texts.map(([key, text]) => `  ${key}:${text},`);
  return `/** ${what}. Made by study/filmPriors; see encoded.ts. */\nexport const ${name} = {\n${lines.join('\n')}\n} as const;\n`;
}
