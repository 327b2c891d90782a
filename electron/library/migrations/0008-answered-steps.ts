/** The steps that undo and redo would take right after a request: what is asked for after it, and before its answer, means these. */
export const answeredSteps = `
ALTER TABLE answered ADD COLUMN undo INTEGER;
ALTER TABLE answered ADD COLUMN redo INTEGER;
`;
