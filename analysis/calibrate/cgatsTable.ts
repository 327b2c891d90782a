/** The table of a CGATS.17 / ISO 28178 text, from its fields to its end; the header goes before it. @param rows one a set, values parted by tabs */
export function cgatsTable(fields: readonly string[], rows: readonly string[]): string[] {
  return [
    `NUMBER_OF_FIELDS ${fields.length}`,
    'BEGIN_DATA_FORMAT',
    fields.join('\t'),
    'END_DATA_FORMAT',
    `NUMBER_OF_SETS ${rows.length}`,
    'BEGIN_DATA',
    ...rows,
    'END_DATA',
    '',
  ];
}
