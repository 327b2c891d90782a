/** Drawings for those who have no strips yet. */

/** Two strips side by side, one run fresh, one after drying. */
export function TwoStrips() {
  return (
    <svg viewBox="0 0 300 150" aria-hidden="true" className="strips-drawing">
      <rect x="10" y="6" width="280" height="138" className="drawn-page" />
      <Strip x={60} name="fresh" bands={[98, 62, 40]} />
      <Strip x={180} name="dried" bands={[106, 78, 52]} />
      {[98, 62, 40].map((y, i) => (
        <path key={y} d={`M122 ${y}L178 ${[106, 78, 52][i]}`} className="drawn-join" />
      ))}
    </svg>
  );
}

/** One strip of paper with its pencil line, spot and front. */
export function OneStrip() {
  return (
    <svg viewBox="0 0 300 150" aria-hidden="true" className="strips-drawing">
      <rect x="10" y="6" width="280" height="138" className="drawn-page" />
      <Strip x={90} name="" bands={[98, 62, 40]} />
      <g className="drawn-words">
        <text x="166" y="34">
          front: tick it with a pencil
        </text>
        <text x="166" y="66">
          bands of colour
        </text>
        <text x="166" y="126">
          origin: the spot of ink
        </text>
      </g>
    </svg>
  );
}

function Strip({ x, name, bands }: { readonly x: number; readonly name: string; readonly bands: readonly number[] }) {
  return (
    <g>
      <rect x={x} y="14" width="60" height="122" className="drawn-paper" />
      <path d={`M${x} 122h60M${x} 28h60`} className="drawn-line" />
      <rect x={x + 16} y="118" width="28" height="8" className="drawn-ink" fillOpacity="0.35" />
      {bands.map((y, i) => (
        <rect
          key={y}
          x={x + 14}
          y={y - 7}
          width="32"
          height="14"
          rx="6"
          className="drawn-ink"
          fillOpacity={0.3 + 0.25 * i}
        />
      ))}
      <text x={x + 30} y="11" className="drawn-name">
        {name}
      </text>
    </g>
  );
}
