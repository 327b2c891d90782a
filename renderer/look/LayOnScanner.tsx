/** How a page lies on the scanner: face down, its edge along the glass's, the target beside it. Decoration: say it in words too. */
export function LayOnScanner() {
  return (
    <svg
      viewBox="0 0 440 236"
      aria-hidden="true"
      fill="none"
      stroke="currentColor"
      strokeWidth="2"
      strokeLinejoin="round"
    >
      {/* The lid, open, seen from the front; the bed under it. */}
      <path d="M40 96L64 14h312l24 82" />
      <path d="M58 84L75 26h290l17 58z" strokeWidth="1" />
      <path d="M24 96h392v104a10 10 0 0 1-10 10H34a10 10 0 0 1-10-10z" />
      <path d="M24 96l-8 18v98a12 12 0 0 0 12 12h384a12 12 0 0 0 12-12v-98l-8-18" strokeWidth="1" />
      <rect x="44" y="112" width="352" height="82" fill="var(--panel-sunk)" strokeWidth="1" />
      {/* The page's back: its writing shows through only faintly. */}
      <rect x="45" y="113" width="214" height="80" fill="var(--paper)" />
      <path
        d="M64 134c8-7 14 7 22 0s14 7 22 0 14 7 22 0M64 152c8-7 14 7 22 0s14 7 22 0M64 170c8-7 14 7 22 0s14 7 22 0 14 7 22 0"
        strokeWidth="1"
        strokeDasharray="3 3"
      />
      <path d="M176 128h58v18h-58zM176 160h58v18h-58z" strokeWidth="1" strokeDasharray="3 3" />
      <path d="M259 181l-12 12h12z" fill="var(--panel-sunk)" strokeWidth="1" />
      {/* The target. */}
      <rect x="276" y="113" width="104" height="46" fill="var(--paper)" />
      <g strokeWidth="1">
        {[0, 1, 2].flatMap((row) =>
          [0, 1, 2, 3, 4, 5].map((column) => (
            <rect
              key={`${row} ${column}`}
              x={290 + 13 * column}
              y={119 + 12 * row}
              width="11"
              height="10"
              fill="var(--text)"
              fillOpacity={(1 + ((5 * row + 3 * column) % 7)) / 12}
            />
          )),
        )}
      </g>
      <g fill="var(--text)" stroke="none">
        <circle cx="282" cy="119" r="2.500" />
        <circle cx="374" cy="119" r="2.500" />
        <circle cx="374" cy="153" r="2.500" />
        <circle cx="282" cy="153" r="2.500" />
      </g>
    </svg>
  );
}
