/** What is written on the card, and below it on the sheet that it is cut from. */

export const CARD_WORDS = {
  title: 'Wetline card · 24 greys, 72 colours',
  scale: '50 mm from end to end: hold a ruler to it',
  date: 'Printed on',
  ink: 'Settings',
  printer: 'Printer, ink',
  paper: 'Paper',
  care: 'Print at 100 %, no colour management (“as is”). Let dry a day. Keep dark, dry and flat. Teach it before use; teach it anew when it changes.',
} as const;

/** Each line fits the card's width in the size that the sheet is set in. */
export const SHEET_WORDS: readonly { readonly heading: string; readonly lines: readonly string[] }[] = [
  {
    heading: 'Print',
    lines: [
      '1  Scale 100 % (“actual size”), never “fit to page”. One side, best quality, matte heavy white paper.',
      '2  Colour management off: “as is”, “none” or “no colour adjustment”. A photo mode that improves pictures is off, too.',
      '3  Hold a ruler to the card’s scale. It must show 50 mm within half a millimetre; else print again.',
      '4  Let it dry a day, in the dark. Write date, printer, paper and settings on it. Cut it out along the marks.',
    ],
  },
  {
    heading: 'Teach',
    lines: [
      '5  A print has no known colours until a target that has them teaches it. Lay both face down on the glass, side by side',
      '    and not touching, and scan them in one scan, as you scan inks: 300 dpi or more, 16 bits a channel.',
      '6  Turn the card, scan once more: two or three scans tell how well it repeats.',
      '7  wetline teach SHEET.json --out card-reference.txt',
    ],
  },
  {
    heading: 'Keep',
    lines: [
      '8  In an envelope, dark and dry, not in a plastic sleeve. Never touch the patches; never write on them.',
      '9  Teach it anew after half a year, after light or damp, and whenever the report says that it has drifted.',
    ],
  },
];
