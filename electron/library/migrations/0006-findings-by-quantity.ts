/** Colours of papers are asked for over all inks. */
export const findingsByQuantity = `
CREATE INDEX finding_quantity ON finding (quantity, ink);
`;
