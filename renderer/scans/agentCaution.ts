/** What a person should know before an agent meets an ink, as docs/how-to-scan.md has it under "Cautions"; it stands beside the agent's name. */

const BLEACH = /bleach|hypochlor|chlor|javel|bleich/i;
const CLEANER = /ammoni|cleaner|flush|window|reiniger/i;
const ACID = /acid|vinegar|citric|descal|essig|säure/i;
const ALCOHOL = /alcohol|ethanol|isoprop|\bipa\b|propanol|methanol|spirit|alkohol/i;
const HARMLESS =
  /^\s*(tap |distilled |deionised |deionized |hot |cold |warm )?(water|light|sun(light)?|daylight|wasser|licht)?\s*$/i;

const BEFORE = 'Its label, its safety data sheet and your local rules come first.';

/** @returns null where none is needed: nothing named, water, light */
export function agentCaution(agent: string): string | null {
  if (HARMLESS.test(agent)) return null;
  if (BLEACH.test(agent)) {
    return `Bleach never meets ammonia (many pen cleaners), an acid (vinegar, the rinse of an iron-gall ink) or alcohol, not even residues of them: toxic gases form. Into water, with gloves, eye protection and an open window. ${BEFORE}`;
  }
  const meets = 'Never near bleach or anything bleached: toxic gases form.';
  if (ALCOHOL.test(agent)) return `${meets} It burns, its vapour too: no flame, no hot plate, no warm lamp. ${BEFORE}`;
  if (CLEANER.test(agent) || ACID.test(agent)) return `${meets} ${BEFORE}`;
  return `${BEFORE} Bleach never meets ammonia, acid or alcohol.`;
}
