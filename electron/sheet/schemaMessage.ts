/** One line for what is wrong with a file that should follow a schema: where, what was found, what was expected. */
import { z } from 'zod';
import { didYouMean } from '../nearestWord.ts';
import { newerFormat } from './newerFormat.ts';

type Path = readonly PropertyKey[];

const SHAPES: Readonly<Record<string, string | undefined>> = {
  object: 'an object { … }',
  array: 'a list [ … ]',
  tuple: 'a list [ … ]',
  string: 'text',
};
const NOUNS: Readonly<Record<string, string | undefined>> = { regions: 'region', scans: 'scan', patches: 'patch' };

/** Longer is no key of ours; the beginning tells which one it is. */
const LONGEST_KEY = 60;

/** Describes the first fault and counts the others. @param value What was checked. */
export function schemaMessage(schema: z.ZodType, value: unknown, error: z.ZodError): string {
  const [first] = error.issues;
  const others = error.issues.length - 1;
  return `${describe(schema, value, first)}${others > 0 ? ` (and ${others} more like it)` : ''}`;
}

function describe(schema: z.ZodType, value: unknown, fault: z.core.$ZodIssue): string {
  if (fault.code === 'unrecognized_keys') {
    const [key] = fault.keys;
    const known = keysAt(schema, value, fault.path);
    const where = placed([...fault.path, key], value);
    const near = didYouMean(key, known);
    return `${where}: unknown key; expected one of ${known.join(', ')}${near === '' ? '. Remove it.' : near}`;
  }
  const where = placed(fault.path, value);
  const found = valueAt(value, fault.path);
  if (found === undefined) return `${where} is missing; expected ${expectation(fault)}. Add it.`;
  const near = typeof found === 'string' ? instead(found, choices(fault)) : '';
  return `${where}: found ${shown(found)}; expected ${expectation(fault)}${near === '' ? `.${decimals(fault, found)}` : near}`;
}

function instead(found: string, known: readonly string[]): string {
  const newer = known.length === 1 ? newerFormat(found, known[0]) : null;
  return newer === null ? didYouMean(found, known) : `. ${newer}`;
}

/** A number as people write it: as text, with its unit, with a comma. Three digits behind a comma may be thousands. */
const AS_TEXT = /^\s*([+-]?)(\d+)(?:[.,](\d{1,2}|\d{4,}))?\s*(?:mm|dpi|s|°C)?\s*$/;

/** How a number is written in JSON, where that is what went wrong. */
function decimals(fault: z.core.$ZodIssue, found: unknown): string {
  if (fault.code === 'too_big' && Array.isArray(found) && found.every((part) => typeof part === 'number'))
    return ' A decimal takes a point, as in 2.5.';
  if (fault.code !== 'invalid_type' || fault.expected !== 'number' || typeof found !== 'string') return '';
  const parts = AS_TEXT.exec(found);
  if (parts === null) return '';
  const [, sign, whole, fraction] = parts;
  const number = Number(`${sign}${whole}${fraction === undefined ? '' : `.${fraction}`}`);
  return ` Write ${number}, without quotes.`;
}

function expectation(fault: z.core.$ZodIssue): string {
  switch (fault.code) {
    case 'invalid_type':
      return SHAPES[fault.expected] ?? `a ${fault.expected}`;
    case 'invalid_union':
      // Shapes that no key tells apart say in the schema what they look like.
      if (choices(fault).length === 0) return fault.message;
      return listed(choices(fault).map((c) => JSON.stringify(c)));
    case 'invalid_value':
      return listed(choices(fault).map((c) => JSON.stringify(c)));
    case 'too_small':
      if (fault.origin === 'string') return 'text that is not empty';
      if (fault.origin === 'array') return `at least ${fault.minimum} of them`;
      return `a number ${fault.inclusive ? 'of at least' : 'above'} ${fault.minimum}`;
    case 'too_big':
      if (fault.origin === 'string') return `text of at most ${fault.maximum} letters`;
      return fault.origin === 'array' ? `only ${fault.maximum} of them` : `a number of at most ${fault.maximum}`;
    default:
      return fault.message;
  }
}

function choices(fault: z.core.$ZodIssue): string[] {
  if (fault.code === 'invalid_value') return fault.values.map(String);
  if (fault.code === 'invalid_union' && 'options' in fault && Array.isArray(fault.options))
    return fault.options.map(String);
  return [];
}

function listed(words: readonly string[]): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} or ${words[words.length - 1]}`;
}

function shown(found: unknown): string {
  // JSON has no word for it, and would call it null.
  if (found === Infinity || found === -Infinity) return 'a number that is too large';
  const text = JSON.stringify(beginning(found, 4));
  return text.length > 60 ? `${text.slice(0, 57)}…` : text;
}

/** As much as is shown: lists within lists may go deeper than can be written. */
function beginning(found: unknown, depth: number): unknown {
  if (found === null || typeof found !== 'object') return found;
  if (depth === 0) return '…';
  if (Array.isArray(found)) return found.slice(0, 60).map((part) => beginning(part, depth - 1));
  return Object.fromEntries(
    Object.entries(found)
      .slice(0, 60)
      .map(([key, part]) => [key, beginning(part, depth - 1)]),
  );
}

/** `regions[2].boxMm (region "swab")`: the path for a program, the id for a person. */
function placed(path: Path, value: unknown): string {
  if (path.length === 0) return 'the whole file';
  const dotted = path
    .map((p) => (typeof p === 'number' ? `[${p}]` : `.${String(p).slice(0, LONGEST_KEY)}`))
    .join('')
    .replace(/^\./, '');
  const id = path.length > 2 ? valueAt(value, [path[0], path[1], 'id']) : undefined;
  const noun = NOUNS[String(path[0])];
  return noun !== undefined && typeof id === 'string' ? `${dotted} (${noun} ${shown(id)})` : dotted;
}

function valueAt(value: unknown, path: Path): unknown {
  return path.reduce<unknown>(
    (v, key) => (v !== null && typeof v === 'object' ? Reflect.get(v, key) : undefined),
    value,
  );
}

/** The keys that the schema allows at a place, following the kind that the value there claims to be. */
function keysAt(schema: unknown, value: unknown, path: Path): string[] {
  if (schema instanceof z.ZodOptional || schema instanceof z.ZodExactOptional || schema instanceof z.ZodDefault)
    return keysAt(schema.unwrap(), value, path);
  if (schema instanceof z.ZodDiscriminatedUnion) {
    const tag = schema.def.discriminator;
    const option = schema.options.find(
      (o) => o instanceof z.ZodObject && o.shape[tag].safeParse(valueAt(value, [tag])).success,
    );
    return keysAt(option, value, path);
  }
  const [key, ...rest] = path;
  if (schema instanceof z.ZodArray) return keysAt(schema.element, valueAt(value, [key]), rest);
  if (!(schema instanceof z.ZodObject)) return [];
  return path.length === 0 ? Object.keys(schema.shape) : keysAt(schema.shape[String(key)], valueAt(value, [key]), rest);
}
