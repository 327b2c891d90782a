/** Which key presses a name like 'm', 'Ctrl+Shift+Z', '?' or 'ArrowLeft' stands for. */

export interface KeyPress {
  readonly key: string;
  readonly ctrlKey: boolean;
  readonly metaKey: boolean;
  readonly shiftKey: boolean;
  readonly altKey: boolean;
}

/** @param name Keys joined by '+'; several names for one thing are parted by ' / ' ('Ctrl+Shift+Z / Ctrl+Y'). */
export function matchesKeys(name: string, press: KeyPress): boolean {
  return name.split(' / ').some((one) => matchesOne(one, press));
}

function matchesOne(name: string, press: KeyPress): boolean {
  // The key '+' itself ends a name: 'Ctrl++'.
  const parts = name.endsWith('+') ? [...name.slice(0, -1).split('+').filter(Boolean), '+'] : name.split('+');
  const key = parts[parts.length - 1];
  const wants = (modifier: string): boolean => parts.slice(0, -1).includes(modifier);
  // Signs such as '?' and '+' need Shift on some keyboards and none on others: there the sign alone decides.
  const shiftCounts = key.length > 1 || /[a-z]/i.test(key);
  return (
    press.key.toLowerCase() === key.toLowerCase() &&
    (press.ctrlKey || press.metaKey) === wants('Ctrl') &&
    press.altKey === wants('Alt') &&
    (!shiftCounts || press.shiftKey === wants('Shift'))
  );
}

/** As printed in the help sheet. */
export function spokenKeys(name: string): string {
  return name
    .replace(
      /Arrow(Left|Right|Up|Down)/g,
      (_, way: string) => ({ Left: '←', Right: '→', Up: '↑', Down: '↓' })[way] ?? way,
    )
    .replace(/(^|\+)([a-z])(?=$| )/g, (_, before: string, letter: string) => before + letter.toUpperCase())
    .replaceAll('−', '−');
}
