/** How to lay a page on the scanner: square in the corner, with the target beside it. */
export function LayPage() {
  return (
    <svg viewBox="0 0 320 200" aria-hidden="true" fill="none" stroke="currentColor" strokeWidth="2">
      <rect x="20" y="16" width="280" height="168" rx="6" />
      <rect x="36" y="30" width="248" height="140" strokeWidth="1" />
      <rect x="36" y="30" width="120" height="140" fill="var(--paper)" />
      <path d="M52 56c10-10 14 10 24 0s14 10 24 0 14 10 24 0" />
      <path d="M52 84c10-10 14 10 24 0s14 10 24 0 14 10 24 0" strokeWidth="4" />
      <rect x="52" y="112" width="80" height="30" fill="currentColor" fillOpacity="0.35" strokeWidth="1" />
      <rect x="176" y="42" width="92" height="60" fill="var(--paper)" />
      {[0, 1, 2].flatMap((row) =>
        [0, 1, 2, 3, 4].map((column) => (
          <rect
            key={`${row} ${column}`}
            x={188 + column * 14}
            y={52 + row * 14}
            width="10"
            height="10"
            stroke="none"
            fill="currentColor"
            fillOpacity={0.15 + 0.05 * (5 * row + column)}
          />
        )),
      )}
      <path d="M28 22l10 10m-10 0v-10h10" />
    </svg>
  );
}
