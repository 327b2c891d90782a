/** What the maker says of the ink's colour. */
export const claim = `
ALTER TABLE ink ADD COLUMN claim TEXT;
`;
