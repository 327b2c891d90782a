/** The field with a scan's dpi: what is wrong with a target may lie there. */
export const RESOLUTION_FIELD = 'scan-resolution';

export function goToResolution(): void {
  const field = document.getElementById(RESOLUTION_FIELD);
  if (!(field instanceof HTMLInputElement)) return;
  field.focus();
  field.select();
}
